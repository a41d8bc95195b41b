//! How a note is heard, and what kinds of answer there are.

use crate::interval::Interval;
use std::fmt;

/// How a note of the subject is heard, and so at which interval it is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Reading {
    /// In the tonic: answered at the fifth above (or the fourth below).
    Tonic,
    /// In the dominant: answered at the fourth above (or the fifth below).
    Dominant,
}

impl Reading {
    /// The interval from the subject's note up to the answer's.
    ///
    /// ```
    /// use soggetto::{answer::Reading, interval::Interval};
    /// assert_eq!(Reading::Dominant.interval(), Interval::PERFECT_FOURTH);
    /// ```
    pub const fn interval(self) -> Interval {
        match self {
            Self::Tonic => Interval::PERFECT_FIFTH,
            Self::Dominant => Interval::PERFECT_FOURTH,
        }
    }
}

/// The kinds of answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum AnswerKind {
    /// An exact transposition into the dominant (or, for a subject wholly in the dominant, into the tonic).
    Real,
    /// Some notes at the fifth, some at the fourth.
    Tonal,
    /// A transposition into the subdominant.
    Subdominant,
}

impl AnswerKind {
    /// The name, as musicians say it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Real => "real",
            Self::Tonal => "tonal",
            Self::Subdominant => "subdominant",
        }
    }
}

impl fmt::Display for AnswerKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}
