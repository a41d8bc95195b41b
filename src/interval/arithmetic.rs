//! Sums, multiples, simple form and inversion.

use super::{Interval, IntervalError};
use std::ops::Neg;

impl Interval {
    /// The same interval upwards.
    #[must_use]
    pub const fn abs(self) -> Self {
        if self.is_descending() { Self::between(-self.steps(), -self.semitones()) } else { self }
    }

    /// How many octaves its simple form lacks: 0 up to the octave, 1 from ninth to fifteenth.
    pub const fn octaves_removed(self) -> i32 {
        match self.steps() {
            0 => 0,
            steps => (steps.abs() - 1) / 7,
        }
    }

    /// The simple form, in the same direction: octaves removed until at most an octave is left. A
    /// tenth is a third; an octave stays an octave, diminished and augmented octaves too.
    ///
    /// ```
    /// use soggetto::interval::Interval;
    /// let simple = |text: &str| text.parse::<Interval>().map(|i| i.simple().to_string());
    /// assert_eq!(simple("m10")?, "m3");
    /// assert_eq!(simple("-P12")?, "-P5");
    /// assert_eq!(simple("P15")?, "P8");
    /// # Ok::<(), soggetto::interval::IntervalError>(())
    /// ```
    #[must_use]
    pub const fn simple(self) -> Self {
        let octaves = self.octaves_removed() * self.steps().signum();
        Self::between(self.steps() - 7 * octaves, self.semitones() - 12 * octaves)
    }

    /// The sum of two intervals.
    ///
    /// # Errors
    /// [`IntervalError::Range`] if the sum is out of range.
    ///
    /// ```
    /// use soggetto::interval::Interval;
    /// let fifth = Interval::MAJOR_THIRD.checked_add(Interval::MINOR_THIRD)?;
    /// assert_eq!(fifth, Interval::PERFECT_FIFTH);
    /// # Ok::<(), soggetto::interval::IntervalError>(())
    /// ```
    pub fn checked_add(self, other: Self) -> Result<Self, IntervalError> {
        Self::from_steps(self.steps() + other.steps(), self.semitones() + other.semitones())
    }

    /// The interval that, added to `other`, gives this one.
    ///
    /// # Errors
    /// [`IntervalError::Range`] if the difference is out of range.
    pub fn checked_sub(self, other: Self) -> Result<Self, IntervalError> {
        self.checked_add(-other)
    }

    /// The interval stacked on itself so many times: two fourths are a minor seventh. Negative counts
    /// lead the other way.
    ///
    /// # Errors
    /// [`IntervalError::Range`] if the product is out of range.
    pub fn checked_mul(self, times: i32) -> Result<Self, IntervalError> {
        Self::from_steps(self.steps().saturating_mul(times), self.semitones().saturating_mul(times))
    }

    /// The interval that, stacked on this one, fills an octave: a third inverts to a sixth, a
    /// tenth (by its simple form) too. Always upwards.
    ///
    /// # Errors
    /// [`IntervalError::Inversion`] if it is wider than an octave even when simple: an augmented
    /// octave has none.
    ///
    /// ```
    /// use soggetto::interval::Interval;
    /// assert_eq!(Interval::MINOR_THIRD.inverted()?, Interval::MAJOR_SIXTH);
    /// assert_eq!(Interval::MINOR_TENTH.inverted()?, Interval::MAJOR_SIXTH);
    /// # Ok::<(), soggetto::interval::IntervalError>(())
    /// ```
    pub fn inverted(self) -> Result<Self, IntervalError> {
        self.inverted_at(Self::OCTAVE)
    }

    /// The interval that, stacked on this one, fills `frame` (an octave, tenth, twelfth ...); an
    /// interval with more steps than the frame is taken in its simple form. Always upwards;
    /// the directions of both are disregarded.
    ///
    /// # Errors
    /// - [`IntervalError::Inversion`] if this interval is still the wider;
    /// - [`IntervalError::Range`] if the result is altered more than
    ///   [`MAX_ALTERATION`](super::MAX_ALTERATION) times.
    ///
    /// ```
    /// use soggetto::interval::Interval;
    /// let at_the_twelfth = Interval::MAJOR_SIXTH.inverted_at(Interval::TWELFTH)?;
    /// assert_eq!(at_the_twelfth, Interval::MINOR_SEVENTH);
    /// # Ok::<(), soggetto::interval::IntervalError>(())
    /// ```
    pub fn inverted_at(self, frame: Self) -> Result<Self, IntervalError> {
        let (up, frame) = (self.abs(), frame.abs());
        let up = if up.steps() > frame.steps() { up.simple() } else { up };
        let rest = frame.checked_sub(up)?;
        if rest.is_descending() {
            return Err(IntervalError::Inversion { interval: self, frame });
        }
        Ok(rest)
    }
}

