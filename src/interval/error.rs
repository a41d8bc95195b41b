//! What can be wrong with an interval.

use super::{Interval, MAX_ALTERATION, MAX_STEPS, Quality};

/// What makes a text or a pair of numbers no interval.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum IntervalError {
    /// The text does not have the form of an interval, as in `third`.
    #[error("{text:?} is not an interval: write a quality and a number, as in m3, P5, A11, -P4")]
    Syntax {
        /// What was given, cut if long.
        text: String,
    },
    /// The quality does not go with the number, as in `P3` or `d1`.
    #[error("{quality}{number} does not exist: {allowed}")]
    Quality {
        /// The quality asked for.
        quality: Quality,
        /// The number asked for.
        number: u32,
        /// The way out.
        allowed: &'static str,
    },
    /// The number is no number of an interval, as in `P0` or `P999`.
    #[error(
        "number {number} is out of range: numbers run from 1, the unison, to {}, twenty octaves",
        MAX_STEPS + 1
    )]
    Number {
        /// The number as given, cut if long.
        number: String,
    },
    /// A perfect unison downwards, `-P1`.
    #[error("-P1 does not exist: a perfect unison has no direction (write P1)")]
    FallingUnison,
    /// The interval lies beyond the limits of this library.
    #[error(
        "an interval of {steps} steps and {semitones} semitones is out of range: \
         at most {MAX_STEPS} steps, at most {MAX_ALTERATION} times augmented or diminished"
    )]
    Range {
        /// Diatonic steps.
        steps: i64,
        /// Semitones.
        semitones: i64,
    },
    /// The interval is wider than the one at which it should be inverted, as `A8` at `P8`.
    #[error("{interval} has no inversion at {frame}: it is the wider (invert at a wider interval)")]
    Inversion {
        /// The interval.
        interval: Interval,
        /// The interval of inversion.
        frame: Interval,
    },
}

impl IntervalError {
    /// A stable name of the kind of error.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "interval-syntax",
            Self::Quality { .. } => "interval-quality",
            Self::Number { .. } => "interval-number",
            Self::FallingUnison => "interval-falling-unison",
            Self::Range { .. } => "interval-range",
            Self::Inversion { .. } => "interval-inversion",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interval::Interval;

    fn refusal(text: &str) -> (String, &'static str) {
        let error = text.parse::<Interval>().unwrap_err();
        (error.to_string(), error.code())
    }

    #[test]
    fn syntax_error_shows_how_to_write_an_interval() {
        let message = r#""third" is not an interval: write a quality and a number, as in m3, P5, A11, -P4"#;
        assert_eq!(refusal("third"), (message.to_owned(), "interval-syntax"));
    }

    #[test]
    fn quality_error_names_the_qualities_of_the_number() {
        let perfect =
            "M5 does not exist: unisons, fourths, fifths and octaves are perfect, augmented or diminished";
        assert_eq!(refusal("M5"), (perfect.to_owned(), "interval-quality"));
        let major = "P10 does not exist: seconds, thirds, sixths and sevenths are major, minor, augmented or diminished";
        assert_eq!(refusal("P10"), (major.to_owned(), "interval-quality"));
        let never = Interval::new(Quality::Augmented(0), 4).unwrap_err();
        assert_eq!(
            never.to_string(),
            "A04 does not exist: an interval is augmented or diminished at least once"
        );
    }

    #[test]
    fn diminished_unison_points_to_the_falling_augmented_one() {
        let message = "d1 does not exist: a unison cannot be diminished (write -A1 for one that falls)";
        assert_eq!(refusal("d1"), (message.to_owned(), "interval-quality"));
    }

    #[test]
    fn number_error_names_the_limits() {
        let message = "number 0 is out of range: numbers run from 1, the unison, to 141, twenty octaves";
        assert_eq!(refusal("P0"), (message.to_owned(), "interval-number"));
        let huge = "P".to_owned() + &"9".repeat(100_000);
        let message = format!(
            "number {}… is out of range: numbers run from 1, the unison, to 141, twenty octaves",
            "9".repeat(40)
        );
        assert_eq!(refusal(&huge), (message, "interval-number"));
    }

    #[test]
    fn falling_perfect_unison_has_no_direction() {
        let message = "-P1 does not exist: a perfect unison has no direction (write P1)";
        assert_eq!(refusal("-P1"), (message.to_owned(), "interval-falling-unison"));
    }

    #[test]
    fn range_error_names_both_limits() {
        let message = "an interval of 3 steps and 13 semitones is out of range: \
                       at most 140 steps, at most 7 times augmented or diminished";
        assert_eq!(refusal("AAAAAAAA4"), (message.to_owned(), "interval-range"));
    }

    #[test]
    fn inversion_error_names_the_interval_and_the_frame() {
        let error = "A8".parse::<Interval>().unwrap().inverted().unwrap_err();
        let message = "A8 has no inversion at P8: it is the wider (invert at a wider interval)";
        assert_eq!((error.to_string().as_str(), error.code()), (message, "interval-inversion"));
    }
}
