//! Text of times: `1/4`, `3/16`, `2`, `-1/8`.

use super::{Time, TimeError};
use std::fmt;
use std::str::FromStr;

impl fmt::Display for Time {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.denominator() {
            1 => f.pad(&self.numerator().to_string()),
            denominator => f.pad(&format!("{}/{denominator}", self.numerator())),
        }
    }
}

impl fmt::Debug for Time {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Time {
    type Err = TimeError;
    fn from_str(text: &str) -> Result<Self, TimeError> {
        let owned = || text.to_owned();
        if text.contains(char::is_whitespace) {
            return Err(TimeError::Space { text: owned() });
        }
        let unsigned = text.strip_prefix('-').unwrap_or(text);
        let (numerator, denominator) = unsigned.split_once('/').unwrap_or((unsigned, "1"));
        if [numerator, denominator].iter().any(|part| part.starts_with(['+', '-'])) {
            return Err(TimeError::Sign { text: owned() });
        }
        if ![numerator, denominator].into_iter().all(is_number) {
            return Err(TimeError::Syntax { text: owned() });
        }
        let number = |digits: &str| digits.parse::<i64>().map_err(|_| TimeError::Digits { text: owned() });
        let sign = if unsigned == text { 1 } else { -1 };
        Self::new(sign * number(numerator)?, number(denominator)?)
    }
}

fn is_number(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

crate::text_serde::serde_as_text!(Time);

#[cfg(test)]
mod tests {
    use super::super::any_time;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn texts_are_reduced() {
        let rows = [
            ("1/4", "1/4"),
            ("2/8", "1/4"),
            ("-2/8", "-1/4"),
            ("4/2", "2"),
            ("0/7", "0"),
            ("-0", "0"),
            ("007/04", "7/4"),
            ("1000000", "1000000"),
        ];
        for (given, printed) in rows {
            assert_eq!(given.parse::<Time>().unwrap().to_string(), printed);
        }
    }

    #[test]
    fn refusals_say_what_is_wrong() {
        let syntax = "is not a time: write a fraction of a whole note, as in 1/4 or 3/16";
        let space = "is not a time: it holds a space (write 1/4, not 1 / 4)";
        let sign = "is not a time: the only sign is a minus before the whole fraction, as in -1/4";
        let limits = "denominators go to 1000000, times to 1000000 whole notes";
        let rows = [
            ("", format!(r#""" {syntax}"#)),
            ("x", format!(r#""x" {syntax}"#)),
            ("1/", format!(r#""1/" {syntax}"#)),
            ("/4", format!(r#""/4" {syntax}"#)),
            ("-", format!(r#""-" {syntax}"#)),
            ("1/2/3", format!(r#""1/2/3" {syntax}"#)),
            ("0.25", format!(r#""0.25" {syntax}"#)),
            ("¼", format!(r#""¼" {syntax}"#)),
            ("١/٤", format!(r#""١/٤" {syntax}"#)),
            (" 1/4", format!(r#"" 1/4" {space}"#)),
            ("1 / 4", format!(r#""1 / 4" {space}"#)),
            ("+1/4", format!(r#""+1/4" {sign}"#)),
            ("1/-4", format!(r#""1/-4" {sign}"#)),
            ("--1/4", format!(r#""--1/4" {sign}"#)),
            ("1/0", "1/0 is not a time: the denominator must be at least 1".to_owned()),
            ("1/1000001", format!("1/1000001 is out of range: {limits}")),
            ("9223372036854775807/3", format!("9223372036854775807/3 is out of range: {limits}")),
            ("99999999999999999999/3", format!(r#""99999999999999999999/3" has too many digits: {limits}"#)),
        ];
        for (text, message) in rows {
            assert_eq!(text.parse::<Time>().unwrap_err().to_string(), message);
        }
    }

    #[test]
    fn width_pads() {
        assert_eq!(format!("{:>5}|{:<4}|", Time::WHOLE, Time::new(1, 4).unwrap()), "    1|1/4 |");
    }

    #[cfg(feature = "serde")]
    #[test]
    fn json_is_the_text_form() {
        let time: Time = serde_json::from_str(r#""2/8""#).unwrap();
        assert_eq!(serde_json::to_string(&time).unwrap(), r#""1/4""#);
        let refused = |json: &str| serde_json::from_str::<Time>(json).unwrap_err().to_string();
        assert_eq!(
            refused("0.25"),
            "invalid type: floating point `0.25`, expected a text (Time) at line 1 column 4"
        );
        assert_eq!(
            refused(r#""1/0""#),
            "1/0 is not a time: the denominator must be at least 1 at line 1 column 5"
        );
    }

    proptest! {
        #[test]
        fn prop_parsing_inverts_printing(time in any_time()) {
            prop_assert_eq!(time.to_string().parse::<Time>(), Ok(time));
        }

        #[test]
        fn prop_any_text_is_read_or_refused(text in "[-+]?[0-9]{0,25}/?[-+]?[0-9]{0,25}\\PC{0,2}") {
            if let Ok(time) = text.parse::<Time>() {
                prop_assert_eq!(time.to_string().parse::<Time>(), Ok(time));
            }
        }
    }
}
