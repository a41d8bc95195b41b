//! The leading note in two voices.

use crate::key::Key;
use crate::meter::Strength;
use crate::pitch::PitchClass;
use crate::rules::local::Local;
use crate::rules::words::listed;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::scale::Degree;
use crate::source::Source;
use crate::texture::{Sonority, Stretch, Texture};

#[doc = include_str!("doubled_leading_note.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct DoubledLeadingNote;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("doubled-leading-note"),
    severity: Severity::Caution,
    summary: "two voices have the leading note at once in dominant harmony",
    page: include_str!("doubled_leading_note.md"),
    source: Source::Memory("handbooks of harmony"),
};

/// The notes of the dominant seventh and ninth chord: leading note, dominant, supertonic,
/// subdominant.
struct Dominant {
    leading: PitchClass,
    others: [PitchClass; 3],
}

impl Dominant {
    fn of(key: Key) -> Option<Self> {
        let degree = |steps| key.class(Degree::of_steps(steps)).ok();
        Some(Self { leading: key.leading_note().ok()?, others: [degree(4)?, degree(1)?, degree(3)?] })
    }

    /// The notes that are the leading note, if there are several and all else is dominant harmony.
    fn doubled(&self, sonority: &Sonority<'_>) -> Option<Vec<(usize, usize)>> {
        let is_leading = |class: PitchClass| class == self.leading;
        let leading = sonority.sounding().filter(|(_, _, pitch)| is_leading(pitch.class()));
        let leading: Vec<(usize, usize)> = leading.map(|(voice, note, _)| (voice, note)).collect();
        let mut rest =
            sonority.sounding().map(|(_, _, pitch)| pitch.class()).filter(|it| !is_leading(*it)).peekable();
        let is_dominant = rest.peek().is_some() && rest.all(|class| self.others.contains(&class));
        (leading.len() > 1 && is_dominant).then_some(leading)
    }
}

/// Whether voices have their notes of one line: of an oboe with the sopranos nothing is said.
fn are_one(texture: &Texture<'_>, notes: &[(usize, usize)], tick: i64) -> bool {
    notes.windows(2).all(|pair| {
        let [(one, _), (other, _)] = pair else { return false };
        let pair = texture.pair(*one, *other);
        pair.is_some_and(|pair| Stretch::holding(pair.doublings(), tick).is_some())
    })
}

impl Rule for DoubledLeadingNote {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(dominants) = Local::of(texture, Dominant::of) else { return };
        let mut marked = None;
        let on_beat = |it: &Sonority<'_>| texture.strength(it.onset()) >= Strength::Pulse;
        for sonority in texture.sonorities().filter(on_beat) {
            let Some(notes) = dominants.at(sonority.onset()).doubled(&sonority) else { continue };
            if marked.as_ref() == Some(&notes) {
                continue;
            }
            if are_one(texture, &notes, sonority.onset()) {
                continue;
            }
            let voices: Vec<usize> = notes.iter().map(|(voice, _)| *voice).collect();
            let (Some(&upper), Some(&lower)) = (voices.first(), voices.last()) else { continue };
            let (Some(one), Some(other)) = (sonority.pitch(upper), sonority.pitch(lower)) else { continue };
            let message = format!("{} double the leading note", listed(texture, &voices));
            marked = Some(notes.clone());
            let spot = Spot::new(sonority.onset(), notes);
            report.add(spot, format_args!("{message}"), Evidence::of_vertical(one, other));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DoubledLeadingNote;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found, found_in, found_in_fugue};

    #[test]
    fn finds_two_leading_notes_once() {
        assert_eq!(
            found(&DoubledLeadingNote, "4/4", &["B4:1", "B3:1", "G3:1/2 G3"]),
            ["bar 1, beat 1: Caution [(0, 0), (1, 0)] soprano and alto double the leading note"]
        );
        let minor = found_in(&DoubledLeadingNote, "A minor", "4/4", &["G#4:1", "E4:1", "G#3:1"]);
        assert_eq!(
            minor,
            ["bar 1, beat 1: Caution [(0, 0), (2, 0)] soprano and tenor double the leading note"]
        );
    }

    #[test]
    fn finds_three_leading_notes_once() {
        let found = found(&DoubledLeadingNote, "4/4", &["B4:1", "B3:1", "B3:1", "G3:1"]);
        assert_eq!(
            found,
            [
                "bar 1, beat 1: Caution [(0, 0), (1, 0), (2, 0)] soprano, alto and tenor double the leading note"
            ]
        );
    }

    #[test]
    fn allows_a_line_that_is_doubled() {
        let lines = ["G4:1/4 A4 B4 C5", "G3:1/4 A3 B3 C4", "E3:1/4 D3 G3 C3"];
        assert!(found(&DoubledLeadingNote, "4/4", &lines).is_empty());
    }

    #[test]
    fn allows_the_seventh_degree_in_another_chord() {
        assert!(found(&DoubledLeadingNote, "4/4", &["B4:1", "B3:1", "E3:1"]).is_empty());
        assert!(found_in(&DoubledLeadingNote, "A minor", "4/4", &["G4:1", "G3:1", "E3:1"]).is_empty());
    }

    /// In the answer the key is the dominant: its F sharp leads, and B is a third like another.
    #[test]
    fn finds_the_leading_note_of_the_answer_while_it_sounds() {
        let lines = ["R:1 A4:1/4 F#4 B4 G4", "C4:1/4 D4 E4 C4 D4:1/2 G3", "R:1 D3:1/4 F#3 G3:1/2"];
        assert_eq!(
            found_in_fugue(&DoubledLeadingNote, &lines, &[(Subject, 1, 0..4), (Answer, 0, 0..4)]),
            ["bar 2, beat 2: Caution [(0, 1), (2, 1)] soprano and tenor double the leading note"]
        );
    }

    #[test]
    fn allows_the_seventh_degree_of_the_score_in_the_answer() {
        let lines = ["R:1 G4:1/4 B4 D5 G4", "C4:1/4 D4 E4 C4 G4:1", "R:1 G3:1/4 B3 G3:1/2"];
        assert!(!found(&DoubledLeadingNote, "4/4", &lines).is_empty());
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        assert!(found_in_fugue(&DoubledLeadingNote, &lines, &marks).is_empty());
    }

    /// Chorales touch it in passing every few bars.
    #[test]
    fn allows_a_touch_off_the_beat() {
        let lines = ["B4:1/2 C5", "D4:1/8 B3 D4:1/4 E4:1/2", "G3:1/2 C3"];
        assert!(found(&DoubledLeadingNote, "4/4", &lines).is_empty());
    }

    #[test]
    fn allows_other_doublings() {
        assert!(found(&DoubledLeadingNote, "4/4", &["G4:1", "B3:1", "G3:1"]).is_empty());
    }
}
