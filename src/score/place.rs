//! Where something is: bar and beat.

use super::Score;
use crate::meter::{Meter, Strength};
use crate::time::{Time, TimeError};
use std::fmt;

/// An onset with its bar and beat.
///
/// Bars count from 1, a pickup being bar 0; beats from 1 in the lower figure of the meter, as
/// exact fractions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Place {
    /// Whole notes from the start of the piece.
    pub onset: Time,
    /// The bar.
    pub bar: i64,
    /// The beat.
    pub beat: Time,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("bar {}, beat {}", self.bar, self.beat))
    }
}

impl Place {
    /// The place of an onset in music of this meter that begins with this pickup.
    ///
    /// # Errors
    /// If a time is out of range.
    pub fn of(onset: Time, meter: Meter, pickup: Time) -> Result<Self, TimeError> {
        let from_bar_one = onset.checked_sub(pickup)?;
        let inside = meter.place(from_bar_one)?;
        let bar_start = from_bar_one.checked_sub(inside)?;
        let bars = bar_start.scaled(meter.bar().denominator(), meter.bar().numerator())?;
        let beat = inside.scaled(meter.lower().into(), 1)?.checked_add(Time::WHOLE)?;
        Ok(Self { onset, bar: bars.numerator() + 1, beat })
    }
}

impl Score {
    /// The place of an onset.
    ///
    /// # Errors
    /// If a time is out of range.
    pub fn place(&self, onset: Time) -> Result<Place, TimeError> {
        Place::of(onset, self.meter(), self.pickup())
    }

    /// How heavy the place of an onset is.
    pub fn strength(&self, onset: Time) -> Strength {
        onset.checked_sub(self.pickup()).map_or(Strength::Subdivision, |time| self.meter().strength(time))
    }
}
