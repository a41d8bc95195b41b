//! Dissonances that are one for the ear: the same two degrees, an octave or a voice apart.
//!
//! What a note is against one voice it is against a voice that doubles that one, and it stays so while either voice
//! leaps an octave (common practice). So a clash that has no name of its own may have that of its like. A suspension,
//! too, is one suspension against all voices with which it clashes.

use super::{Dissonance, Figure, Texture};
use crate::pitch::Pitch;

/// Gives a dissonance that has no name that of the one before it in the same two voices, if one of them has only
/// leapt an octave.
pub(super) fn after_octave(texture: &Texture<'_>, before: Option<&Dissonance>, it: Dissonance) -> Dissonance {
    let before = before.filter(|before| before.end == it.onset);
    let stays = |before: &&Dissonance, named: &Dissonance| {
        before.figure.is_chordal() || pitch(texture, before.note) == pitch(texture, named.note)
    };
    let named = before.and_then(|before| {
        let named = renamed(texture, before, it)?;
        stays(&before, &named).then_some(named)
    });
    named.unwrap_or(it)
}

/// Gives the dissonances that begin together and have no name that of another of the same note: against the same
/// degree, or, if that is a suspension, against any.
pub(super) fn with_others(texture: &Texture<'_>, together: &mut [Dissonance]) {
    for index in 0..together.len() {
        let it = together[index];
        let double =
            |known: &Dissonance| renamed(texture, known, it).filter(|named| named.note == known.note);
        let named = together.iter().find_map(|known| double(known).or_else(|| suspended(known, it)));
        together[index] = named.unwrap_or(it);
    }
}

/// A dissonance without a name as that of a note that is known to be suspended.
fn suspended(known: &Dissonance, it: Dissonance) -> Option<Dissonance> {
    let unnamed = !it.figure.is_explained() && matches!(known.figure, Figure::Suspension(_));
    let turned = Dissonance { note: it.against, against: it.note, ..it };
    let found = [it, turned].into_iter().find(|it| unnamed && it.note == known.note)?;
    Some(Dissonance { figure: known.figure, ..found })
}

/// A dissonance without a name under that of a known one, if the two degrees are the same and the dissonant one lies
/// in the same voice.
fn renamed(texture: &Texture<'_>, known: &Dissonance, it: Dissonance) -> Option<Dissonance> {
    let degree = |note| pitch(texture, note).map(Pitch::class);
    let degrees = |one, other| Some([degree(one)?, degree(other)?]);
    let turned = Dissonance { note: it.against, against: it.note, ..it };
    let same = |it: &Dissonance| {
        it.note.0 == known.note.0 && degrees(it.note, it.against) == degrees(known.note, known.against)
    };
    let unnamed = !it.figure.is_explained() && known.figure.is_explained();
    let found = [it, turned].into_iter().find(|it| unnamed && same(it))?;
    Some(Dissonance { figure: known.figure, ..found })
}

fn pitch(texture: &Texture<'_>, (voice, note): (usize, usize)) -> Option<Pitch> {
    texture.tones(voice).get(note).map(|tone| tone.pitch)
}

#[cfg(test)]
mod tests {
    use crate::texture::trial::names;

    // Common practice.
    #[test]
    fn suspension_stays_one_while_the_other_voice_leaps_an_octave() {
        let found = |leap| names("4/4", &[leap, "A4:3/4 G#4:1/4"]);
        assert_eq!(found("C#5:1/2 B4:1/8 B5:3/8"), ["1/2 A4 suspension", "5/8 A4 suspension"]);
        assert_eq!(found("C#5:1/2 B4:1/8 G5:3/8")[1], "5/8 G5 unexplained dissonance");
    }

    // Common practice: over A alone, held on, G hangs in the air; the tenor's A goes with it as its chord's root.
    #[test]
    fn seventh_over_a_root_is_one_over_its_double() {
        let (above, bass) = ("R:1/4 G5:1/4 D5:1/8 F5:3/8", "A2:3/4 D3:1/4");
        assert_eq!(names("4/4", &[above, bass])[0], "1/4 G5 unexplained dissonance");
        let found = names("4/4", &[above, "E4:1/4 A3:1/4 D4:1/2", bass]);
        assert_eq!(found[..2], ["1/4 G5 unprepared chord seventh", "1/4 G5 unprepared chord seventh"]);
    }
}
