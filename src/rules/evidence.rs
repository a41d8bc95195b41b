//! What a finding rests on, as data.

use crate::interval::Interval;
use crate::pitch::Pitch;
use crate::time::Time;
use std::fmt;

/// What was seen.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Evidence {
    /// Two voices going from one pair of notes to another.
    Motion {
        /// The upper voice before and after.
        upper: [Pitch; 2],
        /// The lower voice before and after.
        lower: [Pitch; 2],
    },
    /// One voice going from a note to the next.
    Melody {
        /// The note left.
        from: Pitch,
        /// The note reached.
        to: Pitch,
        /// The interval between them.
        interval: Interval,
    },
    /// Two notes sounding together.
    Vertical {
        /// The upper note.
        upper: Pitch,
        /// The lower note.
        lower: Pitch,
        /// The interval between them.
        interval: Interval,
    },
    /// A single note, with the limit it passes.
    Limit {
        /// The note.
        pitch: Pitch,
        /// The limit.
        limit: Pitch,
    },
    /// A stretch of time.
    Stretch {
        /// How long it lasts, in whole notes.
        duration: Time,
    },
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Motion { upper, lower } => {
                write!(f, "{} over {}, then {} over {}", upper[0], lower[0], upper[1], lower[1])
            }
            Self::Melody { from, to, interval } => write!(f, "{from} to {to}, {interval}"),
            Self::Vertical { upper, lower, interval } => write!(f, "{upper} over {lower}, {interval}"),
            Self::Limit { pitch, limit } => write!(f, "{pitch}, the limit being {limit}"),
            Self::Stretch { duration } => write!(f, "{duration} of a whole note"),
        }
    }
}
