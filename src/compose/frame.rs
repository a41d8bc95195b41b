//! The time frame of a draft: one grid of ticks with the pulses of the meter on it.
//!
//! The searches add and compare many times; on the frame these are whole numbers.

use crate::meter::{Meter, Strength};
use crate::subject::Subject;
use crate::time::{Grid, Time, TimeError};

/// A grid that holds the subject, the pulses of the meter and their finest useful divisions.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    grid: Grid,
    meter: Meter,
    /// Ticks from the beginning of the piece to its first full bar.
    pickup: i64,
    /// Ticks a bar.
    pub(super) bar: i64,
}

/// A pulse: when it begins, when it ends, and how many units it has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pulse {
    pub(super) start: i64,
    pub(super) end: i64,
    pub(super) units: u8,
}

impl Frame {
    /// The frame of a subject; `pickup` is the length of its incomplete first bar.
    pub(super) fn new(subject: &Subject, pickup: Time) -> Result<Self, TimeError> {
        let meter = subject.meter();
        let notes = subject.line().notes().iter().flat_map(|note| [note.onset(), note.duration()]);
        let quarter_unit = meter.unit().scaled(1, 4)?;
        let times = [pickup, subject.line().length(), subject.offset(), quarter_unit];
        let grid = Grid::of(notes.chain(times))?;
        Ok(Self { grid, meter, pickup: grid.ticks(pickup), bar: grid.ticks(meter.bar()) })
    }

    /// A time in ticks.
    pub(super) const fn ticks(&self, time: Time) -> i64 {
        self.grid.ticks(time)
    }

    /// The time of so many ticks.
    pub(super) fn time(&self, ticks: i64) -> Result<Time, TimeError> {
        self.grid.time(ticks)
    }

    /// Ticks since the last bar line.
    pub(super) const fn place(&self, ticks: i64) -> i64 {
        (ticks - self.pickup).rem_euclid(self.bar)
    }

    /// How heavy a moment is.
    pub(super) fn strength(&self, ticks: i64) -> Strength {
        self.grid.time(self.place(ticks)).map_or(Strength::Subdivision, |place| self.meter.strength(place))
    }

    /// Whether a moment is the beginning of a pulse.
    pub(super) fn is_pulse(&self, ticks: i64) -> bool {
        self.strength(ticks) >= Strength::Pulse
    }

    /// The pulses that touch a span, whole pulses even where the span cuts them.
    pub(super) fn pulses(&self, from: i64, to: i64) -> Vec<Pulse> {
        let mut pulses = Vec::new();
        let mut bar_start = from - self.place(from);
        while bar_start < to {
            for ((start, length), &units) in self.meter.pulses().zip(self.meter.groups()) {
                let start = bar_start + self.ticks(start);
                let pulse = Pulse { start, end: start + self.ticks(length), units };
                if pulse.end > from && pulse.start < to {
                    pulses.push(pulse);
                }
            }
            bar_start += self.bar;
        }
        pulses
    }

    /// The ticks of the longest pulse of a bar.
    pub(super) fn pulse(&self) -> i64 {
        self.meter.pulses().map(|(_, length)| self.ticks(length)).max().unwrap_or(self.bar)
    }

