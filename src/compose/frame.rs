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
