//! Bar lines of a text, checked against the meter.

use super::LineError;
use crate::meter::{Meter, Meters};
use crate::time::{Time, TimeError};

/// The bars of a text that is being read.
///
/// A bar line may be left out only where a note or rest is held across it: ties do not exist, so
/// such a bar line has no place in the text. A text without any bar line is not checked.
#[derive(Clone, Debug)]
pub(crate) struct Bars {
    /// The meters, counted in the bars of `meters`, and how many bars the numbers are ahead of them.
    meters: Meters,
    ahead: i64,
    /// What the current bar may hold: the first bar less than the others if it has an offset.
    allows: Time,
    /// What it holds so far.
    holds: Time,
    /// Its number.
    bar: i64,
    /// Whether the last note was held into it across its bar line, and how much the bar before
    /// may hold.
    entered_by_note: Option<Time>,
    /// Whether the text has a bar line at all.
    written: bool,
}

impl Bars {
    /// The bars of music whose first note stands at `offset` in its bar. A first bar with less
    /// than half of it missing is bar 1; with half or more it is a pickup, bar 0.
    pub(super) fn new(meter: Meter, offset: Time) -> Result<Self, LineError> {
        let half = meter.bar().scaled(1, 2).map_err(|source| LineError::Time { event: 0, source })?;
        Self::numbered(meter, offset, i64::from(offset < half))
    }

    /// The same with a given number for the first bar.
    fn numbered(meter: Meter, offset: Time, bar: i64) -> Result<Self, LineError> {
        if offset < Time::ZERO || offset >= meter.bar() {
            return Err(LineError::Offset { offset, meter });
        }
        let rest = if offset.is_zero() { Ok(Time::ZERO) } else { meter.bar().checked_sub(offset) };
        let pickup = rest.map_err(|source| LineError::Time { event: 0, source })?;
        let meters = Meters::new(meter, pickup).map_err(|_| LineError::Offset { offset, meter })?;
        let bars = Self::of(&meters);
        Ok(Self { ahead: bar - bars.bar, bar, ..bars })
    }

    /// The bars of music in these meters: the pickup, if there is one, is bar 0.
    pub(crate) fn of(meters: &Meters) -> Self {
        let (pickup, first) = (meters.pickup(), meters.first().bar());
        let (allows, bar) = if pickup.is_zero() { (first, 1) } else { (pickup, 0) };
        let meters = meters.clone();
        Self { meters, ahead: 0, allows, holds: Time::ZERO, bar, entered_by_note: None, written: false }
    }

    /// The meter of the current bar.
    fn meter(&self) -> Meter {
        self.meters.of_bar(self.bar - self.ahead)
    }

    /// Takes in a note or rest, held across bar lines or not.
    pub(super) fn hold(&mut self, duration: Time) -> Result<(), TimeError> {
        let before = self.holds;
        self.holds = before.checked_add(duration)?;
        if before < self.allows && self.holds > self.allows {
            self.cross()?;
        }
        Ok(())
    }

    /// Counts the bar lines across which the last note is held.
    fn cross(&mut self) -> Result<(), TimeError> {
        let line = self.meters.bar_start(self.bar - self.ahead + 1)?;
        let end = line.checked_add(self.holds.checked_sub(self.allows)?)?;
        let (after, place) = self.meters.bar_and_place(end)?;
        // A note that ends with a bar fills that bar: its end is no crossed bar line.
        let now = if place.is_zero() { after - 1 } else { after };
        let before = self.meters.of_bar(now - 1).bar();
        self.entered_by_note = Some(if now - 1 == self.bar - self.ahead { self.allows } else { before });
        self.bar = now + self.ahead;
        self.allows = self.meter().bar();
        self.holds = if place.is_zero() { self.allows } else { place };
        Ok(())
    }

    /// A bar line: the bar must be full. Before the first note of a full bar it is an opening one.
    pub(super) fn line(&mut self) -> Result<(), LineError> {
        let opening = !self.written && self.holds == Time::ZERO && self.allows == self.meter().bar();
        self.written = true;
        if opening {
            return Ok(());
        }
        if self.holds != self.allows {
            return Err(self.wrong());
        }
        self.bar += 1;
        (self.holds, self.allows, self.entered_by_note) = (Time::ZERO, self.meter().bar(), None);
        Ok(())
    }

