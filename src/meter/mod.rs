//! Meters: the length of a bar, its beats, and how heavy each place in it is.
//!
//! A *beat* as musicians count it is in the lower figure; a *pulse* here is what the conductor
//! beats: the unit of a simple meter, three units of a compound one, one group of an irregular
//! one. [`Strength`] ranks the places of the bar by these, [beat groups](Meter::beat_groups)
//! say which notes are beamed, and [`Meters`] is the meter of a piece with its changes.
//!
//! ```
//! use soggetto::meter::{Meter, Strength};
//! let meter: Meter = "6/8".parse()?;
//! assert_eq!(meter.groups(), [3, 3]);
//! assert_eq!(meter.strength("3/8".parse()?), Strength::Pulse);
//! assert_eq!(meter.bar_and_beat("7/8".parse()?, "1/8".parse()?)?, (2, "1".parse()?));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod bar;
mod beams;
mod error;
mod lasting;
mod meters;
mod notation;
mod strength;

pub use error::MeterError;
pub use meters::Meters;
pub use strength::Strength;

#[cfg(test)]
pub(crate) use {meters::tests::any_meters, tests::any_meter};

use crate::time::Time;

/// The most pulses in a bar.
pub const MAX_PULSES: usize = 16;
/// The largest upper figure.
pub const MAX_UPPER: u8 = 64;
/// The largest lower figure.
pub const MAX_LOWER: u8 = 64;

/// A meter, as in `3/4`, `6/8` or `2+2+3/8`.
///
/// Every meter guarantees: it has from 1 to [`MAX_PULSES`] pulses of at least one unit each, at
/// most [`MAX_UPPER`] units in the bar, and a power of two up to [`MAX_LOWER`] as lower figure. Neither
/// `0/4` nor `4/3` can exist.
///
/// # Figures
/// Which pulses two figures mean is common practice:
///
/// | upper figure | meaning | pulses |
/// |---|---|---|
/// | 6, 9, 12 and further multiples of three | compound, over any lower figure: `6/4` too | one for three units |
/// | 5 over eighths or shorter | irregular | 3+2 units |
/// | 7 over eighths or shorter | irregular | 2+2+3 units |
/// | all others | simple: `3/2`, `4/4`, `5/4` | one a unit |
///
/// Other groups are written out: `2+3/8`, `3+3+2/8`, and `1+1+1+1+1+1/4` for six plain quarters.
///
/// # Text
/// The figures where they suffice, else the groups; printing inverts parsing, and `3+2/8` is
/// printed as the equal `5/8`. Serde uses the same text.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Meter {
    /// Units in each pulse, unused places zero.
    pulses: [u8; MAX_PULSES],
    /// The lower figure.
    unit: u8,
}

impl Meter {
    /// The meter of two figures, which mean the pulses listed for [`Meter`].
    ///
    /// # Errors
    /// - [`MeterError::Lower`] if the lower figure is no power of two up to [`MAX_LOWER`]
    /// - [`MeterError::Upper`] if the upper figure is 0 or above [`MAX_UPPER`]
    /// - [`MeterError::Pulses`] if it means more than [`MAX_PULSES`] pulses, as 17 and 63 do
    pub fn new(upper: u8, lower: u8) -> Result<Self, MeterError> {
        let groups = match upper {
            5 if lower >= 8 => vec![3, 2],
            7 if lower >= 8 => vec![2, 2, 3],
            _ if upper > 3 && upper.is_multiple_of(3) => vec![3; usize::from(upper / 3)],
            _ => vec![1; usize::from(upper)],
        };
        Self::of_groups(&groups, lower).map_err(|error| error.quoting(format!("{upper}/{lower}")))
    }

    /// The meter of the given groups of units, one pulse a group. A single group is the upper
    /// figure of [`Meter::new`].
    ///
    /// # Errors
    /// As [`Meter::new`], and [`MeterError::Group`] if one of several groups is empty.
    pub fn grouped(groups: &[u8], lower: u8) -> Result<Self, MeterError> {
        match groups {
            [upper] => Self::new(*upper, lower),
            _ => Self::of_groups(groups, lower),
        }
    }

    fn of_groups(groups: &[u8], lower: u8) -> Result<Self, MeterError> {
        let text = || notation::figures(groups, lower);
        let upper: u64 = groups.iter().map(|&group| u64::from(group)).sum();
        if !lower.is_power_of_two() || lower > MAX_LOWER {
            return Err(MeterError::Lower { text: text() });
        }
        if upper == 0 || upper > u64::from(MAX_UPPER) {
            return Err(MeterError::Upper { text: text() });
        }
        if groups.contains(&0) {
            return Err(MeterError::Group { text: text() });
        }
        let mut pulses = [0; MAX_PULSES];
        match pulses.get_mut(..groups.len()) {
            Some(places) => places.copy_from_slice(groups),
            None => return Err(MeterError::Pulses { text: text(), pulses: groups.len() }),
        }
        Ok(Self { pulses, unit: lower })
    }