impl Neg for Interval {
    type Output = Self;
    /// The same interval in the other direction.
    fn neg(self) -> Self {
        Self::between(-self.steps(), -self.semitones())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interval::any_interval;
    use proptest::prelude::*;

    fn interval(text: &str) -> Interval {
        text.parse().unwrap()
    }

    #[test]
    fn octaves_of_any_quality_stay_octaves() {
        for (text, simple) in [
            ("d8", "d8"),
            ("P8", "P8"),
            ("A8", "A8"),
            ("d9", "d2"),
            ("d15", "d8"),
            ("P15", "P8"),
            ("A15", "A8"),
            ("P22", "P8"),
            ("-m10", "-m3"),
            ("-A1", "-A1"),
            ("dd9", "dd2"),
        ] {
            assert_eq!(interval(text).simple(), interval(simple), "{text}");
        }
    }

    #[test]
    fn twelve_fifths_exceed_seven_octaves_by_spelling_and_not_by_sound() {
        let fifths = Interval::PERFECT_FIFTH.checked_mul(12).unwrap();
        let octaves = Interval::OCTAVE.checked_mul(7).unwrap();
        assert_eq!(fifths, interval("A49"));
        assert_eq!(fifths.simple(), interval("A7"));
        assert!(fifths.is_enharmonic_with(octaves) && fifths < octaves);
        assert_eq!(fifths.checked_sub(octaves), Ok(-interval("d2")));
    }

    #[test]
    fn sums_beyond_the_limits_are_refused() {
        let widest = interval("P141");
        assert!(widest.checked_add(Interval::MINOR_SECOND).is_err());
        assert!(widest.checked_mul(i32::MIN).is_err());
        assert!(interval("AAAAAAA4").checked_add(Interval::AUGMENTED_UNISON).is_err());
        assert_eq!(widest.checked_mul(0), Ok(Interval::UNISON));
    }

    #[test]
    fn inversion_takes_the_frame_as_given() {
        for (text, frame, inverted) in [
            ("m2", "P8", "M7"),
            ("AA4", "P8", "dd5"),
            ("-P5", "P8", "P4"),
            ("M3", "M10", "P8"),
            ("m3", "M10", "A8"),
            ("m10", "m10", "P1"),
            ("P12", "M10", "M6"),
            ("A8", "P15", "d8"),
            ("P5", "-P12", "P8"),
        ] {
            assert_eq!(
                interval(text).inverted_at(interval(frame)),
                Ok(interval(inverted)),
                "{text} at {frame}"
            );
        }
    }

    #[test]
    fn wider_intervals_have_no_inversion() {
        for (text, frame) in [("A8", "P8"), ("A15", "P15"), ("M10", "m10"), ("P5", "M2"), ("A1", "P1")] {
            let error = interval(text).inverted_at(interval(frame)).unwrap_err();
            assert!(matches!(error, IntervalError::Inversion { .. }), "{text} at {frame}: {error}");
        }
    }

    /// Intervals of which a few can be added without reaching the limits.
    fn usual_interval() -> impl Strategy<Value = Interval> {
        any_interval().prop_filter_map("a usual interval", |interval| {
            let simple = interval.simple();
            (simple.quality().count() <= 2).then_some(simple)
        })
    }

    proptest! {
        #[test]
        fn prop_addition_is_associative(
            a in usual_interval(), b in usual_interval(), c in usual_interval()
        ) {
            let left = a.checked_add(b).and_then(|sum| sum.checked_add(c));
            let right = b.checked_add(c).and_then(|sum| a.checked_add(sum));
            if let (Ok(left), Ok(right)) = (left, right) {
                prop_assert_eq!(left, right);
            } else {
                let alterations = a.quality().count() + b.quality().count() + c.quality().count();
                prop_assert!(alterations > 3, "{} {} {} should have a sum", a, b, c);
            }
        }

        #[test]
        fn prop_addition_is_commutative(a in any_interval(), b in any_interval()) {
            prop_assert_eq!(a.checked_add(b), b.checked_add(a));
        }

        #[test]
        fn prop_unison_is_neutral_and_negation_the_inverse(a in any_interval()) {
            prop_assert_eq!(a.checked_add(Interval::UNISON), Ok(a));
            prop_assert_eq!(a.checked_sub(a), Ok(Interval::UNISON));
            prop_assert_eq!(-(-a), a);
        }

        #[test]
        fn prop_subtraction_undoes_addition(a in usual_interval(), b in usual_interval()) {
            if let Ok(sum) = a.checked_add(b) {
                prop_assert_eq!(sum.checked_sub(b), Ok(a));
            }
        }

        #[test]
        fn prop_multiple_is_repeated_addition(a in usual_interval(), times in 0..4) {
            let sum = (0..times).try_fold(Interval::UNISON, |sum, _| sum.checked_add(a));
            if let Ok(sum) = sum {
                prop_assert_eq!(a.checked_mul(times), Ok(sum));
                prop_assert_eq!(a.checked_mul(-times), Ok(-sum));
            }
        }

        #[test]
        fn prop_simple_form_is_idempotent_and_within_the_octave(a in any_interval()) {
            let simple = a.simple();
            prop_assert_eq!(simple.simple(), simple);
            prop_assert!(!simple.is_compound());
            prop_assert_eq!(simple.quality(), a.quality());
            prop_assert_eq!(simple.consonance(), a.consonance());
        }

        #[test]
        fn prop_simple_form_and_octaves_give_the_interval_back(a in any_interval()) {
            let octaves = Interval::OCTAVE.checked_mul(a.octaves_removed() * a.steps().signum()).unwrap();
            prop_assert_eq!(a.simple().checked_add(octaves), Ok(a));
        }

        #[test]
        fn prop_inversion_is_an_involution(a in any_interval()) {
            let up = a.simple().abs();
            if let Ok(inverted) = up.inverted() {
                prop_assert_eq!(inverted.inverted(), Ok(up));
                prop_assert_eq!(inverted.checked_add(up), Ok(Interval::OCTAVE));
                prop_assert_eq!(inverted.number() + up.number(), 9);
            } else {
                prop_assert!(up > Interval::OCTAVE);
            }
        }
    }
}
