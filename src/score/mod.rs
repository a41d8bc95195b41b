//! Scores: voices with their lines over one meter and key.
//!
//! A [`Score`] has one or more [`Part`]s, each a [`Voice`] with its [`Line`], and knows where
//! everything is: [`Score::place`] turns an onset into bar and beat, [`Score::onset_of`] turns it back.
//!
//! ```
//! use soggetto::{line::Line, score::{Part, Score}, time::Time, voice::Voice};
//! let line: Line = "G4:1/4 C5:1/2 B4:1/4 C5:3/4".parse()?;
//! let part = Part { voice: Voice::new("soprano"), line };
//! let score = Score::new("C major".parse()?, "3/4".parse()?, "1/4".parse()?, vec![part])?;
//! assert_eq!(score.place("3/4".parse()?)?.to_string(), "bar 1, beat 3");
//! assert_eq!(score.onset_of(1, "3".parse()?)?, Time::new(3, 4)?);
//! assert_eq!(score.bar_count(), 2);
//! # Ok::<(), soggetto::Error>(())
//! ```
//!
//! With the feature `serde` a score is read and written as
//! `{"key", "meter", "pickup", "voices": [{"name", "compass"?, "tessitura"?, "clef",
//! "transposition", "sound", "line"}]}`, each value in its text form and the top part first. The
//! pickup may be missing and is then 0, as may all of a voice but its name and its line, which
//! [`Voice::new`] then fills in. Lines may have bar lines; an unknown field is an error.

mod bars;
mod error;
mod excerpt;
#[cfg(feature = "serde")]
mod json;
mod place;
#[cfg(test)]
pub(crate) mod strategy;

pub use error::ScoreError;
pub use excerpt::ExcerptError;
pub use place::Place;

use crate::ensemble::{Ensemble, MAX_VOICES};
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
/// [`Grid`] for all times. Parts may differ in length: the shorter rest until the end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Score {
    key: Key,
    meter: Meter,
    pickup: Time,
    parts: Vec<Part>,
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
        check_pickup(pickup, meter)?;
        let score = Self { key, meter, pickup, parts };
        score.grid().map_err(|source| ScoreError::Grid { source })?;
        Ok(score)
    }

    /// With the compasses of an ensemble, from the top part downwards; parts beyond its voices keep
    /// theirs.
    #[must_use]
    pub fn with_compasses_of(mut self, ensemble: &Ensemble) -> Self {
        for (part, player) in self.parts.iter_mut().zip(ensemble.voices()) {
            if let Some(compass) = player.compass() {
                part.voice = part.voice.clone().with_compass(compass);
            }
        }
        self
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

    /// The coarsest grid on which all times fall, bar lines, beats and halves of beats included.
    ///
    /// # Errors
    /// If it would be too fine, which the guarantees of a score exclude.
    pub fn grid(&self) -> Result<Grid, TimeError> {
        let mut times = vec![self.pickup, self.meter.unit().scaled(1, 2)?];
        for part in &self.parts {
            times.push(part.line.grid()?.time(1)?);
        }
        Grid::of(times)
    }
}

fn check_pickup(pickup: Time, meter: Meter) -> Result<(), ScoreError> {
    if pickup < Time::ZERO || pickup >= meter.bar() {
        return Err(ScoreError::Pickup { pickup, meter });
    }
    Ok(())
}

#[cfg(test)]
mod tests;
