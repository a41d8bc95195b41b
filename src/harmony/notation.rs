//! Text of harmonic plans: `i:3/4 V7:3/8 i6`.

use super::Harmony;
use crate::chord::{Numeral, NumeralError};
use crate::time::{Time, TimeError};
use std::fmt;
use std::str::FromStr;

/// What makes a text or a list of chords no harmonic plan. Chords are counted from 1 in messages
/// and from 0 in the fields.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum HarmonyError {
    /// A token is no Roman numeral.
    #[error("chord {}: {source}", chord + 1)]
    Numeral {
        /// Index of the chord.
        chord: usize,
        /// What is wrong.
        source: NumeralError,
    },
    /// A duration is no time or out of range.
    #[error("chord {}: {source}", chord + 1)]
    Time {
        /// Index of the chord.
        chord: usize,
        /// What is wrong.
        source: TimeError,
    },
    /// The first token has no duration to repeat.
    #[error("chord 1 has no duration: write it after a colon, as in V7:1/4")]
    NoDuration,
    /// A duration is zero or negative.
    #[error("chord {}: a duration of {duration} is impossible: it must be greater than 0", chord + 1)]
    Duration {
        /// Index of the chord.
        chord: usize,
        /// The duration.
        duration: Time,
    },
    /// More chords than a plan may have.
    #[error("chord {}: a plan has at most {} chords: split it", chord + 1, super::MAX_CHORDS)]
    TooMany {
        /// Index of the chord.
        chord: usize,
    },
    /// The plan does not last as long as what it accompanies.
    #[error(
        "the harmony is too {} by {by}: it lasts {given} where the subject lasts {length} ({} the last chord by {by})",
        if *long { "long" } else { "short" },
        if *long { "shorten" } else { "lengthen" }
    )]
    Length {
        /// Too long, or else too short.
        long: bool,
        /// By how much.
        by: Time,
        /// How long the plan lasts.
        given: Time,
        /// How long it is to last.
        length: Time,
    },
}

impl HarmonyError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Numeral { .. } => "harmony-numeral",
            Self::Time { .. } => "harmony-time",
            Self::NoDuration => "harmony-no-duration",
            Self::Duration { .. } => "harmony-duration",
            Self::TooMany { .. } => "harmony-too-many",
            Self::Length { .. } => "harmony-length",
        }
    }
}

impl fmt::Display for Harmony {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, span) in self.spans().iter().enumerate() {
            let space = if index == 0 { "" } else { " " };
            write!(f, "{space}{}:{}", span.numeral, span.duration)?;
        }
        Ok(())
    }
}

impl fmt::Debug for Harmony {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Harmony {
    type Err = HarmonyError;
    fn from_str(text: &str) -> Result<Self, HarmonyError> {
        let mut duration = None;
        let mut chords = Vec::new();
        for (chord, token) in text.split_whitespace().enumerate() {
            let (name, time) = token.split_once(':').map_or((token, None), |(name, time)| (name, Some(time)));
            if let Some(time) = time {
                duration = Some(time.parse().map_err(|source| HarmonyError::Time { chord, source })?);
            }
            let numeral: Numeral = name.parse().map_err(|source| HarmonyError::Numeral { chord, source })?;
            chords.push((numeral, duration.ok_or(HarmonyError::NoDuration)?));
        }
        Self::new(chords)
    }
}

crate::text_serde::serde_as_text!(Harmony);
