//! Text of lines: `F#4:1/8 R:1/4 Bb3`, with bar lines where a meter is known.

use super::{Bars, Event, Line, LineError};
use crate::meter::Meter;
use crate::pitch::Pitch;
use crate::time::Time;
use std::fmt;
use std::str::FromStr;

/// The most bytes of a word: far more than the longest note needs, so that an error can repeat
/// the word. Raising it only makes messages longer.
pub const MAX_WORD: usize = 64;

impl Line {
    /// Reads a line whose bar lines, if any, are checked against the meter and the place of the
    /// first note in its bar.
    ///
    /// A text may have no bar lines at all. If it has any, it has all of them, but for those that
    /// fall inside a note or a rest (ties do not exist); one before the first note and one after
    /// the last are welcome, and the last bar may be short. Bars count from 1; a first bar of
    /// which half or more is missing is a pickup, bar 0.
    ///
    /// ```
    /// use soggetto::line::Line;
    /// use soggetto::time::Time;
    /// let waltz = "3/4".parse().unwrap();
    /// let error = Line::parse_in("C4:3/4 | D4:1/2 E4:3/8 |", waltz, Time::ZERO).unwrap_err();
    /// assert_eq!(
    ///     error.to_string(),
    ///     "bar 2 is too long by 1/8: it holds 7/8 where the meter 3/4 allows 3/4"
    /// );
    /// ```
    ///
    /// # Errors
    /// If a note cannot be read, a bar is too long or too short, or the offset is no place in the
    /// bar.
    pub fn parse_in(text: &str, meter: Meter, offset: Time) -> Result<Self, LineError> {
        Self::parse_with(text, Bars::new(meter, offset)?)
    }

    /// The text with a bar line wherever one falls between two notes or rests, the first standing at
    /// `offset` in its bar: [`Line::parse_in`] reads it back.
    ///
    /// ```
    /// use soggetto::line::Line;
    /// let line: Line = "G4:1/4 C5:1/2 B4:1/4 A4:1/2".parse()?;
    /// let text = line.text_in("3/4".parse().unwrap(), "1/2".parse().unwrap());
    /// assert_eq!(text, "G4:1/4 | C5:1/2 B4:1/4 | A4:1/2");
    /// # Ok::<(), soggetto::line::LineError>(())
    /// ```
    pub fn text_in(&self, meter: Meter, offset: Time) -> String {
        let at_bar_line = |onset: Time| {
            let place = onset.checked_add(offset).and_then(|place| meter.place(place));
            onset > Time::ZERO && place == Ok(Time::ZERO)
        };
        let word = |event: Event| {
            let bar = if at_bar_line(event.onset) { "| " } else { "" };
            let pitch = event.pitch.map_or_else(|| "R".to_owned(), |pitch| pitch.to_string());
            format!("{bar}{pitch}:{}", event.duration)
        };
        self.events().into_iter().map(word).collect::<Vec<_>>().join(" ")
    }

    /// Reads a line with bar lines.
    pub(crate) fn parse_with(text: &str, bars: Bars) -> Result<Self, LineError> {
        let mut reader = Reader { bars: Some(bars), ..Reader::default() };
        reader.read(text)?;
        Ok(reader.line)
    }
}

impl FromStr for Line {
    type Err = LineError;
    /// Bar lines are refused here; [`Line::parse_in`] reads them.
    fn from_str(text: &str) -> Result<Self, LineError> {
        let mut reader = Reader::default();
        reader.read(text)?;
        Ok(reader.line)
    }
}

/// Reads words one after the other, each in constant time.
#[derive(Default)]
struct Reader {
    line: Line,
    bars: Option<Bars>,
    /// How many events are read.
    event: usize,
    /// The duration that a note without one repeats.
    duration: Option<Time>,
}

impl Reader {
    fn read(&mut self, text: &str) -> Result<(), LineError> {
        for word in text.split_whitespace() {
            match word {
                "|" => self.bars.as_mut().ok_or(LineError::BarLine)?.line()?,
                word => self.event(word)?,
            }
        }
        self.bars.as_ref().map_or(Ok(()), Bars::end)
    }

