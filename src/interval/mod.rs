//! Spelled intervals: exact vectors of diatonic steps and semitones.
//!
//! An [`Interval`] knows its direction, number and [`Quality`]; it knows nothing of pitches, and
//! never mistakes an augmented fourth for a diminished fifth. Intervals are vectors, pitches are
//! points: the operators between the two live in [`crate::pitch`].
//!
//! ```
//! use soggetto::interval::Interval;
//! let tenth: Interval = "M10".parse()?;
//! assert_eq!(tenth.simple().to_string(), "M3");
//! assert_eq!(tenth.semitones(), 16);
//! # Ok::<(), soggetto::interval::IntervalError>(())
//! ```

mod consonance;
mod notation;
mod quality;

pub use consonance::Consonance;
pub use quality::Quality;

use std::ops::Neg;

/// The largest number of diatonic steps an interval may span (twenty octaves).
pub const MAX_STEPS: i32 = 140;
/// The most times an interval may be augmented or diminished: what the distance between two
/// pitches with triple accidentals can reach.
pub const MAX_ALTERATION: i32 = 7;

/// A spelled interval: so many diatonic steps and so many semitones, upwards or downwards.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Interval {
    steps: i32,
    semitones: i32,
}

/// What makes a text or a pair of numbers no interval.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum IntervalError {
    /// The text does not have the form of an interval.
    #[error("{text:?} is not an interval: write a quality and a number, as in m3, P5, A11, -P4")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// The quality does not go with the number (a perfect third).
    #[error("{quality} {number} does not exist: {allowed}")]
    Quality {
        /// The quality asked for.
        quality: Quality,
        /// The number asked for.
        number: u32,
        /// The way out.
        allowed: &'static str,
    },
    /// The interval lies beyond the limits of this library.
    #[error(
        "an interval of {steps} steps and {semitones} semitones is out of range: at most {MAX_STEPS} steps, at most {MAX_ALTERATION} times augmented or diminished"
    )]
    Range {
        /// Diatonic steps.
        steps: i64,
        /// Semitones.
        semitones: i64,
    },
}

/// Semitones of the perfect or major interval above each of the seven degrees.
const NATURAL: [i32; 7] = [0, 2, 4, 5, 7, 9, 11];

/// Semitones of the perfect or major interval of so many steps upwards.
const fn natural_semitones(steps: i32) -> i32 {
    12 * steps.div_euclid(7) + NATURAL[steps.rem_euclid(7) as usize]
}

impl Interval {
    /// The perfect unison.
    pub const UNISON: Self = Self::raw(0, 0);
    /// The minor second.
    pub const MINOR_SECOND: Self = Self::raw(1, 1);
    /// The major second.
    pub const MAJOR_SECOND: Self = Self::raw(1, 2);
    /// The minor third.
    pub const MINOR_THIRD: Self = Self::raw(2, 3);
    /// The major third.
    pub const MAJOR_THIRD: Self = Self::raw(2, 4);
    /// The perfect fourth.
    pub const PERFECT_FOURTH: Self = Self::raw(3, 5);
    /// The perfect fifth.
    pub const PERFECT_FIFTH: Self = Self::raw(4, 7);
    /// The perfect octave.
    pub const OCTAVE: Self = Self::raw(7, 12);

    const fn raw(steps: i32, semitones: i32) -> Self {
        Self { steps, semitones }
    }

    /// The interval between two pitches or classes, which can never be out of range.
    pub(crate) const fn between(steps: i32, semitones: i32) -> Self {
        Self::raw(steps, semitones)
    }

    /// The interval of a quality and a number (1 = unison, 3 = third, 10 = tenth), upwards.
    ///
    /// # Errors
    /// If the quality does not go with the number, or the interval is out of range.
    pub fn new(quality: Quality, number: u32) -> Result<Self, IntervalError> {
        let steps = i32::try_from(number).unwrap_or(i32::MAX).saturating_sub(1);
        if number == 0 {
            return Err(IntervalError::Quality {
                quality,
                number,
                allowed: "numbers begin with 1, the unison",
            });
        }
        let alteration = quality.alteration_of(steps).ok_or(IntervalError::Quality {
            quality,
            number,
            allowed: if quality::is_perfect_kind(steps) {
                "unisons, fourths, fifths and octaves are perfect, augmented or diminished"
            } else {
                "seconds, thirds, sixths and sevenths are major, minor, augmented or diminished"
            },
        })?;
        if steps > MAX_STEPS {
            return Err(IntervalError::Range { steps: steps.into(), semitones: 0 });
        }
        Self::from_steps(steps, natural_semitones(steps) + alteration)
    }

