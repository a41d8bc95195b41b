//! Chords that two hands cannot divide.

use super::keyboard::{Keyboards, manual_voices};
use crate::pitch::Pitch;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Sonority, Texture};

#[doc = include_str!("hand_span.md")]
#[derive(Clone, Copy, Debug)]
pub struct HandSpan {
    /// The widest interval that a hand reaches with ease, as a number: 9, the ninth, by default.
    pub easy: u32,
    /// The widest that it reaches at all: 10, the tenth, by default.
    pub widest: u32,
    /// Which scores are judged: those whose voices have the sound of a keyboard, by default.
    pub judged: Keyboards,
}

impl Default for HandSpan {
    fn default() -> Self {
        Self { easy: 9, widest: 10, judged: Keyboards::BySound }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("hand-span"),
    severity: Severity::Caution,
    summary: "no division between two hands keeps within the reach of each",
    page: include_str!("hand_span.md"),
    source: Source::CommonPractice,
};

/// The fingers of a hand.
const FINGERS: usize = 5;

/// Whether the notes, from the top downwards, divide between two hands of a reach.
fn divides(notes: &[(usize, usize, Pitch)], reach: u32) -> bool {
    let fits = |hand: &[(usize, usize, Pitch)]| match hand {
        [(.., highest), .., (.., lowest)] => hand.len() <= FINGERS && (*highest - *lowest).number() <= reach,
        _ => true,
    };
    (0..=notes.len()).any(|at| {
        let (right, left) = notes.split_at(at);
        fits(right) && fits(left)
    })
}

/// The notes under the hands, from the highest downwards.
fn under_the_hands(sonority: &Sonority<'_>, voices: &[usize]) -> Vec<(usize, usize, Pitch)> {
    let mut notes: Vec<_> = sonority.sounding().filter(|(voice, ..)| voices.contains(voice)).collect();
    notes.sort_by_key(|(voice, _, pitch)| (std::cmp::Reverse(pitch.height()), *voice));
    notes
}

/// How badly a sonority lies: not at all, a stretch, out of reach.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lie {
    Easy,
    Stretched,
    OutOfReach,
}

impl HandSpan {
    fn lie(self, notes: &[(usize, usize, Pitch)]) -> Lie {
        match (divides(notes, self.easy), divides(notes, self.widest)) {
            (true, _) => Lie::Easy,
            (false, true) => Lie::Stretched,
            (false, false) => Lie::OutOfReach,
        }
    }
}

fn report_lie(lie: Lie, onset: i64, notes: &[(usize, usize, Pitch)], report: &mut Report<'_>) {
    let ([(.., highest), ..], [.., (.., lowest)]) = (notes, notes) else { return };
    let spot = Spot::new(onset, notes.iter().map(|(voice, note, _)| (*voice, *note)).collect());
    let evidence = Evidence::of_vertical(*highest, *lowest);
    match lie {
        Lie::Easy => {}
        Lie::Stretched => report.add_lighter(spot, format_args!("one hand has to stretch"), evidence),
        Lie::OutOfReach => {
            report.add(spot, format_args!("the notes cannot be divided between two hands"), evidence);
        }
    }
}

impl Rule for HandSpan {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let voices = manual_voices(texture, self.judged);
        if voices.len() < 3 {
            return;
        }
        let mut before = Lie::Easy;
        for sonority in texture.sonorities() {
            let notes = under_the_hands(&sonority, &voices);
            let lie = self.lie(&notes);
            if lie != before {
                report_lie(lie, sonority.onset(), &notes, report);
            }
            before = lie;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{HandSpan, Keyboards};
    use crate::rules::trial::found;
    use crate::score::Score;
    use crate::texture::Texture;

    const ANY: HandSpan = HandSpan { easy: 9, widest: 10, judged: Keyboards::Always };

    #[test]
    fn finds_three_notes_too_far_apart_for_two_hands() {
        assert_eq!(
            found(&ANY, "4/4", &["A5:1/2 B5", "E4:1", "B2:1"]),
            ["bar 1, beat 1: Caution [(0, 0), (1, 0), (2, 0)] the notes cannot be divided between two hands"]
        );
    }

    #[test]
    fn finds_a_tenth_in_one_hand_as_a_lighter_matter() {
        assert_eq!(
            found(&ANY, "4/4", &["A5:1", "F4:1", "A2:1"]),
            ["bar 1, beat 1: Remark [(0, 0), (1, 0), (2, 0)] one hand has to stretch"]
        );
    }

    #[test]
    fn allows_what_lies_under_the_hands_and_wide_duets() {
        assert!(found(&ANY, "4/4", &["G5:1", "F4:1", "C4:1", "D3:1"]).is_empty());
        assert!(found(&ANY, "4/4", &["A5:1", "R:1", "C2:1"]).is_empty());
    }

    #[test]
    fn allows_voices_that_are_no_keyboard_unless_told() {
        let lines = ["A5:1", "E4:1", "B2:1"];
        let score = Score::excerpt("C major", "4/4", &lines).unwrap();
        assert!(Texture::of(&score).marks(&HandSpan::default()).is_empty());
        assert_eq!(found(&ANY, "4/4", &lines).len(), 1);
    }
}
