//! Perfect consonances, and how two voices come to them.
//!
//! Pure functions of four pitches, for review and search alike.

use super::Step;
use super::motion::Motion;
use super::turn::{is_leap, is_melodic_step};
use crate::interval::{Consonance, Interval, Quality};
use crate::pitch::{Pitch, PitchClass};

/// A kind of perfect consonance; compounds are judged as simple intervals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Perfect {
    /// A perfect fifth.
    Fifth,
    /// An octave, or a unison.
    Octave,
}

impl Perfect {
    /// The kind of an interval, if it is a perfect consonance; the fourth is none.
    pub fn of(interval: Interval) -> Option<Self> {
        match (interval.consonance(), interval.steps().rem_euclid(7)) {
            (Consonance::Perfect, 0) => Some(Self::Octave),
            (Consonance::Perfect, _) => Some(Self::Fifth),
            _ => None,
        }
    }

    /// The name of such an interval: octaves without any width are unisons.
    pub const fn singular(self, interval: Interval) -> &'static str {
        match (self, interval.steps()) {
            (Self::Fifth, _) => "fifth",
            (Self::Octave, 0) => "unison",
            (Self::Octave, _) => "octave",
        }
    }

    /// The name of several such intervals.
    pub const fn plural(self, interval: Interval) -> &'static str {
        match (self, interval.steps()) {
            (Self::Fifth, _) => "fifths",
            (Self::Octave, 0) => "unisons",
            (Self::Octave, _) => "octaves",
        }
    }
}

/// Whether two voices go the same way, each from a pitch to another.
pub fn go_together(upper: [Pitch; 2], lower: [Pitch; 2]) -> bool {
    matches!(Motion::of(upper, lower), Some(Motion::Parallel | Motion::Similar))
}

/// The perfect consonance that two voices sound before and after, if it is the same.
fn kept(upper: [Pitch; 2], lower: [Pitch; 2]) -> Option<Perfect> {
    let before = Perfect::of(upper[0] - lower[0])?;
    (Perfect::of(upper[1] - lower[1]) == Some(before)).then_some(before)
}

/// Consecutive fifths or octaves in the same direction.
///
/// ```
/// use soggetto::texture::{Perfect, parallel_perfect};
/// let pitch = |name: &str| name.parse();
/// let (upper, lower) = ([pitch("G4")?, pitch("A4")?], [pitch("C4")?, pitch("D4")?]);
/// assert_eq!(parallel_perfect(upper, lower), Some(Perfect::Fifth));
/// # Ok::<(), soggetto::pitch::PitchError>(())
/// ```
pub fn parallel_perfect(upper: [Pitch; 2], lower: [Pitch; 2]) -> Option<Perfect> {
    go_together(upper, lower).then(|| kept(upper, lower)).flatten()
}

/// Consecutive fifths or octaves by contrary motion.
pub fn contrary_perfect(upper: [Pitch; 2], lower: [Pitch; 2]) -> Option<Perfect> {
    (Motion::of(upper, lower) == Some(Motion::Contrary)).then(|| kept(upper, lower)).flatten()
}

/// A fifth or octave reached in the same direction from another interval. The exceptions
/// [`comes_by_step`] and [`keeps_harmony`] are the caller's to ask.
pub fn direct_perfect(upper: [Pitch; 2], lower: [Pitch; 2]) -> Option<Perfect> {
    let reached = Perfect::of(upper[1] - lower[1]);
    reached.filter(|_| kept(upper, lower).is_none() && go_together(upper, lower))
}

/// A diminished fifth followed, in the same direction, by a perfect one.
pub fn is_unequal_fifth(upper: [Pitch; 2], lower: [Pitch; 2]) -> bool {
    let [before, after] = [0, 1].map(|at| upper[at] - lower[at]);
    let is_diminished = matches!(before.quality(), Quality::Diminished(_));
    let is_fifth = before.steps().rem_euclid(7) == 4;
    is_diminished && is_fifth && Perfect::of(after) == Some(Perfect::Fifth) && go_together(upper, lower)
}

