//! How heavy each tick is.

use crate::meter::{Meter, Meters, Strength};
use crate::time::{Grid, Time};

/// The metrical strength of every tick: [`Meters::strength`] in whole numbers.
///
/// Cost: one remainder and a look through the pulses of a bar; where the meter changes, also a search
/// that is logarithmic in the changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accents {
    first: Span,
    /// The meters after the first, in order.
    changes: Vec<Span>,
}

/// A stretch of music in one meter.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Span {
    /// Its first bar line.
    start: i64,
    bar: i64,
    pulses: Vec<Pulse>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Pulse {
    start: i64,
    length: i64,
    division: i64,
    strength: Strength,
}

impl Accents {
    /// The accents of music in these meters, on this grid.
    pub fn new(meters: &Meters, grid: Grid) -> Self {
        let changes = meters.changes().map(|(_, start, meter)| Span::of(meter, start, grid)).collect();
        Self { first: Span::of(meters.first(), meters.pickup(), grid), changes }
    }

    fn span(&self, tick: i64) -> &Span {
        let changes = self.changes.partition_point(|span| span.start <= tick);
        changes.checked_sub(1).and_then(|last| self.changes.get(last)).unwrap_or(&self.first)
    }

    /// The length of a bar in ticks, in the meter that stands at a tick.
    pub fn bar_at(&self, tick: i64) -> i64 {
        self.span(tick).bar
    }

    /// The tick at which the bar begins in which a tick lies.
    pub fn bar_line(&self, tick: i64) -> i64 {
        tick - self.span(tick).place(tick)
    }

    /// How heavy a tick is.
    pub fn strength(&self, tick: i64) -> Strength {
        self.span(tick).strength(tick)
    }

    /// The pulses that begin in a stretch of ticks, each with its length.
    pub fn pulses(&self, from: i64, to: i64) -> impl Iterator<Item = (i64, i64)> + '_ {
        let next_bar = |line: &i64| Some(line + self.bar_at(*line));
        let lines = std::iter::successors(Some(self.bar_line(from)), next_bar);
        lines
            .take_while(move |&line| line < to)
            .flat_map(|line| {
                let pulses = self.span(line).pulses.iter();
                pulses.map(move |pulse| (line + pulse.start, pulse.length))
            })
            .filter(move |&(start, _)| (from..to).contains(&start))
    }

    /// Whether no pulse as heavy as `least` begins between two ticks, which are at most a bar apart.
    pub fn is_next(&self, from: i64, to: i64, least: Strength) -> bool {
        let heavy = |&(start, _): &(i64, i64)| self.strength(start) >= least;
        to > from && to - from <= self.bar_at(from) && !self.pulses(from + 1, to).any(|pulse| heavy(&pulse))
    }

    /// The pulse in which a tick lies: when it begins, and its length.
    pub fn pulse_at(&self, tick: i64) -> (i64, i64) {
        let span = self.span(tick);
        let place = span.place(tick);
        let pulse = span.pulse(place);
        pulse.map_or((tick, span.bar), |pulse| (tick - place + pulse.start, pulse.length))
    }

    /// Whether what begins on a tick follows what ends on another: at once, or after a rest no longer than a beat, as
    /// in detached playing (common practice).
    pub(super) fn follows(&self, end: i64, onset: i64) -> bool {
        onset == end || onset - end <= self.pulse_at(end).1
    }
}

impl Span {
    fn of(meter: Meter, start: Time, grid: Grid) -> Self {
        let unit = grid.ticks(meter.unit());
        let pulse = |(start, length): (Time, Time)| {
            let division = if length == meter.unit() { unit / 2 } else { unit };
            let (ticks, strength) = (grid.ticks(start), meter.strength(start));
            Pulse { start: ticks, length: grid.ticks(length), division: division.max(1), strength }
        };
        let pulses = meter.pulses().map(pulse).collect();
        Self { start: grid.ticks(start), bar: grid.ticks(meter.bar()).max(1), pulses }
    }

    /// How far into its bar a tick lies.
    const fn place(&self, tick: i64) -> i64 {
        (tick - self.start).rem_euclid(self.bar)
    }

    /// The pulse in which a place of the bar lies.
    fn pulse(&self, place: i64) -> Option<&Pulse> {
        self.pulses.iter().rev().find(|pulse| pulse.start <= place)
    }

