//! Exact musical time: fractions of a whole note.
//!
//! [`Time`] serves for onsets and durations alike. Every value is a reduced fraction within named
//! limits, so a hostile denominator is an error and never an overflow. A [`Grid`] turns the times
//! of one piece into whole ticks, for algorithms that compare and add many of them.
//!
//! ```
//! use soggetto::time::Time;
//! let dotted_quarter: Time = "3/8".parse()?;
//! let end = dotted_quarter.checked_add(Time::new(1, 8)?)?;
//! assert_eq!(end.to_string(), "1/2");
//! # Ok::<(), soggetto::time::TimeError>(())
//! ```

mod error;
mod grid;
mod notation;

pub use error::TimeError;
pub use grid::Grid;

#[cfg(test)]
pub(crate) use tests::any_time;

use num_rational::Ratio;
use std::cmp::Ordering;
use std::ops::Neg;

/// The largest denominator of a time.
///
/// Notation needs little: a 128th in a septuplet inside a quintuplet is 1/4480. If this and
/// [`MAX_WHOLES`] were a thousand times larger, sums would no longer fit machine integers.
pub const MAX_DENOMINATOR: i64 = 1_000_000;
/// The largest time, in whole notes: weeks of music.
pub const MAX_WHOLES: i64 = 1_000_000;

/// An exact time in whole notes.
///
/// Every value guarantees: its fraction is reduced, its denominator is from 1 to
/// [`MAX_DENOMINATOR`], and it is at most [`MAX_WHOLES`] from zero. Neither `1/0` nor an unreduced
/// `2/8` can exist; the text `2/8` gives `1/4`. Times before a beginning are negative.
///
/// # Text
/// `3/16`, `-1/4`, `2`: printed reduced, read in any terms, without spaces or plus signs. Serde
/// uses the same text.
///
/// # Order and arithmetic
/// Times order by length. Sums may leave the limits, hence [`Time::checked_add`]; the negative never
/// does, hence the operator.
///
/// ```
/// use soggetto::time::Time;
/// let quarter = Time::new(2, 8)?;
/// assert_eq!((quarter.numerator(), quarter.denominator()), (1, 4));
/// assert!(-quarter < Time::ZERO && quarter < Time::WHOLE);
/// # Ok::<(), soggetto::time::TimeError>(())
/// ```
// Invariant: reduced, 1 <= d <= 10^6, |n| <= 10^6 * d <= 10^12. Hence every product of the numerator
// of one time and the denominator of another is at most 10^18, and the sum or difference of two such
// products at most 2 * 10^18 < 2^63: arithmetic between two times needs no more than i64. Numbers
// from outside (`new`, `scaled`) are not bound by this and go through i128.
#[derive(Clone, Copy)]
pub struct Time(Ratio<i64>);

impl Time {
    /// No time at all; the beginning.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));
    /// A whole note.
    pub const WHOLE: Self = Self(Ratio::new_raw(1, 1));
    /// A half note.
    pub const HALF: Self = Self(Ratio::new_raw(1, 2));
    /// A quarter note.
    pub const QUARTER: Self = Self(Ratio::new_raw(1, 4));

    /// The time `numerator`/`denominator`, reduced; two negative numbers make a positive time.
    ///
    /// # Errors
    /// - [`TimeError::ZeroDenominator`]
    /// - [`TimeError::Range`] if the reduced fraction is beyond [`MAX_DENOMINATOR`] or [`MAX_WHOLES`]
    pub fn new(numerator: i64, denominator: i64) -> Result<Self, TimeError> {
        Self::wide(numerator.into(), denominator.into())
    }

    /// Numbers of any size; most are small, and quickly reduced.
    fn wide(numerator: i128, denominator: i128) -> Result<Self, TimeError> {
        if denominator == 0 {
            return Err(TimeError::ZeroDenominator { numerator });
        }
        if let (Ok(n), Ok(d)) = (i32::try_from(numerator), i32::try_from(denominator)) {
            return Self::narrow(n.into(), d.into());
        }
        let reduced = Ratio::new(numerator, denominator);
        match (i64::try_from(*reduced.numer()), i64::try_from(*reduced.denom())) {
            (Ok(n), Ok(d)) => Self::within_limits(Ratio::new_raw(n, d)),
            _ => Err(TimeError::Range { numerator, denominator }),
        }
    }

