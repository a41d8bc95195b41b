//! Scores: voices with their lines over one key and the meters of a piece.
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
//! `{"key", "meter", "pickup", "meters"?: [{"bar", "meter"}], "voices": [{"name", "compass"?,
//! "tessitura"?, "clef", "transposition", "sound", "line"}]}`, each value in its text form and the top
//! part first. The pickup may be missing and is then 0; `meters` are the changes of meter, in order
//! of bars, and missing where there are none. All of a voice but its name and its line may be missing,
//! and [`Voice::new`] then fills it in. Lines may have bar lines; an unknown field is an error.

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

#[cfg(feature = "serde")]
pub(crate) use json::ChangeFile as MeterChangeFile;

use crate::ensemble::{Ensemble, MAX_VOICES};
use crate::key::Key;
use crate::line::Line;
use crate::meter::{Meter, Meters};
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

/// Voices, top part first, over one key and one meter, which may change ([`Score::over`]).
///
/// Every score guarantees: one to [`MAX_VOICES`] parts, a pickup shorter than a bar, and one
/// [`Grid`] for all times. Parts may differ in length: the shorter rest until the end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Score {
    key: Key,
    meters: Meters,
    parts: Vec<Part>,
}

impl Score {
    /// A score; time zero is the beginning of the pickup, if there is one.
    ///
    /// # Errors
    /// If there are no parts or too many, the pickup is as long as a bar, or the times do not fit
    /// on one grid.
    pub fn new(key: Key, meter: Meter, pickup: Time, parts: Vec<Part>) -> Result<Self, ScoreError> {
        Self::over(key, meters(meter, pickup)?, parts)
    }

    /// A score over meters that may change.
    ///
    /// ```
    /// use soggetto::{meter::Meters, score::{Part, Score}, voice::Voice};
    /// let meters = Meters::new("4/4".parse()?, "0".parse()?)?.with_change(2, "3/4".parse()?)?;
    /// let part = Part { voice: Voice::new("alto"), line: "C4:1 D4:3/4 E4:3/4".parse()? };
    /// let score = Score::over("C major".parse()?, meters, vec![part])?;
    /// assert_eq!(score.place("9/4".parse()?)?.to_string(), "bar 3, beat 3");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If there are no parts or too many, or the times do not fit on one grid.
    pub fn over(key: Key, meters: Meters, parts: Vec<Part>) -> Result<Self, ScoreError> {
        if parts.is_empty() || parts.len() > MAX_VOICES {
            return Err(ScoreError::Parts { count: parts.len() });
        }
        let score = Self { key, meters, parts };
        score.grid().map_err(|source| ScoreError::Grid { source })?;
        Ok(score)
    }

    /// Other parts over the same key and meters.
    ///
    /// # Errors
    /// As [`Score::over`].
    pub fn with_parts(&self, parts: Vec<Part>) -> Result<Self, ScoreError> {
        Self::over(self.key, self.meters.clone(), parts)
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

    /// The meter of the first bar.
    pub const fn meter(&self) -> Meter {
        self.meters.first()
    }

    /// The meters, with their changes.
    pub const fn meters(&self) -> &Meters {
        &self.meters
    }

    /// The length of the incomplete first bar; zero if there is none.
    pub const fn pickup(&self) -> Time {
        self.meters.pickup()
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
        let mut times = vec![self.pickup()];
        for (_, meter) in self.meters.iter() {
            times.push(meter.unit().scaled(1, 2)?);
        }
        for part in &self.parts {
            times.push(part.line.grid()?.time(1)?);
        }
        Grid::of(times)
    }
}

/// One meter throughout.
fn meters(meter: Meter, pickup: Time) -> Result<Meters, ScoreError> {
    Meters::new(meter, pickup).map_err(|_| ScoreError::Pickup { pickup, meter })
}

#[cfg(test)]
mod tests;
