//! Text of lines.

use super::Line;
use crate::meter::Meter;
use crate::pitch::{Pitch, PitchError};
use crate::time::{Time, TimeError};
use std::fmt;
use std::str::FromStr;

/// What makes a text or a list of events no line. Events and notes are counted from 1 in messages
/// and from 0 in the fields.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LineError {
    /// A token is no pitch.
    #[error("note {}: {source}", event + 1)]
    Pitch {
        /// Index of the token, bar lines not counted.
        event: usize,
        /// What is wrong.
        source: PitchError,
    },
    /// A duration is no time or out of range.
    #[error("note {}: {source}", event + 1)]
    Time {
        /// Index of the token, bar lines not counted.
        event: usize,
        /// What is wrong.
        source: TimeError,
    },
    /// The first token has no duration to repeat.
    #[error("note 1 has no duration: write it after a colon, as in C4:1/4")]
    NoDuration,
    /// A duration is zero or negative.
    #[error("note {}: a duration of {duration} is impossible: it must be greater than 0", event + 1)]
    Duration {
        /// Index of the event.
        event: usize,
        /// The duration.
        duration: Time,
    },
    /// A bar line stands where the meter has none.
    #[error("bar {bar} is too {} by {by}: it holds {holds} where the meter {meter} allows {allows}", if *long { "long" } else { "short" })]
    Bar {
        /// The bar, counted from 1, a pickup being bar 0.
        bar: i64,
        /// Too long, or else too short.
        long: bool,
        /// By how much.
        by: Time,
        /// What the bar holds.
        holds: Time,
        /// What it may hold.
        allows: Time,
        /// The meter.
        meter: Meter,
    },
    /// Bar lines without a meter to check them against.
    #[error("a bar line needs a meter to be checked against: give the meter, or leave the bar lines out")]
    BarLine,
    /// A note begins before the one before has ended, or outlasts the line.
    #[error("note {} begins before the one before has ended, or outlasts the line", note + 1)]
    Overlap {
        /// Index of the note.
        note: usize,
    },
    /// More notes than a line may have.
    #[error("note {}: a line has at most {} notes: split it", event + 1, super::MAX_NOTES)]
    TooLong {
        /// Index of the event.
        event: usize,
    },
}

impl LineError {
    pub(super) fn at(self, index: usize) -> Self {
        match self {
            Self::Time { source, .. } => Self::Time { event: index, source },
            Self::Duration { duration, .. } => Self::Duration { event: index, duration },
            Self::TooLong { .. } => Self::TooLong { event: index },
            other => other,
        }
    }
}

impl Line {
    /// Reads a line whose bar lines, if any, are checked against the meter and the place of the
    /// first note in its bar.
    ///
    /// # Errors
    /// If a token cannot be read, or a bar is too long or too short.
    pub fn parse_in(text: &str, _meter: Meter, _offset: Time) -> Result<Self, LineError> {
        text.parse()
    }
}

impl FromStr for Line {
    type Err = LineError;
    fn from_str(text: &str) -> Result<Self, LineError> {
        let mut duration = None;
        let mut events = Vec::new();
        for (event, token) in text.split_whitespace().enumerate() {
            if token == "|" {
                return Err(LineError::BarLine);
            }
            let (name, time) = token.split_once(':').map_or((token, None), |(name, time)| (name, Some(time)));
            if let Some(time) = time {
                duration = Some(time.parse().map_err(|source| LineError::Time { event, source })?);
            }
            let pitch = match name {
                "R" => None,
                name => Some(name.parse::<Pitch>().map_err(|source| LineError::Pitch { event, source })?),
            };
            events.push((pitch, duration.ok_or(LineError::NoDuration)?));
        }
        Self::from_events(events)
    }
}

impl fmt::Display for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, event) in self.events().iter().enumerate() {
            let space = if index == 0 { "" } else { " " };
            match event.pitch {
                Some(pitch) => write!(f, "{space}{pitch}:{}", event.duration)?,
                None => write!(f, "{space}R:{}", event.duration)?,
            }
        }
        Ok(())
    }
}

impl fmt::Debug for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

crate::text_serde::serde_as_text!(Line);
