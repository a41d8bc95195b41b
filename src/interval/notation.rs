//! Text of intervals: `m3`, `-P5`, `A11`, `dd7`.

use super::{Interval, IntervalError, Quality};
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
        let syntax = || IntervalError::Syntax { text: text.to_owned() };
        let (down, rest) = text.strip_prefix('-').map_or((false, text), |rest| (true, rest));
        let digits = rest.find(|c: char| c.is_ascii_digit()).ok_or_else(syntax)?;
        let (quality, number) = rest.split_at(digits);
        let number: u32 = number.parse().map_err(|_| syntax())?;
        let interval = Self::new(parse_quality(quality).ok_or_else(syntax)?, number)?;
        Ok(if down { -interval } else { interval })
    }
}

fn parse_quality(text: &str) -> Option<Quality> {
    let times = u8::try_from(text.len()).ok()?;
    match text {
        "P" => Some(Quality::Perfect),
        "M" => Some(Quality::Major),
        "m" => Some(Quality::Minor),
        _ if times > 0 && text.bytes().all(|b| b == b'A') => Some(Quality::Augmented(times)),
        _ if times > 0 && text.bytes().all(|b| b == b'd') => Some(Quality::Diminished(times)),
        _ => None,
    }
}

crate::text_serde::serde_as_text!(Interval);