    fn strength(&self, tick: i64) -> Strength {
        let place = self.place(tick);
        match self.pulse(place) {
            Some(pulse) if pulse.start == place => pulse.strength,
            Some(pulse) if (place - pulse.start) % pulse.division == 0 => Strength::Division,
            _ => Strength::Subdivision,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::meter::any_meters;
    use proptest::prelude::*;

    fn time(text: &str) -> Time {
        text.parse().unwrap()
    }

    fn meters(meter: &str, pickup: &str) -> Meters {
        Meters::new(meter.parse().unwrap(), time(pickup)).unwrap()
    }

    /// The reference is [`Meters::strength`], in fractions.
    #[test]
    fn all_ticks_are_as_heavy_as_the_meter_says() {
        let grid = Grid::of([time("1/48")]).unwrap();
        for (name, pickup) in
            [("4/4", "0"), ("3/4", "1/4"), ("6/8", "1/8"), ("2/2", "1/2"), ("5/8", "0"), ("2+2+3/8", "1/8")]
        {
            let meters = meters(name, pickup);
            let accents = Accents::new(&meters, grid);
            for tick in 0..3 * accents.bar_at(0) {
                assert_eq!(
                    accents.strength(tick),
                    meters.strength(grid.time(tick).unwrap()),
                    "{name} {tick}"
                );
            }
        }
    }

    proptest! {
        #[test]
        fn prop_ticks_are_as_heavy_as_the_meters_say(meters in any_meters(), ticks in prop::collection::vec(0..9_000_i64, 20)) {
            let grid = Grid::of([time("1/384"), meters.pickup()]).unwrap();
            let accents = Accents::new(&meters, grid);
            for tick in ticks {
                let onset = grid.time(tick).unwrap();
                prop_assert_eq!(accents.strength(tick), meters.strength(onset));
                let (bar, place) = meters.bar_and_place(onset).unwrap();
                prop_assert_eq!(accents.bar_at(tick), grid.ticks(meters.of_bar(bar).bar()));
                prop_assert_eq!(accents.bar_line(tick), tick - grid.ticks(place));
                let (start, length) = accents.pulse_at(tick);
                prop_assert!(start <= tick && tick < start + length);
                prop_assert!(accents.strength(start) >= Strength::Pulse);
            }
        }

        /// The reference asks every tick.
        #[test]
        fn prop_pulses_are_the_ticks_as_heavy_as_one(meters in any_meters(), from in 0..2_000_i64, length in 0..900_i64) {
            let grid = Grid::of([time("1/128"), meters.pickup()]).unwrap();
            let accents = Accents::new(&meters, grid);
            let heavy = (from..from + length).filter(|&tick| accents.strength(tick) >= Strength::Pulse);
            let pulses = accents.pulses(from, from + length).map(|(start, _)| start);
            prop_assert_eq!(pulses.collect::<Vec<_>>(), heavy.collect::<Vec<_>>());
        }
    }

    #[test]
    fn pulses_of_a_stretch_begin_within_it() {
        let grid = Grid::of([time("1/8")]).unwrap();
        let accents = Accents::new(&meters("6/8", "1/8"), grid);
        assert_eq!(accents.pulses(0, 8).collect::<Vec<_>>(), [(1, 3), (4, 3), (7, 3)]);
        assert_eq!([0, 1, 5].map(|tick| accents.pulse_at(tick)), [(-2, 3), (1, 3), (4, 3)]);
    }

    #[test]
    fn pulses_change_with_the_meter() {
        let grid = Grid::of([time("1/8")]).unwrap();
        let changing = meters("2/4", "0").with_change(2, "6/8".parse().unwrap()).unwrap();
        let accents = Accents::new(&changing, grid);
        assert_eq!(accents.pulses(0, 10).collect::<Vec<_>>(), [(0, 2), (2, 2), (4, 3), (7, 3)]);
        assert_eq!([3, 4, 10].map(|tick| accents.bar_at(tick)), [4, 6, 6]);
        assert_eq!([3, 9, 10].map(|tick| accents.bar_line(tick)), [0, 4, 10]);
    }

    #[test]
    fn next_accent_has_none_of_its_weight_between() {
        let grid = Grid::of([time("1/8")]).unwrap();
        let accents = Accents::new(&meters("4/4", "0"), grid);
        assert!(accents.is_next(0, 2, Strength::Pulse));
        assert!(!accents.is_next(0, 4, Strength::Pulse));
        assert!(accents.is_next(0, 4, Strength::Accent));
        assert!(!accents.is_next(0, 16, Strength::Downbeat));
    }
}