    /// The fraction of two numbers that are known to fit.
    fn narrow(numerator: i64, denominator: i64) -> Result<Self, TimeError> {
        Self::within_limits(Ratio::new(numerator, denominator))
    }

    /// A reduced fraction, if it is within the limits.
    fn within_limits(reduced: Ratio<i64>) -> Result<Self, TimeError> {
        let (n, d) = (*reduced.numer(), *reduced.denom());
        if d <= MAX_DENOMINATOR && n.unsigned_abs() <= (MAX_WHOLES * d).unsigned_abs() {
            return Ok(Self(reduced));
        }
        Err(TimeError::Range { numerator: n.into(), denominator: d.into() })
    }

    /// The numerator of the reduced fraction, negative for a negative time.
    pub const fn numerator(self) -> i64 {
        *self.0.numer()
    }

    /// The denominator of the reduced fraction, at least 1.
    pub const fn denominator(self) -> i64 {
        *self.0.denom()
    }

    /// Whether it is no time at all.
    pub const fn is_zero(self) -> bool {
        self.numerator() == 0
    }

    /// Whether it is greater than zero.
    pub const fn is_positive(self) -> bool {
        self.numerator() > 0
    }

    /// Whether it is less than zero.
    pub const fn is_negative(self) -> bool {
        self.numerator() < 0
    }

    /// The numerators of two times over their common denominator, and that denominator.
    const fn over_common(self, other: Self) -> (i64, i64, i64) {
        let (b, d) = (self.denominator(), other.denominator());
        if b == d {
            return (self.numerator(), other.numerator(), b);
        }
        (self.numerator() * d, other.numerator() * b, b * d)
    }

    /// The sum.
    ///
    /// # Errors
    /// If it is out of range.
    pub fn checked_add(self, other: Self) -> Result<Self, TimeError> {
        let (a, c, denominator) = self.over_common(other);
        Self::narrow(a + c, denominator)
    }

    /// The difference.
    ///
    /// # Errors
    /// If it is out of range.
    pub fn checked_sub(self, other: Self) -> Result<Self, TimeError> {
        self.checked_add(-other)
    }

    /// The time multiplied by `numerator`/`denominator`: augmentation and diminution.
    ///
    /// ```
    /// use soggetto::time::Time;
    /// let augmented = Time::new(3, 16)?.scaled(2, 1)?;
    /// assert_eq!(augmented.to_string(), "3/8");
    /// # Ok::<(), soggetto::time::TimeError>(())
    /// ```
    ///
    /// # Errors
    /// If the denominator is zero or the result out of range.
    pub fn scaled(self, numerator: i64, denominator: i64) -> Result<Self, TimeError> {
        Self::wide(
            i128::from(self.numerator()) * i128::from(numerator),
            i128::from(self.denominator()) * i128::from(denominator),
        )
    }

    /// How many whole `unit`s it holds and what then remains, which is never negative: 7/8 holds
    /// one 3/4 and 1/8 remains, -1/4 holds minus one and 1/2 remains.
    ///
    /// # Errors
    /// If `unit` is not positive or the remainder out of range.
    pub fn divided(self, unit: Self) -> Result<(i64, Self), TimeError> {
        if !unit.is_positive() {
            return Err(TimeError::Unit { unit });
        }
        let (a, c, denominator) = self.over_common(unit);
        Ok((a.div_euclid(c), Self::narrow(a.rem_euclid(c), denominator)?))
    }

    /// The remainder after taking away as many whole `unit`s as possible: never negative.
    ///
    /// # Errors
    /// If `unit` is not positive or the remainder out of range.
    pub fn remainder(self, unit: Self) -> Result<Self, TimeError> {
        self.divided(unit).map(|(_, remainder)| remainder)
    }
}

impl Default for Time {
    /// [`Time::ZERO`].
    fn default() -> Self {
        Self::ZERO
    }
}