    fn event(&mut self, word: &str) -> Result<(), LineError> {
        let event = self.event;
        if word.len() > MAX_WORD {
            return Err(LineError::Word { event, bytes: word.len() });
        }
        if word.contains('|') {
            return Err(LineError::StuckBarLine { event, word: word.to_owned() });
        }
        let (name, time) = word.split_once(':').map_or((word, None), |(name, time)| (name, Some(time)));
        let pitch = match name {
            "R" | "r" => None,
            name => Some(name.parse::<Pitch>().map_err(|source| LineError::Pitch { event, source })?),
        };
        if let Some(time) = time {
            self.duration = Some(time.parse().map_err(|source| LineError::Time { event, source })?);
        }
        let duration = self.duration.ok_or(LineError::NoDuration)?;
        self.line.push_event(event, pitch, duration)?;
        if let Some(bars) = &mut self.bars {
            bars.hold(duration).map_err(|source| LineError::Time { event, source })?;
        }
        self.event += 1;
        Ok(())
    }
}

impl fmt::Display for Line {
    /// Every duration is written, bar lines are not.
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::strategy::any_line;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn prop_text_gives_the_line_back(line in any_line()) {
            prop_assert_eq!(line.to_string().parse(), Ok(line));
        }

        #[test]
        fn prop_no_text_panics(text in "[A-HRb#:/|0-9 -]{0,40}", offset in 0..4_i64) {
            let meter = "3/4".parse().unwrap();
            let plain = text.parse::<Line>();
            let in_bars = Line::parse_in(&text, meter, Time::new(offset, 4).unwrap());
            if let (Ok(plain), Ok(in_bars)) = (plain, in_bars) {
                prop_assert_eq!(plain, in_bars);
            }
        }

        #[test]
        fn prop_no_unicode_panics(text in any::<String>()) {
            if let Ok(line) = text.parse::<Line>() {
                prop_assert_eq!(line.to_string().parse(), Ok(line));
            }
        }
    }

    #[test]
    fn a_missing_duration_repeats_the_one_before() {
        let line: Line = " C4:1/8  d4 r\nF♯4:1/4\tR Bb3 ".parse().unwrap();
        assert_eq!(line.to_string(), "C4:1/8 D4:1/8 R:1/8 F#4:1/4 R:1/4 Bb3:1/4");
    }

    #[test]
    fn errors_tell_which_note_and_why() {
        let long = "C".repeat(65);
        let word = format!("C4:1 {long}");
        let rows = [
            ("C4:1/4 D4 R H4 F4", "note 4: \"H4\" is not a pitch: letters run from A to G (write B4 or Bb4)"),
            ("C4:1/4 D:1/4", "note 2: \"D\" is not a pitch: it needs an octave (C4 is middle C)"),
            (
                "C4:1/4 D4:1:4",
                "note 2: \"1:4\" is not a time: write a fraction of a whole note, as in 1/4 or 3/16",
            ),
            ("C4:1/4 D4:1/0", "note 2: 1/0 is not a time: the denominator must be at least 1"),
            (
                "C4:1/4 D4:1/2000000",
                "note 2: 1/2000000 is out of range: denominators go to 1000000, times to 1000000 whole notes",
            ),
            ("C4 D4:1/4", "note 1 has no duration: write it after a colon, as in C4:1/4"),
            ("C4:1/4 D4:0", "note 2: a duration of 0 is impossible: it must be greater than 0"),
            ("C4:1/4 R:-1/4", "note 2: a duration of -1/4 is impossible: it must be greater than 0"),
            (
                "C4:1/4 | D4",
                "a bar line needs a meter to be checked against: give the meter, or leave the bar lines out",
            ),
            ("C4:1/4 D4| E4", "note 2: \"D4|\" holds a bar line: write | by itself, with spaces around it"),
            (
                word.as_str(),
                "note 2: a word of 65 bytes is no note: a note has at most 64, and spaces part it from the next",
            ),
        ];
        for (text, message) in rows {
            assert_eq!(text.parse::<Line>().unwrap_err().to_string(), message, "{text}");
        }
    }

    #[test]
    fn times_too_fine_together_name_the_note_that_makes_them_so() {
        let error = "C4:1/999983 D4:1/2 E4:1/3".parse::<Line>().unwrap_err();
        assert!(matches!(error, LineError::Time { event: 1, .. }), "{error}");
    }

    #[test]
    fn times_too_large_together_name_the_note_that_makes_them_so() {
        let error = "C4:1000000 R:1/4".parse::<Line>().unwrap_err();
        assert_eq!(
            error.to_string(),
            "note 2: 4000001/4 is out of range: denominators go to 1000000, times to 1000000 whole notes"
        );
    }
}