/// Whether the upper voice comes by step while the lower one leaps.
pub fn comes_by_step(upper: [Pitch; 2], lower: [Pitch; 2]) -> bool {
    is_melodic_step(upper[1] - upper[0]) && is_leap(lower[1] - lower[0])
}

/// Whether all four notes belong to one triad.
pub fn keeps_harmony(upper: [Pitch; 2], lower: [Pitch; 2]) -> bool {
    let notes = [upper[0], upper[1], lower[0], lower[1]].map(Pitch::class);
    notes.iter().any(|&root| notes.iter().all(|&note| is_in_triad(root, note)))
}

/// Whether a note is the root, third or fifth of some triad on the root.
fn is_in_triad(root: PitchClass, note: PitchClass) -> bool {
    let up = root.up_to(note);
    matches!((up.steps(), up.semitones()), (0, 0) | (2, 3 | 4) | (4, 6..=8))
}

/// Whether a voice passes what the other has just left, without crossing it.
pub fn overlap(upper: [Pitch; 2], lower: [Pitch; 2]) -> bool {
    let ([a, c], [b, d]) = (upper.map(Pitch::height), lower.map(Pitch::height));
    let uncrossed = a >= b && c >= d;
    uncrossed && a != c && b != d && (c < b || d > a)
}

impl Step<'_> {
    /// Consecutive fifths or octaves in the same direction; see [`parallel_perfect`].
    pub fn parallel_perfect(&self) -> Option<Perfect> {
        parallel_perfect(self.upper(), self.lower())
    }

    /// Consecutive fifths or octaves by contrary motion; see [`contrary_perfect`].
    pub fn contrary_perfect(&self) -> Option<Perfect> {
        contrary_perfect(self.upper(), self.lower())
    }

    /// A fifth or octave reached in the same direction; see [`direct_perfect`].
    pub fn direct_perfect(&self) -> Option<Perfect> {
        direct_perfect(self.upper(), self.lower())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pitches(names: [&str; 2]) -> [Pitch; 2] {
        names.map(|name| name.parse().unwrap())
    }

    #[test]
    fn every_way_to_a_fifth_is_told_apart() {
        // Upper voice, lower voice, and which of parallel, contrary, direct, unequal it is.
        let rows = [
            (["G4", "A4"], ["C4", "D4"], "parallel"),
            (["G4", "D5"], ["C4", "G3"], "contrary"),
            (["E4", "A4"], ["C4", "D4"], "direct"),
            (["F4", "G4"], ["B3", "C4"], "direct unequal"),
            (["G4", "F4"], ["C4", "B3"], ""),
            (["G4", "G4"], ["C4", "C4"], ""),
            (["G4", "G4"], ["E4", "C4"], ""),
        ];
        for (upper, lower, expected) in rows {
            let (upper, lower) = (pitches(upper), pitches(lower));
            let found: Vec<&str> = [
                (parallel_perfect(upper, lower).is_some(), "parallel"),
                (contrary_perfect(upper, lower).is_some(), "contrary"),
                (direct_perfect(upper, lower).is_some(), "direct"),
                (is_unequal_fifth(upper, lower), "unequal"),
            ]
            .into_iter()
            .filter_map(|(is_so, name)| is_so.then_some(name))
            .collect();
            assert_eq!(found.join(" "), expected, "{upper:?} over {lower:?}");
        }
    }

    #[test]
    fn fourth_is_no_perfect_consonance_here_and_compounds_are_simple() {
        let kind = |text: &str| Perfect::of(text.parse().unwrap());
        assert_eq!(kind("P4"), None);
        assert_eq!(kind("P12"), Some(Perfect::Fifth));
        assert_eq!(kind("P15"), Some(Perfect::Octave));
        assert_eq!(kind("d5"), None);
    }

    #[test]
    fn inverted_triad_keeps_its_harmony() {
        assert!(keeps_harmony(pitches(["E4", "G4"]), pitches(["G3", "C4"])));
        assert!(!keeps_harmony(pitches(["E4", "A4"]), pitches(["C4", "D4"])));
    }
}
