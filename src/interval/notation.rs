//! Text of intervals: `m3`, `-P5`, `A11`, `dd7`.
//!
//! Each interval has one text and each text that is read is the text of its interval: no leading
//! zero, no plus sign, no `-P1` (a perfect unison has no direction), no `d1` (written `-A1`).

use super::{Interval, IntervalError, Quality};
use crate::quote::excerpt;
use std::fmt;
use std::str::FromStr;

impl fmt::Display for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.is_descending() { "-" } else { "" };
        f.pad(&format!("{sign}{}{}", self.quality(), self.number()))
    }
}

impl fmt::Debug for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Interval {
    type Err = IntervalError;

    fn from_str(text: &str) -> Result<Self, IntervalError> {
        let (falls, rest) = text.strip_prefix('-').map_or((false, text), |rest| (true, rest));
        let (quality, digits) = split(rest).ok_or_else(|| IntervalError::Syntax { text: excerpt(text) })?;
        let number = digits.parse().map_err(|_| IntervalError::Number { number: excerpt(digits) })?;
        let interval = Self::new(quality, number)?;
        match (falls, interval) {
            (true, Self::UNISON) => Err(IntervalError::FallingUnison),
            (true, _) => Ok(-interval),
            (false, _) => Ok(interval),
        }
    }
}

crate::text_serde::serde_as_text!(Interval);

/// The quality, and the digits of the number without leading zero.
fn split(text: &str) -> Option<(Quality, &str)> {
    let (quality, digits) = text.split_at(text.find(|c: char| c.is_ascii_digit())?);
    let only_digits = digits.bytes().all(|b| b.is_ascii_digit());
    let leading_zero = digits.len() > 1 && digits.starts_with('0');
    (only_digits && !leading_zero).then_some((parse_quality(quality)?, digits))
}

fn parse_quality(text: &str) -> Option<Quality> {
    match text {
        "P" => return Some(Quality::Perfect),
        "M" => return Some(Quality::Major),
        "m" => return Some(Quality::Minor),
        _ => {}
    }
    let times = u8::try_from(text.len()).ok().filter(|times| *times > 0)?;
    match text.as_bytes() {
        signs if signs.iter().all(|sign| *sign == b'A') => Some(Quality::Augmented(times)),
        signs if signs.iter().all(|sign| *sign == b'd') => Some(Quality::Diminished(times)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interval::{MAX_ALTERATION, MAX_STEPS, any_interval};
    use proptest::prelude::*;

    #[test]
    fn reads_what_it_prints() {
        for text in ["P1", "A1", "-A1", "dd2", "-dd2", "m3", "-P5", "A11", "dd7", "P141", "-ddddddd5"] {
            assert_eq!(text.parse::<Interval>().map(|i| i.to_string()).as_deref(), Ok(text));
        }
    }

    #[test]
    fn all_intervals_roundtrip() {
        let widest = 12 * MAX_STEPS / 7 + MAX_ALTERATION;
        let lattice = (-MAX_STEPS..=MAX_STEPS).flat_map(|steps| (-widest..=widest).map(move |s| (steps, s)));
        let mut intervals = 0;
        for interval in lattice.filter_map(|(steps, s)| Interval::from_steps(steps, s).ok()) {
            assert_eq!(interval.to_string().parse(), Ok(interval));
            intervals += 1;
        }
        let (unisons, perfect_kinds, other_kinds) = (2 * MAX_ALTERATION + 1, 60, 80);
        let each_way = perfect_kinds * (2 * MAX_ALTERATION + 1) + other_kinds * (2 * MAX_ALTERATION + 2);
        assert_eq!(intervals, unisons + 2 * each_way);
    }

    #[test]
    fn debug_prints_the_text_and_padding_is_kept() {
        let fifth = -Interval::PERFECT_FIFTH;
        assert_eq!(format!("{fifth:?}|{fifth:>5}|{fifth:<5}|"), "-P5|  -P5|-P5  |");
    }

    #[test]
    fn refuses_all_other_forms() {
        let long = "A".repeat(1_000_000) + "4";
        let texts = [
            "", "-", "5", "P", "--P5", "+P5", " P5", "P5 ", "P05", "P-5", "p5", "Ad5", "MM3", "mm3", "PP5",
            "P5x", "P٥", "♭3", "m３", "P5.0", "aug4", &long,
        ];
        for text in texts {
            let error = text.parse::<Interval>().unwrap_err();
            assert!(matches!(error, IntervalError::Syntax { .. }), "{error}");
        }
    }

    #[cfg(feature = "serde")]
    #[test]
    fn json_is_the_text_and_goes_through_the_same_check() {
        let tenth = -Interval::MINOR_TENTH;
        assert_eq!(serde_json::to_string(&tenth).unwrap(), r#""-m10""#);
        assert_eq!(serde_json::from_str::<Interval>(r#""-m10""#).unwrap(), tenth);
        let refusal = serde_json::from_str::<Interval>(r#""-P1""#).unwrap_err().to_string();
        assert!(refusal.starts_with(&IntervalError::FallingUnison.to_string()), "{refusal}");
        assert!(serde_json::from_str::<Interval>("3").is_err());
    }

    proptest! {
        #[test]
        fn prop_text_roundtrips(interval in any_interval()) {
            prop_assert_eq!(interval.to_string().parse::<Interval>(), Ok(interval));
        }

        #[test]
        fn prop_text_that_is_read_is_the_text_that_is_printed(text in "-?[PMmAd]{1,8}[0-9]{1,4}") {
            if let Ok(interval) = text.parse::<Interval>() {
                prop_assert_eq!(interval.to_string(), text);
            }
        }

        #[test]
        fn prop_any_text_is_read_or_refused(text in ".*") {
            if let Ok(interval) = text.parse::<Interval>() {
                prop_assert_eq!(interval.to_string(), text);
            }
        }
    }
}
