//! Where something is: bar and beat.

use super::{Score, ScoreError};
use crate::meter::{Meters, Strength};
use crate::time::{Time, TimeError};
use std::fmt;

/// An onset with its bar and beat.
///
/// Bars count from 1, a pickup being bar 0; beats from 1 in the lower figure of the meter there, as
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
    /// The place of an onset in music of these meters.
    ///
    /// # Errors
    /// If a time is out of range.
    pub fn of(onset: Time, meters: &Meters) -> Result<Self, TimeError> {
        meters.bar_and_beat(onset).map(|(bar, beat)| Self { onset, bar, beat })
    }

    /// The place of a bar and beat in music of these meters. The bars never end: the place may lie
    /// beyond the last note.
    ///
    /// # Errors
    /// If the meter there has no such beat, the place lies before the beginning, or the onset is out
    /// of range.
    pub fn at(bar: i64, beat: Time, meters: &Meters) -> Result<Self, ScoreError> {
        let meter = meters.of_bar(bar);
        let after_last = Time::new(i64::from(meter.upper()) + 1, 1)?;
        if beat < Time::WHOLE || beat >= after_last {
            return Err(ScoreError::Beat { beat, meter });
        }
        let inside = beat.checked_sub(Time::WHOLE)?.scaled(1, meter.lower().into())?;
        let onset = meters.bar_start(bar)?.checked_add(inside)?;
        if onset < Time::ZERO {
            return Err(ScoreError::Before { bar, beat, first: Self::of(Time::ZERO, meters)? });
        }
        Ok(Self { onset, bar, beat })
    }
}

impl Score {
    /// The place of an onset.
    ///
    /// # Errors
    /// If a time is out of range.
    pub fn place(&self, onset: Time) -> Result<Place, TimeError> {
        Place::of(onset, self.meters())
    }

    /// The onset of a bar and beat, as [`Place::at`] counts them.
    ///
    /// # Errors
    /// If the meter there has no such beat, the place lies before the beginning, or the onset is out
    /// of range.
    pub fn onset_of(&self, bar: i64, beat: Time) -> Result<Time, ScoreError> {
        Place::at(bar, beat, self.meters()).map(|place| place.onset)
    }

    /// How heavy the place of an onset is.
    pub fn strength(&self, onset: Time) -> Strength {
        self.meters().strength(onset)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn time(text: &str) -> Time {
        text.parse().unwrap()
    }

    fn meters(text: &str, pickup: Time) -> Meters {
        Meters::new(text.parse().unwrap(), pickup).unwrap()
    }

    proptest! {
        #[test]
        fn prop_places_lead_back_to_their_onset(n in 0..2000_i64, pickup in 0..12_i64, names in "(3/4|4/4|6/8|7/8|3/2) (2/4|4/4|9/8|5/4)", bar in 2..30_i64) {
            let (onset, pickup) = (Time::new(n, 48).unwrap(), Time::new(pickup, 16).unwrap());
            let (first, second) = names.split_once(' ').unwrap();
            let meters = meters(first, pickup).with_change(bar, second.parse().unwrap()).unwrap();
            let place = Place::of(onset, &meters).unwrap();
            prop_assert_eq!(Place::at(place.bar, place.beat, &meters), Ok(place));
        }
    }

    /// Counted by hand.
    #[test]
    fn places_count_bars_from_the_pickup_and_beats_in_the_lower_figure() {
        let rows = [
            ("0", "3/4", "0", "bar 1, beat 1"),
            ("5/8", "3/4", "0", "bar 1, beat 7/2"),
            ("3/4", "3/4", "0", "bar 2, beat 1"),
            ("0", "3/4", "1/4", "bar 0, beat 3"),
            ("1/4", "3/4", "1/4", "bar 1, beat 1"),
            ("0", "6/8", "5/8", "bar 0, beat 2"),
            ("29/24", "4/4", "0", "bar 2, beat 11/6"),
            ("7/2", "3/2", "1/2", "bar 3, beat 1"),
        ];
        for (onset, name, pickup, place) in rows {
            assert_eq!(Place::of(time(onset), &meters(name, time(pickup))).unwrap().to_string(), place);
        }
    }

    #[test]
    fn errors_tell_which_places_exist() {
        let at = |bar, beat| Place::at(bar, time(beat), &meters("3/4", time("1/4"))).unwrap_err().to_string();
        assert_eq!(at(1, "4"), "beat 4 does not exist in 3/4: beats run from 1 to less than 4");
        assert_eq!(at(1, "1/2"), "beat 1/2 does not exist in 3/4: beats run from 1 to less than 4");
        assert_eq!(at(0, "2"), "bar 0, beat 2 does not exist: the piece begins at bar 0, beat 3");
        for bar in [i64::MIN, i64::MAX] {
            assert!(matches!(
                Place::at(bar, Time::WHOLE, &meters("3/4", Time::ZERO)),
                Err(ScoreError::Time { .. })
            ));
        }
    }
}