    /// The end of the text: the last bar may be short, but not long.
    pub(super) fn end(&self) -> Result<(), LineError> {
        if self.written && self.holds > self.allows { Err(self.wrong()) } else { Ok(()) }
    }

    /// The error of a bar line here. A bar into which a note is held and which then holds at most
    /// half a bar is no bar: the one before is too long.
    fn wrong(&self) -> LineError {
        let difference = |a: Time, b: Time| a.checked_sub(b).unwrap_or(Time::ZERO);
        let missing = difference(self.allows, self.holds);
        let (bar, holds, allows) = match self.entered_by_note {
            Some(before) if self.holds <= missing => {
                (self.bar - 1, before.checked_add(self.holds).unwrap_or(before), before)
            }
            _ => (self.bar, self.holds, self.allows),
        };
        let long = holds > allows;
        let by = if long { difference(holds, allows) } else { difference(allows, holds) };
        LineError::Bar { bar, long, by, holds, allows, meter: self.meters.of_bar(bar - self.ahead) }
    }
}

#[cfg(test)]
mod tests {
    use crate::line::Line;
    use crate::line::strategy::any_line;
    use crate::meter::Meter;
    use crate::time::Time;
    use proptest::prelude::*;

    fn read(text: &str, meter: &str, offset: &str) -> Result<Line, String> {
        Line::parse_in(text, meter.parse().unwrap(), offset.parse().unwrap())
            .map_err(|error| error.to_string())
    }

    /// The words of a line, with every bar line that falls between two of them.
    fn barred(line: &Line, meter: Meter, offset: Time) -> Vec<String> {
        line.text_in(meter, offset).split_whitespace().map(str::to_owned).collect()
    }

    /// What is missing to the next bar line; a whole bar at one.
    fn to_bar_line(line: &Line, meter: Meter) -> Time {
        meter.bar().checked_sub(meter.place(line.length()).unwrap()).unwrap()
    }

    proptest! {
        #[test]
        fn prop_right_bar_lines_are_accepted(line in any_line(), sixteenths in 0..12_i64) {
            let (meter, offset) = ("3/4".parse().unwrap(), Time::new(sixteenths, 16).unwrap());
            let text = barred(&line, meter, offset).join(" ");
            prop_assert_eq!(Line::parse_in(&text, meter, offset), Ok(line));
        }

        #[test]
        fn prop_a_missing_bar_line_is_refused(line in any_line(), which in 0..16_usize) {
            let meter = "2/4".parse().unwrap();
            let two_bars: Line = "C4:1/2 D4".parse().unwrap();
            let line = line.extended_to(line.length().checked_add(to_bar_line(&line, meter)).unwrap());
            let mut words = barred(&line.unwrap().then(&two_bars).unwrap(), meter, Time::ZERO);
            let lines: Vec<usize> = (0..words.len()).filter(|&index| words[index] == "|").collect();
            words.remove(lines[which % lines.len()]);
            prop_assert!(Line::parse_in(&words.join(" "), meter, Time::ZERO).is_err());
        }

        #[test]
        fn prop_a_bar_line_too_many_is_refused(line in any_line(), which in 0..64_usize) {
            let meter = "2/4".parse().unwrap();
            let mut words = barred(&line, meter, Time::ZERO);
            prop_assume!(!words.is_empty());
            words.insert(1 + which % words.len(), "|".to_owned());
            let full = words.last().is_some_and(|last| last == "|")
                && meter.place(line.length()) == Ok(Time::ZERO)
                && words.iter().rev().nth(1).is_some_and(|word| word != "|");
            prop_assert_eq!(Line::parse_in(&words.join(" "), meter, Time::ZERO).is_ok(), full);
        }
    }

