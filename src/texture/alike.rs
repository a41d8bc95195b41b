//! Dissonances that are one for the ear: of one note, or of the same two degrees in other voices.
//!
//! A note that is foreign to the harmony is so for one reason: what it is against one voice it is against all, and it
//! stays that until it is left, whatever moves meanwhile. And what a note is against one voice it is against a voice
//! that doubles that one (common practice). So a clash that has no name of its own may have that of its like.

use super::{Dissonance, Figure, Texture};

/// What is known, as time goes on, of the note that each voice had last that is foreign to the harmony.
pub(super) struct Alike<'t> {
    texture: &'t Texture<'t>,
    foreign: Vec<Option<(usize, Figure)>>,
}

impl<'t> Alike<'t> {
    pub(super) fn of(texture: &'t Texture<'t>) -> Self {
        Self { texture, foreign: vec![None; texture.voices()] }
    }

    /// Names those of the dissonances that begin together which have no name of their own.
    pub(super) fn name(&mut self, together: &mut [Dissonance]) {
        for it in together.iter() {
            self.remember(it);
        }
        for index in 0..together.len() {
            let it = together[index];
            if it.figure.is_explained() || it.figure == Figure::Leapt {
                continue;
            }
            let double = || together.iter().find_map(|known| renamed(self.texture, known, it));
            let Some(named) = self.of_same_note(it).or_else(double) else { continue };
            together[index] = named;
            self.remember(&named);
        }
    }

    /// Keeps in mind what a note is whose own line makes it foreign to the harmony.
    fn remember(&mut self, it: &Dissonance) {
        if it.figure.is_explained() && !it.figure.is_chordal() {
            let (voice, note) = it.note;
            let known = self.figure_of(voice, note).unwrap_or(it.figure);
            self.foreign[voice] = Some((note, known));
        }
    }

    /// The figure that a note is known to be, struck again or not.
    fn figure_of(&self, voice: usize, note: usize) -> Option<Figure> {
        let (known, figure) = self.foreign[voice]?;
        let lasts = self
            .texture
            .tones(voice)
            .get(known..=note)?
            .windows(2)
            .all(|pair| pair[0].is_repeated_by(pair[1]));
        lasts.then_some(figure)
    }

    /// A dissonance under the name that one of its notes has already.
    fn of_same_note(&self, it: Dissonance) -> Option<Dissonance> {
        both_ways(it).into_iter().find_map(|it| {
            let figure = self.figure_of(it.note.0, it.note.1)?;
            Some(Dissonance { figure, ..it })
        })
    }
}

/// A dissonance with either note as the dissonant one.
const fn both_ways(it: Dissonance) -> [Dissonance; 2] {
    [it, Dissonance { note: it.against, against: it.note, ..it }]
}

/// A dissonance under the name of one between the same two degrees: of the same note, or of one that doubles the
/// note of a chord or a pedal. (Of two suspended notes each has to fall for itself.)
fn renamed(texture: &Texture<'_>, known: &Dissonance, it: Dissonance) -> Option<Dissonance> {
    let degree =
        |(voice, note): (usize, usize)| texture.tones(voice).get(note).map(|tone| tone.pitch.class());
    let stands = known.figure.is_chordal() || known.figure == Figure::Pedal;
    let same = |it: &Dissonance| {
        let is_double = stands && degree(it.note) == degree(known.note);
        (it.note == known.note || is_double) && degree(it.against) == degree(known.against)
    };
    let named = both_ways(it).into_iter().find(|it| known.figure.is_explained() && same(it))?;
    Some(Dissonance { figure: known.figure, ..named })
}

#[cfg(test)]
mod tests {
    use crate::texture::trial::names;

    // Common practice: the fourth over E becomes a seventh over B before it falls.
    #[test]
    fn suspension_stays_one_while_the_other_voice_moves() {
        let found = |bass| names("4/4", &["R:1/2 A4:1 G#4:1/2", bass]);
        assert_eq!(found("F4:1 E4:1/4 B3:3/4"), ["1 A4 suspension", "5/4 A4 suspension"]);
        let leapt = found("C#5:1 B4:1/4 B5:3/4");
        assert_eq!(leapt, ["1 A4 suspension", "5/4 A4 suspension"]);
        // The note that was suspended is left: what is struck anew has no reason.
        let left = names("4/4", &["R:1/2 A4:3/4 G#4:1/8 A4:5/8", "F4:1 E4:1/4 G4:1/8 B3:5/8"]);
        assert!(left.contains(&"11/8 A4 unexplained dissonance".to_owned()), "{left:?}");
    }

    // Common practice: a syncopated line.
    #[test]
    fn passing_note_stays_one_while_it_is_held() {
        let found = names("4/4", &["G#4:3/8 F#4:1/4 E4:3/8", "E3:1/2 C#3"]);
        assert_eq!(found, ["3/8 F#4 passing note", "1/2 F#4 passing note"]);
    }

    // Common practice: the bass leans on G, against all the chord, though a voice strikes its seventh then.
    #[test]
    fn appoggiatura_is_one_against_all_voices() {
        let lines = ["R:3/4 D5:1/8 F5 E5:1/2", "R:3/4 Bb4:1/4 Bb4:1/2", "R:3/4 A3:1/8 G3 C4:1/2"];
        assert_eq!(names("4/4", &lines)[..2], ["3/4 A3 appoggiatura", "3/4 A3 appoggiatura"]);
        assert_eq!(names("4/4", &[lines[0], lines[2]])[0], "3/4 D5 unexplained dissonance");
    }

    // Common practice: over A alone, held on, G hangs in the air; the tenor's A goes with it as its chord's root.
    #[test]
    fn seventh_over_a_root_is_one_over_its_double() {
        let (above, bass) = ("R:1/4 G5:1/4 D5:1/8 F5:3/8", "A2:3/4 D3:1/4");
        assert_eq!(names("4/4", &[above, bass])[0], "1/4 G5 unexplained dissonance");
        let found = names("4/4", &[above, "E4:1/4 A3:1/4 D4:1/2", bass]);
        assert_eq!(found[..2], ["1/4 G5 unprepared chord seventh", "1/4 G5 unprepared chord seventh"]);
    }

    // Common practice.
    #[test]
    fn double_of_a_pedal_is_one() {
        let lines = ["E5:1/2 B4:1/2 G5:1/2", "E4:1/2 C4:1/4 E4:3/4", "C3:3/2"];
        assert_eq!(names("4/4", &lines), ["1/2 C4 pedal", "1/2 C3 pedal"]);
    }
}
