//! Equal temperament: the size of each interval, the frequency of each pitch.

use super::TuningError;
use crate::interval::Interval;
use crate::pitch::Pitch;

/// The lowest reference frequency, in hertz.
pub const MIN_HERTZ: f64 = 1.0;
/// The highest reference frequency, in hertz: the upper end of hearing.
pub const MAX_HERTZ: f64 = 20_000.0;

/// A pitch and its frequency, from which all others follow in equal temperament.
///
/// The frequency is finite and lies between [`MIN_HERTZ`] and [`MAX_HERTZ`]: neither a concert
/// pitch of 0 Hz nor one that is no number can exist.
///
/// ```
/// use soggetto::pitch::Pitch;
/// use soggetto::tuning::ConcertPitch;
/// assert_eq!(ConcertPitch::ISO_16.frequency(Pitch::A4), 440.0);
/// assert!((ConcertPitch::ISO_16.frequency(Pitch::MIDDLE_C) - 261.626).abs() < 0.001);
/// let low = ConcertPitch::new(Pitch::A4, 415.0)?;
/// assert!(low.frequency(Pitch::MIDDLE_C) < 247.0);
/// # Ok::<(), soggetto::tuning::TuningError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConcertPitch {
    pitch: Pitch,
    hertz: f64,
}

impl ConcertPitch {
    /// A4 = 440 Hz, the standard tuning frequency of ISO 16 (1975).
    pub const ISO_16: Self = Self { pitch: Pitch::A4, hertz: 440.0 };

    /// The concert pitch at which a pitch has so many hertz.
    ///
    /// # Errors
    /// [`TuningError::Frequency`] if they are not within [`MIN_HERTZ`]`..=`[`MAX_HERTZ`].
    pub fn new(pitch: Pitch, hertz: f64) -> Result<Self, TuningError> {
        if (MIN_HERTZ..=MAX_HERTZ).contains(&hertz) {
            Ok(Self { pitch, hertz })
        } else {
            Err(TuningError::Frequency { hertz: hertz.to_string() })
        }
    }

    /// The pitch of reference.
    pub const fn pitch(self) -> Pitch {
        self.pitch
    }

    /// The frequency of the pitch of reference, in hertz.
    pub const fn hertz(self) -> f64 {
        self.hertz
    }

    /// The frequency of a pitch in hertz, in equal temperament.
    pub fn frequency(self, pitch: Pitch) -> f64 {
        self.hertz * (tempered_cents(pitch - self.pitch) / 1200.0).exp2()
    }
}

impl Default for ConcertPitch {
    /// [`ConcertPitch::ISO_16`].
    fn default() -> Self {
        Self::ISO_16
    }
}

/// The size of an interval in equal temperament, in cents: a hundred a semitone; negative
/// downwards. Enharmonic intervals are alike.
pub fn tempered_cents(interval: Interval) -> f64 {
    f64::from(interval.semitones()) * 100.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::any_pitch;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    /// Common practice: frequencies of equal temperament at A4 = 440 Hz, to a thousandth of a hertz.
    #[test]
    fn frequencies_are_those_of_equal_temperament() {
        for (text, hertz) in
            [("A4", 440.0), ("C4", 261.626), ("E2", 82.407), ("A0", 27.5), ("C8", 4186.009), ("G#4", 415.305)]
        {
            let found = ConcertPitch::default().frequency(text.parse().unwrap());
            approx::assert_abs_diff_eq!(found, hertz, epsilon = 0.0005);
        }
    }

    #[test]
    fn tempered_cents_fall_with_the_interval() {
        approx::assert_abs_diff_eq!(tempered_cents(-Interval::PERFECT_FIFTH), -700.0);
        approx::assert_abs_diff_eq!(tempered_cents(Interval::UNISON), 0.0);
    }

    #[test]
    fn any_pitch_may_be_the_reference() {
        let middle_c = ConcertPitch::new(Pitch::MIDDLE_C, 256.0).unwrap();
        assert_relative_eq!(middle_c.frequency("C3".parse().unwrap()), 128.0);
        assert_relative_eq!(middle_c.frequency("B#5".parse().unwrap()), 1024.0);
    }

    #[test]
    fn refuses_frequencies_that_nobody_hears() {
        for hertz in [0.0, -440.0, f64::NAN, f64::INFINITY, 0.999, 20_000.1, f64::MIN_POSITIVE] {
            assert!(ConcertPitch::new(Pitch::A4, hertz).is_err(), "{hertz}");
        }
    }

    proptest! {
        #[test]
        fn prop_frequency_is_finite_and_doubles_at_the_octave(
            reference in any_pitch(), pitch in any_pitch(), hertz in MIN_HERTZ..=MAX_HERTZ
        ) {
            let concert = ConcertPitch::new(reference, hertz).unwrap();
            let low = concert.frequency(pitch);
            prop_assert!(low.is_finite() && low > 0.0);
            if let Ok(high) = pitch.moved(Interval::OCTAVE) {
                assert_relative_eq!(concert.frequency(high), 2.0 * low, max_relative = 1e-12);
            }
        }

        #[test]
        fn prop_higher_pitches_have_higher_frequencies(p in any_pitch(), q in any_pitch()) {
            let frequency = |pitch| ConcertPitch::ISO_16.frequency(pitch);
            prop_assert_eq!(p.height() < q.height(), frequency(p) < frequency(q));
        }
    }
}
