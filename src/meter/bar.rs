//! From onsets to bars and beats, and back.

use super::{Meter, MeterError};
use crate::time::{Time, TimeError};

impl Meter {
    /// The place in the bar of a time counted from a bar line; negative times count from before it.
    ///
    /// # Errors
    /// If the result is out of range.
    pub fn place(&self, time: Time) -> Result<Time, TimeError> {
        time.remainder(self.bar())
    }

    /// Bar and beat of an onset, in music that begins with a pickup (zero for none).
    ///
    /// The first full bar is 1, a pickup bar 0; beats are in the lower figure, the first being 1.
    ///
    /// ```
    /// use soggetto::meter::Meter;
    /// let meter: Meter = "3/4".parse()?;
    /// let pickup = "1/4".parse()?;
    /// assert_eq!(meter.bar_and_beat("0".parse()?, pickup)?, (0, "3".parse()?));
    /// assert_eq!(meter.bar_and_beat("5/8".parse()?, pickup)?, (1, "5/2".parse()?));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If the result is out of range.
    pub fn bar_and_beat(&self, onset: Time, pickup: Time) -> Result<(i64, Time), TimeError> {
        let (bars, place) = onset.checked_sub(pickup)?.divided(self.bar())?;
        let beat = place.scaled(self.lower().into(), 1)?.checked_add(Time::WHOLE)?;
        Ok((bars + 1, beat))
    }

    /// The onset of a beat of a bar: the inverse of [`Meter::bar_and_beat`].
    ///
    /// # Errors
    /// - [`MeterError::Beat`] if the bar has no such beat
    /// - [`MeterError::Time`] if the onset is out of range
    pub fn onset(&self, bar: i64, beat: Time, pickup: Time) -> Result<Time, MeterError> {
        let units = beat.checked_sub(Time::WHOLE)?;
        let place = units.scaled(1, self.lower().into())?;
        if place.is_negative() || place >= self.bar() {
            return Err(MeterError::Beat { beat, meter: *self });
        }
        let bars = self.bar().scaled(bar.saturating_sub(1), 1)?;
        Ok(bars.checked_add(place)?.checked_add(pickup)?)
    }
}

#[cfg(test)]
mod tests {
    use super::super::any_meter;
    use super::*;
    use crate::time::any_time;
    use proptest::prelude::*;

    fn time(text: &str) -> Time {
        text.parse().unwrap()
    }

    #[test]
    fn bars_count_from_one_and_the_pickup_is_bar_zero() {
        let rows = [
            // meter  pickup  onset   bar  beat
            ("4/4", "0", "0", 1, "1"),
            ("4/4", "0", "7/8", 1, "9/2"),
            ("4/4", "0", "1", 2, "1"),
            ("3/4", "1/8", "0", 0, "7/2"),
            ("3/4", "1/8", "1/8", 1, "1"),
            ("6/8", "3/8", "3/8", 1, "1"),
            ("6/8", "3/8", "1/2", 1, "2"),
            ("7/8", "0", "3/2", 2, "6"),
            ("2/2", "0", "1/12", 1, "7/6"),
            ("3/4", "1/4", "-1/4", 0, "2"),
        ];
        for (meter, pickup, onset, bar, beat) in rows {
            let meter: Meter = meter.parse().unwrap();
            assert_eq!(
                meter.bar_and_beat(time(onset), time(pickup)),
                Ok((bar, time(beat))),
                "{meter} {onset}"
            );
            assert_eq!(meter.onset(bar, time(beat), time(pickup)), Ok(time(onset)), "{meter} {bar} {beat}");
        }
    }

    #[test]
    fn refuses_beat_that_the_bar_does_not_have() {
        let meter: Meter = "3/4".parse().unwrap();
        for beat in ["0", "1/2", "4", "-1"] {
            let error = meter.onset(2, time(beat), Time::ZERO).unwrap_err();
            let message =
                format!("there is no beat {beat} in 3/4: beats run from 1 up to, but not including, 4");
            assert_eq!(error.to_string(), message);
        }
    }

    #[test]
    fn refuses_bar_out_of_range() {
        let meter: Meter = "3/4".parse().unwrap();
        for bar in [i64::MIN, i64::MAX] {
            assert!(matches!(meter.onset(bar, Time::WHOLE, Time::ZERO), Err(MeterError::Time(_))));
        }
    }

    proptest! {
        #[test]
        fn prop_bar_and_beat_invert_the_onset(meter in any_meter(), onset in any_time(), eighths in 0_i64..4) {
            let pickup = meter.bar().scaled(eighths, 8).unwrap();
            if let Ok((bar, beat)) = meter.bar_and_beat(onset, pickup) {
                if let Ok(back) = meter.onset(bar, beat, pickup) {
                    prop_assert_eq!(back, onset);
                }
                prop_assert!(beat >= Time::WHOLE);
            }
        }
    }
}
