//! Consonance classes.

use super::{Interval, Quality};

/// How an interval is heard between two parts.
///
/// Source: Grove, *A Dictionary of Music and Musicians*, vol. 3, "Strict Counterpoint", First
/// Order; Cherubini, *A Treatise on Counterpoint and Fugue*, rules 1 and 2.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Consonance {
    /// Perfect unison, fifth, octave and their compounds.
    Perfect,
    /// Major and minor thirds and sixths and their compounds.
    Imperfect,
    /// The perfect fourth: dissonant against the lowest voice, free between upper voices.
    Fourth,
    /// Everything else, augmented and diminished intervals included.
    Dissonant,
}

impl Interval {
    /// The consonance class; compound intervals are judged as their simple form.
    pub fn consonance(self) -> Consonance {
        match (self.steps.abs() % 7, self.quality()) {
            (0 | 4, Quality::Perfect) => Consonance::Perfect,
            (2 | 5, Quality::Major | Quality::Minor) => Consonance::Imperfect,
            (3, Quality::Perfect) => Consonance::Fourth,
            _ => Consonance::Dissonant,
        }
    }
}
