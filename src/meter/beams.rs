//! Which notes of a bar are written under one beam.

use super::Meter;
use crate::time::Time;
use std::cmp::Ordering;

impl Meter {
    /// The beat groups of a bar, where each begins and how long it is: notes shorter than a quarter are written
    /// under one beam within such a group and never across two.
    ///
    /// A group is a quarter, a pulse of several shorter units as in 6/8, or a short bar whose pulses make no quarters:
    ///
    /// | meter | groups |
    /// |---|---|
    /// | 2/4, 3/4, 4/4, 6/4, 2/2, 3/2 | quarters |
    /// | 4/8 | quarters |
    /// | 6/8, 9/8, 12/8, 12/16 | the dotted pulses |
    /// | 5/8, 7/8, 3+3+2/8 | the pulses |
    /// | 3/8, 3/16 | the bar |
    ///
    /// Sources: Gould, *Behind Bars*, the chapter on metre (from memory); common practice.
    ///
    /// ```
    /// use soggetto::meter::Meter;
    /// let meter: Meter = "6/8".parse()?;
    /// assert_eq!(meter.beat_groups(), [("0".parse()?, "3/8".parse()?), ("3/8".parse()?, "3/8".parse()?)]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn beat_groups(&self) -> Vec<(Time, Time)> {
        match self.unit().cmp(&Time::QUARTER) {
            Ordering::Less if self.is_grouped() => self.pulses().collect(),
            Ordering::Less if self.makes_quarters() => self.stretches(Time::QUARTER),
            Ordering::Less if self.pulses().count() <= 3 => self.stretches(self.bar()),
            Ordering::Less => self.pulses().collect(),
            Ordering::Equal | Ordering::Greater => self.stretches(Time::QUARTER),
        }
    }

    /// The wider groups within which plain eighths, and these alone, are written under one beam across the beat
    /// groups that they fill:
    ///
    /// | meter | groups |
    /// |---|---|
    /// | 2/2, 3/2, 4/2 | halves |
    /// | 4/4 and other even numbers of quarters from four up | halves of the bar, never across its middle |
    /// | 2/4, 3/4, 4/8 | the bar |
    /// | 6/4, 3+2/4 | the pulses |
    /// | 5/4, 7/4, all others | the beat groups |
    ///
    /// Sources: as for [`Meter::beat_groups`].
    pub fn eighth_groups(&self) -> Vec<(Time, Time)> {
        if self.unit() > Time::QUARTER {
            return self.stretches(Time::HALF);
        }
        if self.is_grouped() {
            return self.pulses().collect();
        }
        let groups = self.beat_groups();
        match groups.len() {
            count if count <= 3 => self.stretches(self.bar()),
            count if count.is_multiple_of(2) => {
                self.bar().scaled(1, 2).map_or(groups, |half| self.stretches(half))
            }
            _ => groups,
        }
    }

    /// Whether its pulses have several units.
    fn is_grouped(&self) -> bool {
        self.groups().iter().any(|&group| group > 1)
    }

    /// Whether its bar is so many quarters.
    fn makes_quarters(&self) -> bool {
        self.bar().remainder(Time::QUARTER).is_ok_and(Time::is_zero)
    }

    /// The bar in stretches of one length.
    fn stretches(&self, length: Time) -> Vec<(Time, Time)> {
        let count = self.bar().divided(length).map_or(0, |(count, _)| count);
        (0..count).filter_map(|index| Some((length.scaled(index, 1).ok()?, length))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::any_meter;
    use super::*;
    use proptest::prelude::*;

    fn lengths(groups: &[(Time, Time)]) -> String {
        groups.iter().map(|(_, length)| length.to_string()).collect::<Vec<_>>().join(" ")
    }

    /// Gould, *Behind Bars*, the chapter on metre, from memory; common practice.
    #[test]
    fn groups_of_each_meter() {
        let rows = [
            // meter  beat groups  groups of eighths
            ("2/4", "1/4 1/4", "1/2"),
            ("3/4", "1/4 1/4 1/4", "3/4"),
            ("4/4", "1/4 1/4 1/4 1/4", "1/2 1/2"),
            ("5/4", "1/4 1/4 1/4 1/4 1/4", "1/4 1/4 1/4 1/4 1/4"),
            ("3+2/4", "1/4 1/4 1/4 1/4 1/4", "3/4 1/2"),
            ("6/4", "1/4 1/4 1/4 1/4 1/4 1/4", "3/4 3/4"),
            ("2/2", "1/4 1/4 1/4 1/4", "1/2 1/2"),
            ("3/2", "1/4 1/4 1/4 1/4 1/4 1/4", "1/2 1/2 1/2"),
            ("4/8", "1/4 1/4", "1/2"),
            ("3/8", "3/8", "3/8"),
            ("6/8", "3/8 3/8", "3/8 3/8"),
            ("12/8", "3/8 3/8 3/8 3/8", "3/8 3/8 3/8 3/8"),
            ("6/16", "3/16 3/16", "3/16 3/16"),
            ("5/8", "3/8 1/4", "3/8 1/4"),
            ("3+3+2/8", "3/8 3/8 1/4", "3/8 3/8 1/4"),
            ("1+1+1+1+1/8", "1/8 1/8 1/8 1/8 1/8", "1/8 1/8 1/8 1/8 1/8"),
            ("1+1+1+1+1+1/8", "1/4 1/4 1/4", "3/4"),
        ];
        for (text, beats, eighths) in rows {
            let meter: Meter = text.parse().unwrap();
            assert_eq!(lengths(&meter.beat_groups()), beats, "{text}");
            assert_eq!(lengths(&meter.eighth_groups()), eighths, "{text}");
        }
    }

    proptest! {
        #[test]
        fn prop_groups_fill_the_bar_and_the_wider_ones_are_made_of_the_others(meter in any_meter()) {
            let starts: Vec<Time> = meter.beat_groups().iter().map(|group| group.0).collect();
            for groups in [meter.beat_groups(), meter.eighth_groups()] {
                let mut end = Time::ZERO;
                for (start, length) in groups {
                    prop_assert_eq!(start, end);
                    prop_assert!(starts.contains(&start));
                    end = start.checked_add(length).unwrap();
                }
                prop_assert_eq!(end, meter.bar());
            }
        }
    }
}