// The fractions are reduced, so equality is that of the parts; comparing needs no division.
impl PartialEq for Time {
    fn eq(&self, other: &Self) -> bool {
        (self.numerator(), self.denominator()) == (other.numerator(), other.denominator())
    }
}

impl Eq for Time {}

impl std::hash::Hash for Time {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        (self.numerator(), self.denominator()).hash(state);
    }
}

impl Ord for Time {
    fn cmp(&self, other: &Self) -> Ordering {
        let (a, c, _) = self.over_common(*other);
        a.cmp(&c)
    }
}

impl PartialOrd for Time {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Neg for Time {
    type Output = Self;
    fn neg(self) -> Self {
        Self(Ratio::new_raw(-self.numerator(), self.denominator()))
    }
}

impl From<Time> for Ratio<i64> {
    fn from(time: Time) -> Self {
        time.0
    }
}

impl TryFrom<Ratio<i64>> for Time {
    type Error = TimeError;
    /// The time of a fraction, which may be unreduced or hostile.
    fn try_from(ratio: Ratio<i64>) -> Result<Self, TimeError> {
        Self::new(*ratio.numer(), *ratio.denom())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Any time, most of them such as music has, some at the limits.
    pub(crate) fn any_time() -> impl Strategy<Value = Time> {
        prop_oneof![
            4 => (-640_i64..=640, prop::sample::select(vec![1_i64, 2, 3, 4, 5, 6, 7, 8, 12, 16, 24, 32, 64])),
            1 => (-MAX_WHOLES..=MAX_WHOLES, 1..=MAX_DENOMINATOR),
            1 => (prop::sample::select(vec![-MAX_WHOLES, MAX_WHOLES]), Just(1)),
        ]
        .prop_map(|(numerator, denominator)| Time::new(numerator, denominator).unwrap())
    }

    fn time(text: &str) -> Time {
        text.parse().unwrap()
    }

    /// The same number where nothing can overflow.
    fn wide(time: Time) -> Ratio<i128> {
        Ratio::new(time.numerator().into(), time.denominator().into())
    }

    #[test]
    fn sums_and_differences() {
        let rows = [
            // a        b        a + b     a - b
            ("1/4", "1/8", "3/8", "1/8"),
            ("1/3", "1/6", "1/2", "1/6"),
            ("3/4", "1/4", "1", "1/2"),
            ("0", "1/4", "1/4", "-1/4"),
            ("-1/2", "1/4", "-1/4", "-3/4"),
        ];
        for (a, b, sum, difference) in rows {
            assert_eq!(time(a).checked_add(time(b)), Ok(time(sum)), "{a} + {b}");
            assert_eq!(time(a).checked_sub(time(b)), Ok(time(difference)), "{a} - {b}");
        }
    }

    #[test]
    fn division_counts_whole_units_and_leaves_no_negative_rest() {
        let rows = [
            // time     unit     units  rest
            ("7/8", "3/4", 1, "1/8"),
            ("3/2", "3/4", 2, "0"),
            ("-1/4", "3/4", -1, "1/2"),
            ("-3/4", "3/4", -1, "0"),
            ("0", "1", 0, "0"),
        ];
        for (whole, unit, count, rest) in rows {
            assert_eq!(time(whole).divided(time(unit)), Ok((count, time(rest))), "{whole} by {unit}");
            assert_eq!(time(whole).remainder(time(unit)), Ok(time(rest)));
        }
    }

    #[test]
    fn refuses_unit_that_is_not_positive() {
        for unit in ["0", "-1/4"] {
            let error = Time::WHOLE.divided(time(unit)).unwrap_err();
            assert_eq!(
                error.to_string(),
                format!("{unit} is no unit to count in: it must be greater than 0")
            );
        }
    }

    #[test]
    fn refuses_zero_denominator() {
        let message = "1/0 is not a time: the denominator must be at least 1";
        assert_eq!(Time::new(1, 0).unwrap_err().to_string(), message);
        assert_eq!(Time::WHOLE.scaled(1, 0).unwrap_err().to_string(), message);
        assert_eq!(Time::try_from(Ratio::new_raw(1, 0)).unwrap_err().to_string(), message);
    }

    #[test]
    fn refuses_times_beyond_the_limits() {
        let limits = "is out of range: denominators go to 1000000, times to 1000000 whole notes";
        let most = Time::new(MAX_WHOLES, 1).unwrap();
        let rows = [
            (Time::new(1, 1_000_001), "1/1000001"),
            (Time::new(1_000_001, 1), "1000001/1"),
            (most.checked_add(Time::WHOLE), "1000001/1"),
            ((-most).checked_sub(Time::WHOLE), "-1000001/1"),
            (Time::new(1, 999_999).and_then(|time| time.checked_add(Time::new(1, 2)?)), "1000001/1999998"),
            (most.scaled(i64::MAX, 1), "9223372036854775807000000/1"),
        ];
        for (refused, fraction) in rows {
            assert_eq!(refused.unwrap_err().to_string(), format!("{fraction} {limits}"));
        }
    }

    #[test]
    fn smallest_integer_is_no_trap() {
        assert_eq!(Time::new(i64::MIN, i64::MIN), Ok(Time::WHOLE));
        assert!(Time::new(i64::MIN, -1).is_err());
        assert!(Time::new(1, i64::MIN).is_err());
        assert_eq!(Time::WHOLE.scaled(i64::MIN, i64::MIN), Ok(Time::WHOLE));
        assert!(Time::WHOLE.scaled(i64::MIN, 1).is_err());
        assert_eq!(Time::ZERO.scaled(i64::MIN, i64::MAX), Ok(Time::ZERO));
    }

    #[test]
    fn unreduced_ratio_is_reduced_on_entry() {
        let entered = Time::try_from(Ratio::new_raw(4, 2)).unwrap();
        assert_eq!((entered, entered.denominator()), (time("2"), 1));
        assert_eq!(Ratio::from(entered), Ratio::new(2, 1));
    }

    proptest! {
        #[test]
        fn prop_sum_agrees_with_wide_arithmetic(a in any_time(), b in any_time()) {
            let exact = wide(a) + wide(b);
            if let Ok(sum) = a.checked_add(b) {
                prop_assert_eq!(wide(sum), exact);
            } else {
                let limit = Ratio::from_integer(i128::from(MAX_WHOLES));
                prop_assert!(*exact.denom() > i128::from(MAX_DENOMINATOR) || exact.max(-exact) > limit);
            }
        }

        #[test]
        fn prop_order_agrees_with_wide_arithmetic(a in any_time(), b in any_time()) {
            prop_assert_eq!(a.cmp(&b), wide(a).cmp(&wide(b)));
            prop_assert_eq!(a == b, wide(a) == wide(b));
        }

        #[test]
        fn prop_values_are_reduced_and_within_limits(numerator: i64, denominator: i64, a in any_time()) {
            let made = [Time::new(numerator, denominator), a.scaled(numerator, denominator), a.scaled(denominator, 7)];
            for time in made.into_iter().flatten() {
                prop_assert!((1..=MAX_DENOMINATOR).contains(&time.denominator()));
                prop_assert!(time.max(-time) <= Time::new(MAX_WHOLES, 1).unwrap());
                prop_assert_eq!(*wide(time).denom(), i128::from(time.denominator()), "reduced");
            }
        }

        #[test]
        fn prop_difference_undoes_sum(a in any_time(), b in any_time()) {
            if let Ok(sum) = a.checked_add(b) {
                prop_assert_eq!(sum.checked_sub(b), Ok(a));
                prop_assert_eq!(b.checked_add(a), Ok(sum));
            }
        }

        #[test]
        fn prop_units_and_rest_make_the_whole(a in any_time(), unit in any_time()) {
            if let Ok((count, rest)) = a.divided(unit) {
                prop_assert!(rest >= Time::ZERO && rest < unit);
                prop_assert_eq!(wide(unit) * i128::from(count) + wide(rest), wide(a));
            }
        }

        #[test]
        fn prop_diminution_undoes_augmentation(a in any_time(), factor in 1_i64..64) {
            if let Ok(augmented) = a.scaled(factor, 1) {
                prop_assert_eq!(augmented.scaled(1, factor), Ok(a));
            }
        }
    }
}
