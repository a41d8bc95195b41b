//! The leading note in two voices.

use crate::key::Key;
use crate::meter::Strength;
use crate::pitch::PitchClass;
use crate::rules::local::Local;
use crate::rules::words::listed;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::scale::Degree;
use crate::source::Source;
use crate::texture::{Pair, Sonority, Stretch, Texture};

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

/// The notes of the dominant seventh chord.
struct Dominant {
    leading: PitchClass,
    root: PitchClass,
    fifth: PitchClass,
    /// The subdominant of the key.
    seventh: PitchClass,
    /// Whether the leading note is raised, as in minor: then it leads whatever the dominant is.
    is_raised: bool,
}

impl Dominant {
    fn of(key: Key) -> Option<Self> {
        let degree = |steps| key.class(Degree::of_steps(steps)).ok();
        let leading = key.leading_note().ok()?;
        let is_raised = degree(6)? != leading;
        Some(Self { leading, root: degree(4)?, fifth: degree(1)?, seventh: degree(3)?, is_raised })
    }

    /// Whether there are notes beside the leading note, all of dominant harmony.
    fn is_made(&self, rest: &[PitchClass]) -> bool {
        !rest.is_empty() && rest.iter().all(|class| [self.root, self.fifth, self.seventh].contains(class))
    }

    /// Whether the dominant is the tonic of the moment: a voice has come to it from its own leading note, the
    /// raised fourth degree of a key in major. In minor that would have the third unraised.
    fn is_tonic(&self, texture: &Texture<'_>, tick: i64) -> bool {
        let is_raised = |class: PitchClass| {
            let up = self.seventh.up_to(class);
            (up.steps(), up.semitones()) == (0, 1)
        };
        let mut voices = 0..texture.voices();
        !self.is_raised
            && voices.any(|voice| {
                let tones = texture.tones(voice);
                let now = tones.partition_point(|tone| tone.end <= tick);
                let before = now.checked_sub(1).and_then(|before| tones.get(before));
                before.zip(texture.sounding(voice, tick)).is_some_and(|(from, to)| {
                    let follows = to.onset - from.end <= texture.accents().bar_at(from.end);
                    follows && is_raised(from.pitch.class()) && to.pitch.class() == self.root
                })
            })
    }

    /// The notes that are the leading note, if there are several and all else is dominant harmony.
    fn doubled(&self, sonority: &Sonority<'_>) -> Option<Vec<(usize, usize)>> {
        let is_leading = |class: PitchClass| class == self.leading;
        let leading = sonority.sounding().filter(|(_, _, pitch)| is_leading(pitch.class()));
        let leading: Vec<(usize, usize)> = leading.map(|(voice, note, _)| (voice, note)).collect();
        if leading.len() < 2 {
            return None;
        }
        let rest = sonority.sounding().map(|(_, _, pitch)| pitch.class()).filter(|it| !is_leading(*it));
        self.is_made(&rest.collect::<Vec<_>>()).then_some(leading)
    }
}

/// Whether voices have their notes of one line, or go with a choir: of an oboe with the sopranos nothing is
/// said.
fn are_one(texture: &Texture<'_>, notes: &[(usize, usize)], tick: i64) -> bool {
    notes.windows(2).all(|pair| {
        let [(one, _), (other, _)] = pair else { return false };
        let pair = texture.pair(*one, *other);
        let is_one = |pair: Pair<'_>| Stretch::holding(pair.doublings(), tick).is_some();
        pair.is_some_and(|pair| is_one(pair) || pair.is_accompanied())
    })
}

impl Rule for DoubledLeadingNote {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        Reach::along_octaves(texture)
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(dominants) = Local::of(texture, Dominant::of) else { return };
        let mut marked = None;
        let on_beat = |it: &Sonority<'_>| texture.strength(it.onset()) >= Strength::Pulse;
        for sonority in texture.sonorities().filter(on_beat) {
            let dominant = dominants.at(sonority.onset());
            let Some(notes) = dominant.doubled(&sonority) else { continue };
            let is_told = marked.as_ref() == Some(&notes);
            if is_told
                || are_one(texture, &notes, sonority.onset())
                || dominant.is_tonic(texture, sonority.onset())
            {
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

    /// F sharp that rises to G makes G major of the moment, in which B is a third like another.
    #[test]
    fn allows_the_third_of_the_dominant_when_that_is_the_tonic_of_the_moment() {
        let lines = |second: &'static str| ["A4:1/4 B4:3/4", "D4:1/4 B3:3/4", second];
        assert!(found(&DoubledLeadingNote, "4/4", &lines("F#3:1/4 G3:3/4")).is_empty());
        assert_eq!(found(&DoubledLeadingNote, "4/4", &lines("F3:1/4 G3:3/4")).len(), 1);
        let minor = ["F#4:1/4 G#4:3/4", "B3:1/4 G#3:3/4", "D#3:1/4 E3:3/4"];
        assert_eq!(found_in(&DoubledLeadingNote, "A minor", "4/4", &minor).len(), 1);
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
