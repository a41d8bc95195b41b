//! Exact ratios of two frequencies.

use super::TuningError;
use crate::quote::excerpt;
use std::fmt;
use std::str::FromStr;

/// The ratio of two frequencies, in lowest terms.
///
/// Both numbers are at least 1: `3/0` and `0/1` cannot exist. The text form is `3/2`; `6/4` is read
/// as the same ratio.
///
/// ```
/// use soggetto::tuning::Ratio;
/// let pythagorean_third: Ratio = "81/64".parse()?;
/// let comma = pythagorean_third.checked_mul(Ratio::new(5, 4)?.reciprocal())?;
/// assert_eq!(comma.to_string(), "81/80");
/// # Ok::<(), soggetto::tuning::TuningError>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ratio {
    numerator: u64,
    denominator: u64,
}

impl Ratio {
    /// The ratio of the unison, 1/1.
    pub const UNISON: Self = Self::raw(1, 1);

    /// The ratio of the octave, 2/1.
    pub const OCTAVE: Self = Self::raw(2, 1);

    /// For numbers that have no common divisor.
    pub(super) const fn raw(numerator: u64, denominator: u64) -> Self {
        Self { numerator, denominator }
    }

    /// The ratio of two numbers, reduced to lowest terms.
    ///
    /// # Errors
    /// [`TuningError::Zero`] if either is 0.
    pub const fn new(numerator: u64, denominator: u64) -> Result<Self, TuningError> {
        if numerator == 0 || denominator == 0 {
            return Err(TuningError::Zero { numerator, denominator });
        }
        let common = common_divisor(numerator, denominator);
        Ok(Self::raw(numerator / common, denominator / common))
    }

    /// The number above, in lowest terms.
    pub const fn numerator(self) -> u64 {
        self.numerator
    }

    /// The number below, in lowest terms.
    pub const fn denominator(self) -> u64 {
        self.denominator
    }

    /// The ratio of the same interval downwards.
    #[must_use]
    pub const fn reciprocal(self) -> Self {
        Self::raw(self.denominator, self.numerator)
    }

    /// The ratio of two intervals stacked.
    ///
    /// # Errors
    /// [`TuningError::TooLarge`] if a number of the product does not fit 64 bits.
    pub fn checked_mul(self, other: Self) -> Result<Self, TuningError> {
        let (left, right) = (self.cancelled_by(other), other.cancelled_by(self));
        let numerator = left.numerator.checked_mul(right.numerator);
        let denominator = left.denominator.checked_mul(right.denominator);
        match (numerator, denominator) {
            (Some(numerator), Some(denominator)) => Ok(Self::raw(numerator, denominator)),
            _ => Err(TuningError::TooLarge { left: self, right: other }),
        }
    }

    /// The product of ratios known to be small; beyond 64 bits the largest number.
    pub(super) const fn times(self, other: Self) -> Self {
        let (left, right) = (self.cancelled_by(other), other.cancelled_by(self));
        Self::raw(
            left.numerator.saturating_mul(right.numerator),
            left.denominator.saturating_mul(right.denominator),
        )
    }

    /// The size of the interval in cents, 1200 to the octave: 1200 log2 of the ratio. Negative
    /// downwards.
    ///
    /// Source of the unit: A. J. Ellis in Helmholtz, *On the Sensations of Tone*, Appendix XX (from
    /// memory).
    ///
    /// ```
    /// use soggetto::tuning::Ratio;
    /// assert!((Ratio::new(3, 2)?.cents() - 701.955).abs() < 0.001);
    /// # Ok::<(), soggetto::tuning::TuningError>(())
    /// ```
    #[expect(
        clippy::cast_precision_loss,
        reason = "the 53 bits that stay are exact to far less than a thousandth of a cent"
    )]
    pub fn cents(self) -> f64 {
        ((self.numerator as f64).log2() - (self.denominator as f64).log2()) * 1200.0
    }

    /// The numbers left of this one once all that the two share crosswise is cancelled.
    const fn cancelled_by(self, other: Self) -> Self {
        Self::raw(
            self.numerator / common_divisor(self.numerator, other.denominator),
            self.denominator / common_divisor(self.denominator, other.numerator),
        )
    }
}

impl fmt::Debug for Ratio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl fmt::Display for Ratio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}/{}", self.numerator, self.denominator))
    }
}

impl FromStr for Ratio {
    type Err = TuningError;

    fn from_str(text: &str) -> Result<Self, TuningError> {
        let whole = |digits: &str| {
            digits.bytes().all(|b| b.is_ascii_digit()).then(|| digits.parse::<u64>().ok()).flatten()
        };
        text.split_once('/')
            .and_then(|(above, below)| Some((whole(above)?, whole(below)?)))
            .ok_or_else(|| TuningError::Syntax { text: excerpt(text) })
            .and_then(|(above, below)| Self::new(above, below))
    }
}

crate::text_serde::serde_as_text!(Ratio);

/// The greatest common divisor of two positive numbers, after Euclid.
const fn common_divisor(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// Any ratio.
#[cfg(test)]
pub(super) fn any_ratio() -> impl proptest::strategy::Strategy<Value = Ratio> {
    use proptest::prelude::*;
    (1..=u64::MAX, 1..=u64::MAX).prop_map(|(above, below)| Ratio::new(above, below).unwrap())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn ratios_are_kept_in_lowest_terms() {
        assert_eq!(Ratio::new(6, 4), Ratio::new(3, 2));
        assert_eq!("10/5".parse::<Ratio>(), Ok(Ratio::OCTAVE));
        assert_eq!(format!("{:?}", Ratio::new(90, 64).unwrap()), "45/32");
    }

    #[test]
    fn refuses_all_other_forms() {
        for text in ["", "3", "3/", "/2", "-3/2", "+3/2", "3/2/1", "3 / 2", "３/2", "99999999999999999999/1"]
        {
            assert!(matches!(text.parse::<Ratio>(), Err(TuningError::Syntax { .. })), "{text}");
        }
    }

    #[cfg(feature = "serde")]
    #[test]
    fn json_is_the_text_and_goes_through_the_same_check() {
        let fifth = Ratio::new(3, 2).unwrap();
        assert_eq!(serde_json::to_string(&fifth).unwrap(), r#""3/2""#);
        assert_eq!(serde_json::from_str::<Ratio>(r#""6/4""#).unwrap(), fifth);
        assert!(serde_json::from_str::<Ratio>(r#""3/0""#).is_err());
    }

    proptest! {
        #[test]
        fn prop_text_roundtrips(ratio in any_ratio()) {
            prop_assert_eq!(ratio.to_string().parse::<Ratio>(), Ok(ratio));
        }

        #[test]
        fn prop_ratio_and_reciprocal_cancel(ratio in any_ratio()) {
            prop_assert_eq!(ratio.checked_mul(ratio.reciprocal()), Ok(Ratio::UNISON));
            approx::assert_abs_diff_eq!(ratio.cents(), -ratio.reciprocal().cents());
        }

        #[test]
        fn prop_cents_add_where_ratios_multiply(a in 1..=1_000_000_u64, b in 1..=1_000_000_u64,
            c in 1..=1_000_000_u64, d in 1..=1_000_000_u64) {
            let (left, right) = (Ratio::new(a, b).unwrap(), Ratio::new(c, d).unwrap());
            let product = left.checked_mul(right).unwrap();
            prop_assert_eq!(Ok(product), Ratio::new(a * c, b * d));
            prop_assert_eq!(product, left.times(right));
            approx::assert_abs_diff_eq!(product.cents(), left.cents() + right.cents(), epsilon = 1e-6);
        }
    }
}
