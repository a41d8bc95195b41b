//! How two voices move against each other.

use crate::interval::{Consonance, Interval};
use crate::pitch::Pitch;

/// The motion of two voices from one pair of notes to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Motion {
    /// The same way by the same number of steps: the interval keeps its number.
    Parallel,
    /// The same way by different intervals.
    Similar,
    /// Towards or away from each other.
    Contrary,
    /// One moves, the other stays.
    Oblique,
}

impl Motion {
    /// The motion of two voices, each from a pitch to a pitch; `None` if both stay.
    pub fn of(upper: [Pitch; 2], lower: [Pitch; 2]) -> Option<Self> {
        let (a, b) = (upper[1] - upper[0], lower[1] - lower[0]);
        match (a == Interval::UNISON, b == Interval::UNISON) {
            (true, true) => None,
            (true, false) | (false, true) => Some(Self::Oblique),
            _ if a.is_descending() != b.is_descending() => Some(Self::Contrary),
            _ if a.steps() == b.steps() => Some(Self::Parallel),
            _ => Some(Self::Similar),
        }
    }
}

/// Whether the notes of two voices clash: the fourth counts only against the lowest sounding
/// voice, so the caller says whether the lower of the two is that.
pub fn is_dissonant(interval: Interval, against_lowest: bool) -> bool {
    match interval.consonance() {
        Consonance::Dissonant => true,
        Consonance::Fourth => against_lowest,
        Consonance::Perfect | Consonance::Imperfect => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_motions_are_told_apart() {
        let rows = [
            (["G4", "A4"], ["C4", "D4"], Some(Motion::Parallel)),
            (["E4", "F4"], ["C4", "D4"], Some(Motion::Parallel)),
            (["E4", "A4"], ["C4", "D4"], Some(Motion::Similar)),
            (["E4", "F4"], ["C4", "B3"], Some(Motion::Contrary)),
            (["E4", "E4"], ["C4", "D4"], Some(Motion::Oblique)),
            (["E4", "Eb4"], ["C4", "C4"], Some(Motion::Oblique)),
            (["E4", "E4"], ["C4", "C4"], None),
        ];
        for (upper, lower, motion) in rows {
            let pitches = |names: [&str; 2]| names.map(|name| name.parse().unwrap());
            assert_eq!(Motion::of(pitches(upper), pitches(lower)), motion, "{upper:?} {lower:?}");
        }
    }

    // Handbook rules, G1 and G7.
    #[test]
    fn fourth_is_dissonant_against_the_lowest_voice_alone() {
        let clash = |text: &str, against_lowest| is_dissonant(text.parse().unwrap(), against_lowest);
        assert!(clash("P4", true) && !clash("P4", false) && clash("P11", true));
        assert!(clash("A4", false) && clash("d5", false) && clash("A2", false) && clash("M9", false));
        assert!(!clash("m3", true) && !clash("M6", true) && !clash("P12", true) && !clash("P15", true));
    }
}