    #[test]
    fn right_bar_lines_leave_no_trace() {
        let rows = [
            ("C4:1/4 D4 E4 | F4:1/2 G4:1/4 |", "3/4", "0"),
            ("| C4:1/4 D4 E4 | F4:1/2", "3/4", "0"),
            ("G4:1/4 | C5:1/2 B4:1/4 | A4", "3/4", "1/2"),
            ("C4:1/4 D4 | E4:3/4 |", "3/4", "1/4"),
            ("C4:3/8 D4 E4 | F4:9/8", "9/8", "0"),
            ("|", "4/4", "0"),
            ("", "4/4", "1/2"),
        ];
        for (text, meter, offset) in rows {
            let plain: Line = text.replace('|', " ").parse().unwrap();
            assert_eq!(read(text, meter, offset), Ok(plain), "{text}");
        }
    }

    #[test]
    fn a_bar_line_inside_a_note_or_rest_is_left_out() {
        for text in ["C4:1/2 D4:1/2 E4:1/2 | F4:3/4 |", "C4:1/4 R:5/2 D4:1/4 | E4", "C4:3 | D4:3/4 |"] {
            assert!(read(text, "3/4", "0").is_ok(), "{text}: {:?}", read(text, "3/4", "0"));
        }
    }

    #[test]
    fn wrong_bar_lines_tell_the_bar_and_by_how_much() {
        let rows = [
            (
                "C4:1/4 D4 E4 | F4:1/2 G4:3/8 | A4",
                "0",
                "bar 2 is too long by 1/8: it holds 7/8 where the meter 3/4 allows 3/4",
            ),
            ("C4:1/4 D4 | E4", "0", "bar 1 is too short by 1/4: it holds 1/2 where the meter 3/4 allows 3/4"),
            (
                "C4:1/4 D4 E4 F4 | G4",
                "0",
                "bar 1 is too long by 1/4: it holds 1 where the meter 3/4 allows 3/4",
            ),
            (
                "C4:1/4 D4 E4 | F4 G4 A4 B4",
                "0",
                "bar 2 is too long by 1/4: it holds 1 where the meter 3/4 allows 3/4",
            ),
            (
                "C4:1/2 D4:3/4 E4:1/8 | F4",
                "0",
                "bar 2 is too short by 1/8: it holds 5/8 where the meter 3/4 allows 3/4",
            ),
            (
                "C4:9/4 D4:1/4 | E4",
                "0",
                "bar 3 is too long by 1/4: it holds 1 where the meter 3/4 allows 3/4",
            ),
            (
                "C4:1/2 D4:5/8 | E4",
                "0",
                "bar 1 is too long by 3/8: it holds 9/8 where the meter 3/4 allows 3/4",
            ),
            (
                "C4:1/4 D4:1/2 R:3/4 |",
                "0",
                "bar 1 is too long by 3/4: it holds 3/2 where the meter 3/4 allows 3/4",
            ),
            (
                "G4:3/8 | C5:3/4 |",
                "1/2",
                "bar 0 is too long by 1/8: it holds 3/8 where the meter 3/4 allows 1/4",
            ),
            (
                "G4:1/4 | C5:3/4 |",
                "1/4",
                "bar 1 is too short by 1/4: it holds 1/4 where the meter 3/4 allows 1/2",
            ),
            ("C4:3/4 | | D4", "0", "bar 2 is too short by 3/4: it holds 0 where the meter 3/4 allows 3/4"),
            ("| C4:1/4", "1/2", "bar 0 is too short by 1/4: it holds 0 where the meter 3/4 allows 1/4"),
        ];
        for (text, offset, message) in rows {
            assert_eq!(read(text, "3/4", offset), Err(message.to_owned()), "{text}");
        }
    }

    /// Less than half a bar missing: bar 1, begun late; half or more: a pickup.
    #[test]
    fn the_first_bar_is_a_pickup_when_half_of_it_is_missing() {
        for (offset, bar) in [("0", 1), ("3/8", 1), ("1/2", 0), ("3/4", 0)] {
            let message = read("C4:1/64 | D4", "4/4", offset).unwrap_err();
            assert!(message.starts_with(&format!("bar {bar} is too short by")), "{message}");
        }
    }

    #[test]
    fn refuses_an_offset_outside_the_bar() {
        for offset in ["-1/4", "1", "7"] {
            assert_eq!(
                read("C4:1", "4/4", offset),
                Err(format!(
                    "the offset {offset} is not a place in a bar of 4/4: it must be at least 0 and less than 1"
                ))
            );
        }
    }
}
