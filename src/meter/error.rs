//! What makes a text or figures no meter, or a bar and beat no place in it.

use super::{MAX_LOWER, MAX_PULSES, MAX_UPPER, Meter};
use crate::time::{Time, TimeError};

/// What makes a text or a pair of figures no meter, or a bar and beat no place in it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum MeterError {
    /// Not of the form of a meter.
    #[error("{text:?} is not a meter: write 3/4, 6/8, or the groups of an irregular one as 2+2+3/8")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// The upper figure is zero or too large.
    #[error("{text:?} is not a meter: the upper figure runs from 1 to {MAX_UPPER}")]
    Upper {
        /// What was given.
        text: String,
    },
    /// One of several groups is zero.
    #[error("{text:?} is not a meter: every group holds at least 1 unit (leave the empty one out)")]
    Group {
        /// What was given.
        text: String,
    },
    /// The figures mean too many pulses.
    #[error(
        "{text:?} has {pulses} beats or groups in the bar, at most {MAX_PULSES} are allowed (write larger groups, as in 3+3+2/8)"
    )]
    Pulses {
        /// What was given.
        text: String,
        /// How many it means.
        pulses: usize,
    },
    /// The lower figure is no power of two up to [`MAX_LOWER`].
    #[error("{text:?} is not a meter: the lower figure is 1, 2, 4, 8, 16, 32 or {MAX_LOWER}")]
    Lower {
        /// What was given.
        text: String,
    },
    /// A beat that the bar does not have.
    #[error("there is no beat {beat} in {meter}: beats run from 1 up to, but not including, {}", meter.upper() + 1)]
    Beat {
        /// The beat asked for.
        beat: Time,
        /// The meter.
        meter: Meter,
    },
    /// A pickup that is not shorter than a bar.
    #[error("a pickup of {pickup} is impossible in {meter}: it must be shorter than a bar, and not negative")]
    Pickup {
        /// The pickup given.
        pickup: Time,
        /// The meter.
        meter: Meter,
    },
    /// A change of meter before an earlier one.
    #[error("the meter cannot change in bar {bar}: changes stand in order, here from bar {first} on")]
    Change {
        /// The bar given.
        bar: i64,
        /// The first bar in which it can change.
        first: i64,
    },
    /// A place out of range.
    #[error(transparent)]
    Time(#[from] TimeError),
}

impl MeterError {
    /// A stable word for scripts.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "meter-syntax",
            Self::Upper { .. } => "meter-upper",
            Self::Group { .. } => "meter-group",
            Self::Pulses { .. } => "meter-pulses",
            Self::Lower { .. } => "meter-lower",
            Self::Beat { .. } => "meter-beat",
            Self::Pickup { .. } => "meter-pickup",
            Self::Change { .. } => "meter-change",
            Self::Time(error) => error.code(),
        }
    }

    /// The same error about the text that the caller wrote.
    pub(super) fn quoting(self, text: String) -> Self {
        match self {
            Self::Syntax { .. } => Self::Syntax { text },
            Self::Upper { .. } => Self::Upper { text },
            Self::Group { .. } => Self::Group { text },
            Self::Pulses { pulses, .. } => Self::Pulses { text, pulses },
            Self::Lower { .. } => Self::Lower { text },
            Self::Beat { .. } | Self::Pickup { .. } | Self::Change { .. } | Self::Time(_) => self,
        }
    }
}