    /// The distance at which an entry stands in the same metrical light: half a bar in quadruple
    /// meters, otherwise a bar (common practice).
    pub(super) fn entry_period(&self) -> i64 {
        if self.meter.groups().len() == 4 { self.bar / 2 } else { self.bar }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compose::fixtures::frame;
    use proptest::prelude::*;

    fn time(numerator: i64, denominator: i64) -> Time {
        Time::new(numerator, denominator).unwrap()
    }

    /// The pulses of a span, in eighths: where each begins and ends.
    fn eighths(frame: &Frame, from: i64, to: i64) -> Vec<(i64, i64)> {
        let eighth = frame.ticks(time(1, 8));
        let pulses = frame.pulses(from * eighth, to * eighth);
        pulses.iter().map(|pulse| (pulse.start / eighth, pulse.end / eighth)).collect()
    }

    #[test]
    fn pulses_are_those_of_the_meter() {
        assert_eq!(eighths(&frame("3/4"), 0, 6), [(0, 2), (2, 4), (4, 6)]);
        assert_eq!(eighths(&frame("6/8"), 0, 6), [(0, 3), (3, 6)]);
        assert_eq!(eighths(&frame("2+2+3/8"), 0, 7), [(0, 2), (2, 4), (4, 7)]);
        let units = |meter| frame(meter).pulses(0, 1).first().map(|pulse| pulse.units);
        assert_eq!((units("3/4"), units("6/8")), (Some(1), Some(3)));
    }

    #[test]
    fn pulses_stay_whole_where_the_span_cuts_them() {
        assert_eq!(eighths(&frame("3/4"), 1, 3), [(0, 2), (2, 4)]);
        assert_eq!(eighths(&frame("6/8"), 5, 8), [(3, 6), (6, 9)]);
        assert_eq!(eighths(&frame("2+2+3/8"), 6, 8), [(4, 7), (7, 9)]);
    }

    #[test]
    fn an_empty_span_between_pulses_has_none() {
        assert_eq!(eighths(&frame("3/4"), 2, 2), []);
    }

    #[test]
    fn pulses_go_on_before_the_first_bar() {
        assert_eq!(eighths(&frame("3/4"), -3, 1), [(-4, -2), (-2, 0), (0, 2)]);
    }

    #[test]
    fn a_pickup_stands_at_the_end_of_its_bar() {
        let subject = Subject::from_text("C major", "3/4", "1/2", "G4:1/4 | C5 D5 E5").unwrap();
        let frame = Frame::new(&subject, time(1, 4)).unwrap();
        let quarter = frame.ticks(time(1, 4));
        assert_eq!(frame.place(0), 2 * quarter);
        assert_eq!(frame.place(quarter), 0);
        assert_eq!(frame.place(-quarter), quarter);
    }

    #[test]
    fn strength_follows_the_place_in_the_bar() {
        let frame = frame("4/4");
        let quarter = frame.ticks(time(1, 4));
        assert!(frame.strength(0) > frame.strength(2 * quarter));
        assert!(frame.strength(2 * quarter) > frame.strength(quarter));
        assert!(frame.is_pulse(quarter) && !frame.is_pulse(quarter / 2));
        assert_eq!(frame.strength(-frame.bar), frame.strength(0));
    }

    #[test]
    fn entries_stand_half_a_bar_apart_only_in_quadruple_meters() {
        let in_bars = |meter| (frame(meter).entry_period(), frame(meter).bar);
        for meter in ["4/4", "12/8", "4/2"] {
            let (period, bar) = in_bars(meter);
            assert_eq!(2 * period, bar, "{meter}");
        }
        for meter in ["3/4", "2/4", "6/8", "2+2+3/8"] {
            let (period, bar) = in_bars(meter);
            assert_eq!(period, bar, "{meter}");
        }
    }

    #[test]
    fn the_pulse_of_an_irregular_meter_is_its_longest() {
        let frame = frame("2+2+3/8");
        assert_eq!(frame.pulse(), frame.ticks(time(3, 8)));
    }

    proptest! {
        #[test]
        fn prop_pulses_touch_without_gaps(
            meter in prop_oneof!["4/4", "3/4", "6/8", "2/2", "2[+]2[+]3/8", "5/8", "12/8"],
            from in -100..100_i64,
            length in 1..200_i64,
        ) {
            let frame = frame(&meter);
            let pulses = frame.pulses(from, from + length);
            prop_assert!(pulses[0].start <= from && pulses[0].end > from);
            let last = pulses[pulses.len() - 1];
            prop_assert!(last.start < from + length && last.end >= from + length);
            prop_assert!(pulses.windows(2).all(|pair| pair[0].end == pair[1].start));
            prop_assert!(pulses.iter().all(|pulse| frame.is_pulse(pulse.start)));
        }
    }
}
