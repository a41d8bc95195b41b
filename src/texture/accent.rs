//! How heavy each tick is.

use crate::meter::{Meter, Strength};
use crate::time::{Grid, Time};

/// The metrical strength of every tick: [`Meter::strength`] in whole numbers.
///
/// Cost: one remainder and a look through the pulses of a bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accents {
    pickup: i64,
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
    /// The accents of music in this meter that begins with this pickup, on this grid.
    pub fn new(meter: Meter, pickup: Time, grid: Grid) -> Self {
        let unit = grid.ticks(meter.unit());
        let pulse = |(start, length): (Time, Time)| {
            let division = if length == meter.unit() { unit / 2 } else { unit };
            let (ticks, strength) = (grid.ticks(start), meter.strength(start));
            Pulse { start: ticks, length: grid.ticks(length), division: division.max(1), strength }
        };
        let pulses = meter.pulses().map(pulse).collect();
        Self { pickup: grid.ticks(pickup), bar: grid.ticks(meter.bar()).max(1), pulses }
    }

    /// The length of a bar in ticks.
    pub const fn bar(&self) -> i64 {
        self.bar
    }

    /// How heavy a tick is.
    pub fn strength(&self, tick: i64) -> Strength {
        let place = (tick - self.pickup).rem_euclid(self.bar);
        let pulse = self.pulses.iter().rev().find(|pulse| pulse.start <= place);
        match pulse {
            Some(pulse) if pulse.start == place => pulse.strength,
            Some(pulse) if (place - pulse.start) % pulse.division == 0 => Strength::Division,
            _ => Strength::Subdivision,
        }
    }

    /// The pulses that begin in a stretch of ticks, each with its length.
    pub fn pulses(&self, from: i64, to: i64) -> impl Iterator<Item = (i64, i64)> + '_ {
        let first = (from - self.pickup).div_euclid(self.bar);
        let bars = (first..).map(|bar| self.pickup + bar * self.bar).take_while(move |&start| start < to);
        bars.flat_map(|bar| self.pulses.iter().map(move |pulse| (bar + pulse.start, pulse.length)))
            .filter(move |&(start, _)| (from..to).contains(&start))
    }

    /// Whether no pulse as heavy as `least` begins between two ticks, which are at most a bar apart.
    pub fn is_next(&self, from: i64, to: i64, least: Strength) -> bool {
        let heavy = |&(start, _): &(i64, i64)| self.strength(start) >= least;
        to > from && to - from <= self.bar && !self.pulses(from + 1, to).any(|pulse| heavy(&pulse))
    }

    /// The pulse in which a tick lies: when it begins, and its length.
    pub fn pulse_at(&self, tick: i64) -> (i64, i64) {
        let place = (tick - self.pickup).rem_euclid(self.bar);
        let pulse = self.pulses.iter().rev().find(|pulse| pulse.start <= place);
        pulse.map_or((tick, self.bar), |pulse| (tick - place + pulse.start, pulse.length))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn time(text: &str) -> Time {
        text.parse().unwrap()
    }

    /// The reference is [`Meter::strength`], in fractions.
    #[test]
    fn all_ticks_are_as_heavy_as_the_meter_says() {
        let grid = Grid::of([time("1/48")]).unwrap();
        for (name, pickup) in
            [("4/4", "0"), ("3/4", "1/4"), ("6/8", "1/8"), ("2/2", "1/2"), ("5/8", "0"), ("2+2+3/8", "1/8")]
        {
            let meter: Meter = name.parse().unwrap();
            let accents = Accents::new(meter, time(pickup), grid);
            for tick in 0..3 * accents.bar() {
                let place = grid.time(tick).unwrap().checked_sub(time(pickup)).unwrap();
                assert_eq!(accents.strength(tick), meter.strength(place), "{name} {tick}");
            }
        }
    }

    #[test]
    fn pulses_of_a_stretch_begin_within_it() {
        let grid = Grid::of([time("1/8")]).unwrap();
        let accents = Accents::new("6/8".parse().unwrap(), time("1/8"), grid);
        assert_eq!(accents.pulses(0, 8).collect::<Vec<_>>(), [(1, 3), (4, 3), (7, 3)]);
        assert_eq!([0, 1, 5].map(|tick| accents.pulse_at(tick)), [(-2, 3), (1, 3), (4, 3)]);
    }

    #[test]
    fn next_accent_has_none_of_its_weight_between() {
        let grid = Grid::of([time("1/8")]).unwrap();
        let accents = Accents::new("4/4".parse().unwrap(), Time::ZERO, grid);
        assert!(accents.is_next(0, 2, Strength::Pulse));
        assert!(!accents.is_next(0, 4, Strength::Pulse));
        assert!(accents.is_next(0, 4, Strength::Accent));
        assert!(!accents.is_next(0, 16, Strength::Downbeat));
    }
}
