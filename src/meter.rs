//! Meters: the length of a bar, its beats, and how heavy each place in it is.
//!
//! A beat as musicians count it (`Place` in [`crate::score`]) is in the lower figure; a *pulse*
//! here is what the conductor beats: the unit of a simple meter, three units of a compound one,
//! one group of an irregular one.

use crate::time::{Time, TimeError};
use std::fmt;
use std::str::FromStr;

/// The most pulses in a bar.
pub const MAX_PULSES: usize = 16;
/// The largest upper figure.
pub const MAX_UPPER: u8 = 64;

/// A meter, as in `3/4`, `6/8` or `2+2+3/8`.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Meter {
    /// Units in each pulse, unused places zero.
    pulses: [u8; MAX_PULSES],
    /// The lower figure.
    unit: u8,
}

/// How heavy a place in the bar is, from light to heavy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Strength {
    /// Finer than the units of the meter or the halves of its pulses.
    Subdivision,
    /// A division of a pulse: the half of a simple one, a third of a compound one.
    Division,
    /// A pulse.
    Pulse,
    /// The secondary accent: the third pulse of four, the middle of six.
    Accent,
    /// The beginning of the bar.
    Downbeat,
}

/// What makes a text or a pair of figures no meter.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum MeterError {
    /// Not of the form of a meter.
    #[error("{text:?} is not a meter: write 3/4, 6/8, or the groups of an irregular one as 2+2+3/8")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// The upper figure is zero, too large, or has too many groups.
    #[error(
        "{text:?} is not a meter: the upper figure runs from 1 to {MAX_UPPER}, with at most {MAX_PULSES} beats or groups"
    )]
    Upper {
        /// What was given.
        text: String,
    },
    /// The lower figure is no power of two up to 64.
    #[error("{text:?} is not a meter: the lower figure is 1, 2, 4, 8, 16, 32 or 64")]
    Lower {
        /// What was given.
        text: String,
    },
}

impl Meter {
    /// The meter of two figures. Upper figures that are multiples of three above three make a
    /// compound meter over eighths or shorter; five and seven over eighths are grouped 3+2 and
    /// 2+2+3 unless [`Meter::grouped`] says otherwise.
    ///
    /// # Errors
    /// If a figure is out of range.
    pub fn new(upper: u8, lower: u8) -> Result<Self, MeterError> {
        let groups = match upper {
            5 if lower >= 8 => vec![3, 2],
            7 if lower >= 8 => vec![2, 2, 3],
            6 | 9 | 12 | 15 if lower >= 8 => vec![3; usize::from(upper / 3)],
            _ => vec![1; usize::from(upper)],
        };
        Self::grouped(&groups, lower).map_err(|error| match error {
            MeterError::Lower { .. } => MeterError::Lower { text: format!("{upper}/{lower}") },
            _ => MeterError::Upper { text: format!("{upper}/{lower}") },
        })
    }

    /// The meter of the given groups of units, one pulse a group.
    ///
    /// # Errors
    /// If there are no groups or too many, a group is empty, or a figure is out of range.
    pub fn grouped(groups: &[u8], lower: u8) -> Result<Self, MeterError> {
        let text = || {
            let groups: Vec<String> = groups.iter().map(ToString::to_string).collect();
            format!("{}/{lower}", groups.join("+"))
        };
        let sum: u32 = groups.iter().map(|&group| u32::from(group)).sum();
        if groups.is_empty() || groups.len() > MAX_PULSES || groups.contains(&0) || sum > u32::from(MAX_UPPER)
        {
            return Err(MeterError::Upper { text: text() });
        }
        if !lower.is_power_of_two() || lower > 64 {
            return Err(MeterError::Lower { text: text() });
        }
        let mut pulses = [0; MAX_PULSES];
        pulses[..groups.len()].copy_from_slice(groups);
        Ok(Self { pulses, unit: lower })
    }

    /// Units of each pulse.
    pub fn groups(&self) -> &[u8] {
        let count = self.pulses.iter().take_while(|&&group| group > 0).count();
        &self.pulses[..count]
    }

    /// The upper figure.
    pub fn upper(&self) -> u8 {
        self.groups().iter().sum()
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

    /// Whether every pulse has three units.
    pub fn is_compound(&self) -> bool {
        self.groups().iter().all(|&group| group == 3)
    }

    /// The place in the bar of a time counted from a bar line; negative times count from before it.
    ///
    /// # Errors
    /// If the result is out of range.
    pub fn place(&self, time: Time) -> Result<Time, TimeError> {
        time.remainder(self.bar())
    }

    /// How heavy a place in the bar is, counted from its bar line.
    pub fn strength(&self, place: Time) -> Strength {
        let Ok(place) = self.place(place) else { return Strength::Subdivision };
        if place == Time::ZERO {
            return Strength::Downbeat;
        }
        let count = self.groups().len();
        for (index, (start, length)) in self.pulses().enumerate() {
            if place == start {
                let middle = matches!(count, 4 | 6) && index == count / 2;
                return if middle { Strength::Accent } else { Strength::Pulse };
            }
            let Ok(inside) = place.checked_sub(start) else { return Strength::Subdivision };
            if inside.is_positive() && inside < length {
                return self.strength_inside(inside, length);
            }
        }
        Strength::Subdivision
    }

    fn strength_inside(&self, inside: Time, pulse: Time) -> Strength {
        let division = if pulse == self.unit() { pulse.scaled(1, 2) } else { Ok(self.unit()) };
        match division.and_then(|division| inside.remainder(division)) {
            Ok(rest) if rest == Time::ZERO => Strength::Division,
            _ => Strength::Subdivision,
        }
    }
}

impl fmt::Display for Meter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if Self::new(self.upper(), self.unit) == Ok(*self) {
            return f.pad(&format!("{}/{}", self.upper(), self.unit));
        }
        let groups: Vec<String> = self.groups().iter().map(ToString::to_string).collect();
        f.pad(&format!("{}/{}", groups.join("+"), self.unit))
    }
}

impl fmt::Debug for Meter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Meter {
    type Err = MeterError;
    fn from_str(text: &str) -> Result<Self, MeterError> {
        let syntax = || MeterError::Syntax { text: text.to_owned() };
        let (upper, lower) = text.split_once('/').ok_or_else(syntax)?;
        let lower: u8 = lower.parse().map_err(|_| MeterError::Lower { text: text.to_owned() })?;
        let groups: Result<Vec<u8>, _> = upper.split('+').map(str::parse).collect();
        match groups.map_err(|_| syntax())?.as_slice() {
            [upper] => Self::new(*upper, lower),
            groups => Self::grouped(groups, lower),
        }
    }
}

crate::text_serde::serde_as_text!(Meter);
