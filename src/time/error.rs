//! What makes a text or a computed value no time.

use super::{MAX_DENOMINATOR, MAX_WHOLES, Time};

/// What makes a text or a computed value no time.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TimeError {
    /// Not a whole number or a fraction, as in `x`, `1/2/3`, `0.25`.
    #[error("{text:?} is not a time: write a fraction of a whole note, as in 1/4 or 3/16")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// A space in or around a fraction, as in `1 / 4`.
    #[error("{text:?} is not a time: it holds a space (write 1/4, not 1 / 4)")]
    Space {
        /// What was given.
        text: String,
    },
    /// A plus sign, or a sign after the stroke, as in `1/-4`.
    #[error("{text:?} is not a time: the only sign is a minus before the whole fraction, as in -1/4")]
    Sign {
        /// What was given.
        text: String,
    },
    /// More digits than any time within the limits has.
    #[error(
        "{text:?} has too many digits: denominators go to {MAX_DENOMINATOR}, times to {MAX_WHOLES} whole notes"
    )]
    Digits {
        /// What was given.
        text: String,
    },
    /// A denominator of zero.
    #[error("{numerator}/0 is not a time: the denominator must be at least 1")]
    ZeroDenominator {
        /// The numerator given.
        numerator: i128,
    },
    /// Too fine or too large.
    #[error(
        "{numerator}/{denominator} is out of range: denominators go to {MAX_DENOMINATOR}, times to {MAX_WHOLES} whole notes"
    )]
    Range {
        /// The numerator.
        numerator: i128,
        /// The denominator.
        denominator: i128,
    },
    /// Counting in units of nothing or of a negative time.
    #[error("{unit} is no unit to count in: it must be greater than 0")]
    Unit {
        /// The unit asked for.
        unit: Time,
    },
    /// A time between two ticks of a [`Grid`](super::Grid).
    #[error(
        "{time} lies between two ticks of a grid of {per_whole} to the whole note (make the grid from all times of the piece)"
    )]
    OffGrid {
        /// The time.
        time: Time,
        /// Ticks a whole note.
        per_whole: i64,
    },
}

impl TimeError {
    /// A stable word for scripts.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "time-syntax",
            Self::Space { .. } => "time-space",
            Self::Sign { .. } => "time-sign",
            Self::Digits { .. } => "time-digits",
            Self::ZeroDenominator { .. } => "time-zero-denominator",
            Self::Range { .. } => "time-range",
            Self::Unit { .. } => "time-unit",
            Self::OffGrid { .. } => "time-off-grid",
        }
    }
}
