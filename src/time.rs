//! Exact musical time: fractions of a whole note.
//!
//! [`Time`] serves for onsets and durations alike. Every value is a reduced fraction within named
//! limits, so a hostile denominator is an error and never an overflow. A [`Grid`] turns the times
//! of one piece into whole ticks, for algorithms that compare and add many of them.

use num_rational::Ratio;
use std::fmt;
use std::str::FromStr;

/// The largest denominator of a time.
pub const MAX_DENOMINATOR: i64 = 1_000_000;
/// The largest time, in whole notes.
pub const MAX_WHOLES: i64 = 1_000_000;

/// An exact time in whole notes.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Time(Ratio<i64>);

/// What makes a text or a computed value no time.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TimeError {
    /// Not a whole number or a fraction.
    #[error("{text:?} is not a time: write a fraction of a whole note, as in 1/4 or 3/16")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// A denominator of zero.
    #[error("{numerator}/0 is not a time: the denominator must be at least 1")]
    ZeroDenominator {
        /// The numerator given.
        numerator: i64,
    },
    /// Too fine or too large.
    #[error(
        "{numerator}/{denominator} is out of range: denominators go to {MAX_DENOMINATOR}, times to {MAX_WHOLES} whole notes"
    )]
    Range {
        /// The numerator.
        numerator: i128,
        /// The denominator.
        denominator: i128,
    },
}

impl Time {
    /// No time at all; the beginning.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));
    /// A whole note.
    pub const WHOLE: Self = Self(Ratio::new_raw(1, 1));

    /// The time `numerator`/`denominator`, reduced.
    ///
    /// # Errors
    /// If the denominator is zero, or the reduced fraction is beyond [`MAX_DENOMINATOR`] or [`MAX_WHOLES`].
    pub fn new(numerator: i64, denominator: i64) -> Result<Self, TimeError> {
        Self::reduced(numerator.into(), denominator.into())
    }

    fn reduced(numerator: i128, denominator: i128) -> Result<Self, TimeError> {
        if denominator == 0 {
            return Err(TimeError::ZeroDenominator {
                numerator: i64::try_from(numerator).unwrap_or(i64::MAX),
            });
        }
        let error = TimeError::Range { numerator, denominator };
        let ratio = Ratio::new(numerator, denominator);
        match (i64::try_from(*ratio.numer()), i64::try_from(*ratio.denom())) {
            (Ok(n), Ok(d)) if d <= MAX_DENOMINATOR && n.abs() <= MAX_WHOLES.saturating_mul(d) => {
                Ok(Self(Ratio::new_raw(n, d)))
            }
            _ => Err(error),
        }
    }

    /// The numerator of the reduced fraction.
    pub const fn numerator(self) -> i64 {
        *self.0.numer()
    }

    /// The denominator of the reduced fraction, at least 1.
    pub const fn denominator(self) -> i64 {
        *self.0.denom()
    }

    /// Whether it is greater than zero.
    pub const fn is_positive(self) -> bool {
        self.numerator() > 0
    }

    /// The sum.
    ///
    /// # Errors
    /// If it is out of range.
    pub fn checked_add(self, other: Self) -> Result<Self, TimeError> {
        self.combine(other, 1)
    }

    /// The difference.
    ///
    /// # Errors
    /// If it is out of range.
    pub fn checked_sub(self, other: Self) -> Result<Self, TimeError> {
        self.combine(other, -1)
    }

    fn combine(self, other: Self, sign: i128) -> Result<Self, TimeError> {
        let (a, b) = (i128::from(self.numerator()), i128::from(self.denominator()));
        let (c, d) = (i128::from(other.numerator()), i128::from(other.denominator()));
        Self::reduced(a * d + sign * c * b, b * d)
    }

    /// The time multiplied by `numerator`/`denominator`: augmentation and diminution.
    ///
    /// # Errors
    /// If the denominator is zero or the result out of range.
    pub fn scaled(self, numerator: i64, denominator: i64) -> Result<Self, TimeError> {
        Self::reduced(
            i128::from(self.numerator()) * i128::from(numerator),
            i128::from(self.denominator()) * i128::from(denominator),
        )
    }

    /// The remainder after taking away as many whole `unit`s as possible: never negative.
    ///
    /// # Errors
    /// If `unit` is zero or the result out of range.
    pub fn remainder(self, unit: Self) -> Result<Self, TimeError> {
        let (a, b) = (i128::from(self.numerator()), i128::from(self.denominator()));
        let (c, d) = (i128::from(unit.numerator()), i128::from(unit.denominator()));
        if c == 0 {
            return Err(TimeError::ZeroDenominator { numerator: self.numerator() });
        }
        Self::reduced((a * d).rem_euclid(c * b), b * d)
    }
}

impl fmt::Display for Time {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.denominator() {
            1 => f.pad(&self.numerator().to_string()),
            denominator => f.pad(&format!("{}/{denominator}", self.numerator())),
        }
    }
}

impl fmt::Debug for Time {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Time {
    type Err = TimeError;
    fn from_str(text: &str) -> Result<Self, TimeError> {
        let number = |part: &str| {
            let digits = part.strip_prefix('-').unwrap_or(part);
            let sound = !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
            if sound { part.parse::<i64>().ok() } else { None }
                .ok_or_else(|| TimeError::Syntax { text: text.to_owned() })
        };
        match text.split_once('/') {
            Some((_, denominator)) if denominator.starts_with('-') => {
                Err(TimeError::Syntax { text: text.to_owned() })
            }
            Some((numerator, denominator)) => Self::new(number(numerator)?, number(denominator)?),
            None => Self::new(number(text)?, 1),
        }
    }
}

/// A division of the whole note fine enough for all the times of one piece, which then are whole
/// numbers of ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grid {
    per_whole: i64,
}

impl Grid {
    /// One tick a whole note: the coarsest grid of all.
    pub const WHOLE: Self = Self { per_whole: 1 };

    /// The coarsest grid on which all these times fall.
    ///
    /// # Errors
    /// If it would need more than [`MAX_DENOMINATOR`] ticks a whole note.
    pub fn of(times: impl IntoIterator<Item = Time>) -> Result<Self, TimeError> {
        let mut per_whole = 1_i64;
        for time in times {
            let d = time.denominator();
            per_whole = per_whole / gcd(per_whole, d) * d;
            if per_whole > MAX_DENOMINATOR {
                return Err(TimeError::Range { numerator: 1, denominator: per_whole.into() });
            }
        }
        Ok(Self { per_whole })
    }

    /// Ticks a whole note.
    pub const fn per_whole(self) -> i64 {
        self.per_whole
    }

    /// A time in ticks, rounded down if it does not fall on the grid.
    pub const fn ticks(self, time: Time) -> i64 {
        (time.numerator() * self.per_whole).div_euclid(time.denominator())
    }

    /// The time of so many ticks.
    ///
    /// # Errors
    /// If it is out of range.
    pub fn time(self, ticks: i64) -> Result<Time, TimeError> {
        Time::new(ticks, self.per_whole)
    }
}

const fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

crate::text_serde::serde_as_text!(Time);