    /// Units of each pulse.
    pub fn groups(&self) -> &[u8] {
        let count = self.pulses.iter().take_while(|&&group| group > 0).count();
        &self.pulses[..count]
    }

    /// The upper figure: units in the bar.
    pub fn upper(&self) -> u8 {
        self.pulses.iter().sum()
    }

    /// The lower figure.
    pub const fn lower(&self) -> u8 {
        self.unit
    }

    /// One unit of the lower figure.
    pub fn unit(&self) -> Time {
        self.units(1)
    }

    /// The length of a bar.
    pub fn bar(&self) -> Time {
        self.units(self.upper())
    }

    /// So many units; never out of range, the figures being at most 64.
    fn units(&self, count: u8) -> Time {
        Time::new(count.into(), self.unit.into()).unwrap_or(Time::ZERO)
    }

    /// Where each pulse of the bar begins, and how long it is.
    pub fn pulses(&self) -> impl Iterator<Item = (Time, Time)> + '_ {
        self.groups().iter().scan(0, |start, &group| {
            let pulse = (self.units(*start), self.units(group));
            *start += group;
            Some(pulse)
        })
    }

    /// Whether its pulses are dotted: every one has three units, as in 6/8 and 6/4 but not in 3/4.
    pub fn is_compound(&self) -> bool {
        self.groups().iter().all(|&group| group == 3)
    }

    /// Whether its pulses differ in length, as in 5/8.
    pub fn is_irregular(&self) -> bool {
        self.groups().iter().any(|&group| group != self.pulses[0])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Any meter: of figures, and of groups.
    pub(crate) fn any_meter() -> impl Strategy<Value = Meter> {
        let lower = || prop::sample::select(vec![1_u8, 2, 4, 8, 16, 32, 64]);
        let common =
            prop::sample::select(vec!["4/4", "3/4", "2/2", "6/8", "3/2", "4/2", "3/8", "12/8", "5/8"]);
        prop_oneof![
            common.prop_map(|text| text.parse().unwrap()),
            (1_u8..=16, lower()).prop_map(|(upper, lower)| Meter::new(upper, lower).unwrap()),
            (prop::collection::vec(1_u8..=4, 1..=MAX_PULSES), lower())
                .prop_map(|(groups, lower)| Meter::grouped(&groups, lower).unwrap()),
        ]
    }

    /// Common practice.
    #[test]
    fn figures_mean_their_pulses() {
        let rows: [(&str, &[u8]); 24] = [
            ("2/4", &[1, 1]),
            ("2/2", &[1, 1]),
            ("4/4", &[1; 4]),
            ("4/2", &[1; 4]),
            ("3/2", &[1; 3]),
            ("3/4", &[1; 3]),
            ("3/8", &[1; 3]),
            ("6/8", &[3, 3]),
            ("6/4", &[3, 3]),
            ("6/16", &[3, 3]),
            ("9/8", &[3; 3]),
            ("9/4", &[3; 3]),
            ("12/8", &[3; 4]),
            ("12/16", &[3; 4]),
            ("15/8", &[3; 5]),
            ("24/16", &[3; 8]),
            ("5/8", &[3, 2]),
            ("5/4", &[1; 5]),
            ("7/8", &[2, 2, 3]),
            ("7/4", &[1; 7]),
            ("2+3/8", &[2, 3]),
            ("3+3+2/8", &[3, 3, 2]),
            ("1+1+1+1+1+1/4", &[1; 6]),
            ("3+2/4", &[3, 2]),
        ];
        for (text, groups) in rows {
            assert_eq!(text.parse::<Meter>().unwrap().groups(), groups, "{text}");
        }
    }

    #[test]
    fn bars_are_as_long_as_their_figures_say() {
        for (text, bar) in
            [("3/4", "3/4"), ("6/8", "3/4"), ("4/2", "2"), ("2+2+3/8", "7/8"), ("48/64", "3/4")]
        {
            let meter: Meter = text.parse().unwrap();
            assert_eq!(meter.bar(), bar.parse().unwrap(), "{text}");
        }
    }

    #[test]
    fn kinds_of_meter_are_told_apart() {
        let kinds = |text: &str| {
            let meter: Meter = text.parse().unwrap();
            (meter.is_compound(), meter.is_irregular())
        };
        assert_eq!(["6/8", "6/4", "9/8"].map(kinds), [(true, false); 3]);
        assert_eq!(["5/8", "3+3+2/8"].map(kinds), [(false, true); 2]);
        assert_eq!(["3/8", "4/4", "5/4"].map(kinds), [(false, false); 3]);
    }

    proptest! {
        #[test]
        fn prop_pulses_fill_the_bar_without_gaps(meter in any_meter()) {
            let mut end = Time::ZERO;
            for (start, length) in meter.pulses() {
                prop_assert_eq!(start, end);
                end = start.checked_add(length).unwrap();
            }
            prop_assert_eq!(end, meter.bar());
        }
    }
}