    /// The interval of so many diatonic steps and semitones; both negative for one downwards.
    ///
    /// # Errors
    /// If it spans more than [`MAX_STEPS`], or is augmented or diminished more than
    /// [`MAX_ALTERATION`] times.
    pub fn from_steps(steps: i32, semitones: i32) -> Result<Self, IntervalError> {
        let out_of_range = IntervalError::Range { steps: steps.into(), semitones: semitones.into() };
        if steps.abs() > MAX_STEPS || semitones.abs() > 12 * MAX_STEPS {
            return Err(out_of_range);
        }
        let interval = Self { steps, semitones };
        match interval.quality().count() {
            count if count > MAX_ALTERATION => Err(out_of_range),
            _ => Ok(interval),
        }
    }

    /// Signed diatonic steps: a third is two steps, negative downwards.
    pub const fn steps(self) -> i32 {
        self.steps
    }

    /// Signed semitones.
    pub const fn semitones(self) -> i32 {
        self.semitones
    }

    /// The number as musicians count it: 1 for a unison, 10 for a tenth, whatever the direction.
    pub const fn number(self) -> u32 {
        self.steps.unsigned_abs() + 1
    }

    /// Whether it leads downwards (a unison does so if it is chromatic and falls).
    pub const fn is_descending(self) -> bool {
        self.steps < 0 || (self.steps == 0 && self.semitones < 0)
    }

    /// The same interval upwards.
    #[must_use]
    pub const fn abs(self) -> Self {
        if self.is_descending() { Self::raw(-self.steps, -self.semitones) } else { self }
    }

    /// The quality, seen from the lower note by spelling.
    pub fn quality(self) -> Quality {
        let up = self.abs();
        Quality::of(up.steps, up.semitones - natural_semitones(up.steps))
    }

    /// Whether it is wider than an octave by spelling (an octave is not compound).
    pub const fn is_compound(self) -> bool {
        self.steps.abs() > 7
    }

    /// The simple form: octaves removed until at most an octave is left. A tenth is a third; an
    /// octave stays an octave.
    #[must_use]
    pub const fn simple(self) -> Self {
        if !self.is_compound() {
            return self;
        }
        let octaves = (self.steps.abs() - 1) / 7;
        let sign = if self.steps < 0 { -1 } else { 1 };
        Self::raw(self.steps - sign * 7 * octaves, self.semitones - sign * 12 * octaves)
    }

    /// Whether it is a second of any quality.
    pub const fn is_step(self) -> bool {
        self.steps.abs() == 1
    }

    /// The sum of two intervals.
    ///
    /// # Errors
    /// If the sum is out of range.
    pub fn checked_add(self, other: Self) -> Result<Self, IntervalError> {
        Self::from_steps(self.steps + other.steps, self.semitones + other.semitones)
    }

    /// The interval that, stacked on this one, fills an octave: a third inverts to a sixth, a
    /// tenth (by its simple form) too. Always upwards.
    ///
    /// # Errors
    /// If the inversion would lead downwards by spelling (an augmented octave has none).
    pub fn inverted(self) -> Result<Self, IntervalError> {
        self.inverted_at(Self::OCTAVE)
    }

    /// The interval that, stacked on the simple form of this one, fills `frame` (an octave, tenth
    /// or twelfth).
    ///
    /// # Errors
    /// If the result would lead downwards.
    pub fn inverted_at(self, frame: Self) -> Result<Self, IntervalError> {
        let up = self.abs();
        let up = if up.steps > frame.steps { up.simple() } else { up };
        let (steps, semitones) = (frame.steps - up.steps, frame.semitones - up.semitones);
        if steps < 0 || (steps == 0 && semitones < 0) {
            return Err(IntervalError::Range { steps: steps.into(), semitones: semitones.into() });
        }
        Self::from_steps(steps, semitones)
    }
}

impl Neg for Interval {
    type Output = Self;
    fn neg(self) -> Self {
        Self::raw(-self.steps, -self.semitones)
    }
}
