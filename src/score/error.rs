//! What can be wrong with a score.

use super::Place;
use crate::ensemble::MAX_VOICES;
use crate::line::LineError;
use crate::meter::{Meter, MeterError};
use crate::time::{Time, TimeError};

/// What makes parts no score, or a bar and beat no place. Parts are counted from 1 in messages and
/// from 0 in the fields.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ScoreError {
    /// No parts or too many.
    #[error("a score has 1 to {MAX_VOICES} parts, not {count}")]
    Parts {
        /// How many were given.
        count: usize,
    },
    /// The pickup is not shorter than a bar.
    #[error("a pickup of {pickup} is impossible in {meter}: it must be shorter than a bar, and not negative")]
    Pickup {
        /// The pickup given.
        pickup: Time,
        /// The meter.
        meter: Meter,
    },
    /// The times of the parts do not fit on one grid.
    #[error("the parts have no common division of time: {source}")]
    Grid {
        /// What is wrong.
        source: TimeError,
    },
    /// A sound that the General MIDI standard does not have.
    #[error("part {} ({name}): there is no sound {sound}: General MIDI programs run from 1 to 128", part + 1)]
    Sound {
        /// Index of the part.
        part: usize,
        /// Its name.
        name: String,
        /// The sound given.
        sound: u64,
    },
    /// The text of a part cannot be read.
    #[error("part {} ({name}): {source}", part + 1)]
    Line {
        /// Index of the part.
        part: usize,
        /// Its name.
        name: String,
        /// What is wrong.
        source: LineError,
    },
    /// The meter has no such beat.
    #[error("beat {beat} does not exist in {meter}: beats run from 1 to less than {}", meter.upper() + 1)]
    Beat {
        /// The beat asked for.
        beat: Time,
        /// The meter.
        meter: Meter,
    },
    /// A place before the beginning.
    #[error("bar {bar}, beat {beat} does not exist: the piece begins at {first}")]
    Before {
        /// The bar asked for.
        bar: i64,
        /// The beat asked for.
        beat: Time,
        /// Where the piece begins.
        first: Place,
    },
    /// The meter cannot change there.
    #[error(transparent)]
    Meter(#[from] MeterError),
    /// A time out of range.
    #[error(transparent)]
    Time(#[from] TimeError),
}

impl ScoreError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Parts { .. } => "score-parts",
            Self::Pickup { .. } => "score-pickup",
            Self::Grid { .. } => "score-grid",
            Self::Sound { .. } => "score-sound",
            Self::Line { .. } => "score-line",
            Self::Beat { .. } => "score-beat",
            Self::Before { .. } => "score-before",
            Self::Meter(source) => source.code(),
            Self::Time(_) => "score-time",
        }
    }
}
