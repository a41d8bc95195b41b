//! What can be wrong with a ratio or a concert pitch.

use super::{MAX_HERTZ, MIN_HERTZ, Ratio};

/// What makes a text or a number no ratio or no concert pitch.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TuningError {
    /// The text does not have the form of a ratio.
    #[error("{text:?} is not a ratio: write two whole numbers, as in 3/2")]
    Syntax {
        /// What was given, cut if long.
        text: String,
    },
    /// A ratio with a zero above or below.
    #[error("{numerator}/{denominator} is not a ratio of frequencies: both numbers begin with 1")]
    Zero {
        /// The number above.
        numerator: u64,
        /// The number below.
        denominator: u64,
    },
    /// A product too large to be held exactly.
    #[error(
        "{left} times {right} is too large to be held exactly (in lowest terms both numbers stay below 2^64)"
    )]
    TooLarge {
        /// One ratio.
        left: Ratio,
        /// The other.
        right: Ratio,
    },
    /// A reference frequency outside of hearing, or no number.
    #[error(
        "{hertz} Hz is no concert pitch: it lies between {MIN_HERTZ} and {MAX_HERTZ} Hz (A4 = 440 Hz is usual)"
    )]
    Frequency {
        /// The frequency asked for, as printed.
        hertz: String,
    },
}

impl TuningError {
    /// A stable name of the kind of error.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "ratio-syntax",
            Self::Zero { .. } => "ratio-zero",
            Self::TooLarge { .. } => "ratio-too-large",
            Self::Frequency { .. } => "concert-pitch-frequency",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tuning::ConcertPitch;

    fn refusal(text: &str) -> (String, &'static str) {
        let error = text.parse::<Ratio>().unwrap_err();
        (error.to_string(), error.code())
    }

    #[test]
    fn syntax_error_shows_how_to_write_a_ratio() {
        let message = r#""1.5" is not a ratio: write two whole numbers, as in 3/2"#;
        assert_eq!(refusal("1.5"), (message.to_owned(), "ratio-syntax"));
    }

    #[test]
    fn zero_is_no_frequency() {
        let message = "3/0 is not a ratio of frequencies: both numbers begin with 1";
        assert_eq!(refusal("3/0"), (message.to_owned(), "ratio-zero"));
        assert!(Ratio::new(0, 2).is_err());
    }

    #[test]
    fn product_beyond_exact_numbers_is_refused() {
        let huge = Ratio::new(u64::MAX, 1).unwrap();
        let error = huge.checked_mul(huge).unwrap_err();
        let message = "18446744073709551615/1 times 18446744073709551615/1 is too large to be held \
                       exactly (in lowest terms both numbers stay below 2^64)";
        assert_eq!((error.to_string().as_str(), error.code()), (message, "ratio-too-large"));
    }

    #[test]
    fn frequency_beyond_hearing_is_no_concert_pitch() {
        let error = ConcertPitch::new(crate::pitch::Pitch::A4, 0.0).unwrap_err();
        let message = "0 Hz is no concert pitch: it lies between 1 and 20000 Hz (A4 = 440 Hz is usual)";
        assert_eq!((error.to_string().as_str(), error.code()), (message, "concert-pitch-frequency"));
    }
}
