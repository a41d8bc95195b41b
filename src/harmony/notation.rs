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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn message(text: &str) -> String {
        text.parse::<Harmony>().unwrap_err().to_string()
    }

    #[test]
    fn missing_duration_repeats_the_one_before() {
        let plan: Harmony = "i:3/4 V7:3/8 i6".parse().unwrap();
        assert_eq!(plan.to_string(), "i:3/4 V7:3/8 i6:3/8");
    }

    #[test]
    fn all_refusals_say_what_where_and_how_to_mend() {
        assert_eq!(
            message("i:1/4 H:1/4"),
            "chord 2: \"H\" is not a Roman numeral: write i, V7, viio6, IV64 or V7/V"
        );
        assert_eq!(
            message("i:1/4 V7:x"),
            "chord 2: \"x\" is not a time: write a fraction of a whole note, as in 1/4 or 3/16"
        );
        assert_eq!(message("i V7:1/4"), "chord 1 has no duration: write it after a colon, as in V7:1/4");
        assert_eq!(message("i:1/4 V:0"), "chord 2: a duration of 0 is impossible: it must be greater than 0");
        assert_eq!(
            message("i:1000000 V:1"),
            "chord 2: 1000001/1 is out of range: denominators go to 1000000, times to 1000000 whole notes"
        );
        let many = "i:1/4 ".repeat(super::super::MAX_CHORDS + 1);
        assert_eq!(message(&many), "chord 100001: a plan has at most 100000 chords: split it");
    }

    #[test]
    fn length_error_says_by_how_much() {
        let plan: Harmony = "I:1 V:1/2".parse().unwrap();
        let message = |length: &str| plan.check_length(length.parse().unwrap()).unwrap_err().to_string();
        assert_eq!(
            message("7/4"),
            "the harmony is too short by 1/4: it lasts 3/2 where the subject lasts 7/4 (lengthen the last chord by 1/4)"
        );
        assert_eq!(
            message("5/4"),
            "the harmony is too long by 1/4: it lasts 3/2 where the subject lasts 5/4 (shorten the last chord by 1/4)"
        );
    }

    #[cfg(feature = "serde")]
    #[test]
    fn json_is_the_text() {
        let plan: Harmony = serde_json::from_str("\"I:1 V7/V:1/2\"").unwrap();
        assert_eq!(serde_json::to_string(&plan).unwrap(), "\"I:1 V7/V:1/2\"");
    }

    proptest! {
        #[test]
        fn prop_parsing_inverts_printing(
            chords in prop::collection::vec((crate::chord::any_numeral(), 1..100_i64, 1..100_i64), 0..20)
        ) {
            let chords = chords.into_iter().map(|(numeral, n, d)| (numeral, Time::new(n, d).unwrap()));
            if let Ok(plan) = Harmony::new(chords) {
                prop_assert_eq!(plan.to_string().parse::<Harmony>(), Ok(plan));
            }
        }

        #[test]
        fn prop_any_text_is_read_or_refused(text in "([iIvV67/:R0-9 |]{0,12} ?){0,6}") {
            let _ = text.parse::<Harmony>();
        }
    }
}
