//! Scores: voices with their lines over one meter and key.

mod excerpt;
mod place;

pub use excerpt::ExcerptError;
pub use place::Place;

use crate::ensemble::MAX_VOICES;
use crate::key::Key;
use crate::line::Line;
use crate::meter::Meter;
use crate::time::{Grid, Time, TimeError};
use crate::voice::Voice;

/// A voice and what it plays.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Who plays.
    pub voice: Voice,
    /// What is played, from the beginning of the piece.
    pub line: Line,
}

/// Voices, top part first, over one meter and key.
///
/// Every score guarantees: one to [`MAX_VOICES`] parts, a pickup shorter than a bar, and one
/// [`Grid`] for all times.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Score {
    key: Key,
    meter: Meter,
    pickup: Time,
    parts: Vec<Part>,
}

/// What makes parts no score.
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
}

impl Score {
    /// A score; time zero is the beginning of the pickup, if there is one.
    ///
    /// # Errors
    /// If there are no parts or too many, the pickup is as long as a bar, or the times do not fit
    /// on one grid.
    pub fn new(key: Key, meter: Meter, pickup: Time, parts: Vec<Part>) -> Result<Self, ScoreError> {
        if parts.is_empty() || parts.len() > MAX_VOICES {
            return Err(ScoreError::Parts { count: parts.len() });
        }
        if pickup < Time::ZERO || pickup >= meter.bar() {
            return Err(ScoreError::Pickup { pickup, meter });
        }
        let score = Self { key, meter, pickup, parts };
        score.grid().map_err(|source| ScoreError::Grid { source })?;
        Ok(score)
    }

    /// The key.
    pub const fn key(&self) -> Key {
        self.key
    }

    /// The meter.
    pub const fn meter(&self) -> Meter {
        self.meter
    }

    /// The length of the incomplete first bar; zero if there is none.
    pub const fn pickup(&self) -> Time {
        self.pickup
    }

    /// The parts, from the top downwards.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }

    /// The length of the longest part.
    pub fn length(&self) -> Time {
        self.parts.iter().map(|part| part.line.length()).max().unwrap_or(Time::ZERO)
    }

    /// The coarsest grid on which all times, bars and pulses included, fall.
    ///
    /// # Errors
    /// If it would be too fine.
    pub fn grid(&self) -> Result<Grid, TimeError> {
        let lines = self.parts.iter().flat_map(|part| {
            let notes = part.line.notes().iter().flat_map(|note| [note.onset(), note.duration()]);
            notes.chain([part.line.length()])
        });
        let half_unit = self.meter.unit().scaled(1, 2)?;
        Grid::of(lines.chain([self.pickup, half_unit]))
    }
}
