//! How heavy each place in a bar is.

use super::Meter;
use crate::time::Time;

/// How heavy a place in the bar is, from light to heavy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Strength {
    /// Finer than the units of the meter or the halves of its pulses.
    Subdivision,
    /// A division of a pulse: the half of a simple one, a third of a compound one.
    Division,
    /// A pulse.
    Pulse,
    /// The secondary accent: the pulse in the middle of an even number of equal ones, from four up,
    /// as in 4/4 and 12/8.
    Accent,
    /// The beginning of the bar.
    Downbeat,
}

impl Meter {
    /// How heavy a place in the bar is, counted from its bar line or from any other one.
    ///
    /// Common practice:
    ///
    /// | meter | downbeat, accent, pulses | divisions |
    /// |---|---|---|
    /// | 4/4, 4/2 | first, third, second and fourth unit | halves of the unit |
    /// | 2/2, 2/4, 3/2, 3/4, 3/8 | first unit, none, the others | halves of the unit |
    /// | 6/8, 6/4, 9/8 | first dotted unit, none, the others | units |
    /// | 12/8 | first, third, second and fourth dotted unit | units |
    /// | 5/8, 7/8 and other groups | first group, none, the others | units |
    /// | 5/4, 7/4 | first unit, none, the others | halves of the unit |
    ///
    /// In 5/4 and 7/4 the figures do not say where the secondary accent lies, so there is none.
    ///
    /// ```
    /// use soggetto::meter::{Meter, Strength};
    /// let meter: Meter = "4/4".parse()?;
    /// assert_eq!(meter.strength("1/2".parse()?), Strength::Accent);
    /// assert!(meter.strength("1/2".parse()?) > meter.strength("3/4".parse()?));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn strength(&self, place: Time) -> Strength {
        match self.half_units(place) {
            Some(0) => Strength::Downbeat,
            Some(halves) => self.strength_at(halves),
            None => Strength::Subdivision,
        }
    }

    /// The place in the bar in halves of the unit, if it falls on one.
    // The numerator is at most 10^12, so an i64 holds its 128-fold.
    fn half_units(&self, time: Time) -> Option<i64> {
        let halves = 2 * i64::from(self.lower()) * time.numerator();
        let falls_on_one = halves % time.denominator() == 0;
        falls_on_one.then(|| (halves / time.denominator()).rem_euclid(2 * i64::from(self.upper())))
    }

    /// The strength so many halves of the unit after the bar line.
    fn strength_at(&self, halves: i64) -> Strength {
        let mut start = 0;
        for (index, &group) in self.groups().iter().enumerate() {
            let end = start + 2 * i64::from(group);
            if halves == start {
                return if Some(index) == self.accent() { Strength::Accent } else { Strength::Pulse };
            }
            if halves < end {
                let divides = group == 1 || (halves - start) % 2 == 0;
                return if divides { Strength::Division } else { Strength::Subdivision };
            }
            start = end;
        }
        Strength::Subdivision
    }

    /// Index of the pulse with the secondary accent, if there is one.
    fn accent(&self) -> Option<usize> {
        let count = self.groups().len();
        (count >= 4 && count.is_multiple_of(2) && !self.is_irregular()).then_some(count / 2)
    }
}

#[cfg(test)]
mod tests {
    use super::super::any_meter;
    use super::*;
    use crate::time::any_time;
    use proptest::prelude::*;

    /// One letter for every place at a step: Downbeat, Accent, Pulse, division, subdivision.
    fn drawn(meter: &str, step: &str) -> String {
        let (meter, step): (Meter, Time) = (meter.parse().unwrap(), step.parse().unwrap());
        let (count, _) = meter.bar().divided(step).unwrap();
        let places = (0..count).map(|index| step.scaled(index, 1).unwrap());
        places
            .map(|place| match meter.strength(place) {
                Strength::Downbeat => 'D',
                Strength::Accent => 'A',
                Strength::Pulse => 'P',
                Strength::Division => 'd',
                Strength::Subdivision => '.',
            })
            .collect()
    }

    /// Common practice, at the step of the column.
    #[test]
    fn strengths_of_each_meter() {
        let rows = [
            ("2/4", "1/16", "D.d.P.d."),
            ("3/4", "1/16", "D.d.P.d.P.d."),
            ("4/4", "1/16", "D.d.P.d.A.d.P.d."),
            ("2/2", "1/8", "D.d.P.d."),
            ("3/2", "1/8", "D.d.P.d.P.d."),
            ("4/2", "1/8", "D.d.P.d.A.d.P.d."),
            ("3/8", "1/32", "D.d.P.d.P.d."),
            ("6/8", "1/16", "D.d.d.P.d.d."),
            ("9/8", "1/16", "D.d.d.P.d.d.P.d.d."),
            ("12/8", "1/16", "D.d.d.P.d.d.A.d.d.P.d.d."),
            ("6/4", "1/8", "D.d.d.P.d.d."),
            ("9/4", "1/8", "D.d.d.P.d.d.P.d.d."),
            ("12/16", "1/32", "D.d.d.P.d.d.A.d.d.P.d.d."),
            ("5/8", "1/16", "D.d.d.P.d."),
            ("2+3/8", "1/16", "D.d.P.d.d."),
            ("7/8", "1/16", "D.d.P.d.P.d.d."),
            ("3+2+2/8", "1/16", "D.d.d.P.d.P.d."),
            ("3+3+2/8", "1/16", "D.d.d.P.d.d.P.d."),
            ("2+2+2+3/8", "1/16", "D.d.P.d.P.d.P.d.d."),
            ("5/4", "1/8", "DdPdPdPdPd"),
            ("7/4", "1/8", "DdPdPdPdPdPdPd"),
            ("1+1+1+1+1+1/4", "1/4", "DPPAPP"),
            ("1/1", "1/4", "D.d."),
        ];
        for (meter, step, strengths) in rows {
            assert_eq!(drawn(meter, step), strengths, "{meter}");
        }
    }

    #[test]
    fn triplets_and_fine_places_are_subdivisions() {
        let meter: Meter = "4/4".parse().unwrap();
        for place in ["1/12", "1/6", "1/32", "1/999999"] {
            assert_eq!(meter.strength(place.parse().unwrap()), Strength::Subdivision, "{place}");
        }
    }

    #[test]
    fn place_before_the_bar_line_counts_from_the_bar_before() {
        let meter: Meter = "3/4".parse().unwrap();
        assert_eq!(meter.strength("-1/4".parse().unwrap()), Strength::Pulse);
        assert_eq!(meter.strength("-1/8".parse().unwrap()), Strength::Division);
        assert_eq!(meter.strength("-3/4".parse().unwrap()), Strength::Downbeat);
    }

    proptest! {
        #[test]
        fn prop_every_bar_is_alike(meter in any_meter(), time in any_time(), bars in -8_i64..8) {
            let moved = meter.bar().scaled(bars, 1).and_then(|span| span.checked_add(time));
            if let Ok(moved) = moved {
                prop_assert_eq!(meter.strength(moved), meter.strength(time));
            }
        }

        #[test]
        fn prop_pulses_outweigh_all_that_is_no_pulse(meter in any_meter(), time in any_time()) {
            let place = meter.place(time).unwrap_or(Time::ZERO);
            let is_pulse = meter.pulses().any(|(start, _)| start == place);
            prop_assert_eq!(meter.strength(place) >= Strength::Pulse, is_pulse);
            prop_assert_eq!(meter.strength(place) == Strength::Downbeat, place == Time::ZERO);
        }
    }
}
