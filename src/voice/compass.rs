//! The compass of a voice.

use crate::pitch::{Letter, Pitch, PitchClass, PitchError};
use std::fmt;
use std::str::FromStr;

/// The pitches a voice can reach, by sounding height, both ends included.
///
/// The lowest pitch always sounds below the highest: neither `G5-C4` nor `C4-C4` can exist. Its
/// text form is `C4-G5`.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Compass {
    lowest: Pitch,
    highest: Pitch,
}

/// What makes two pitches or a text no compass.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CompassError {
    /// The lowest pitch does not sound below the highest.
    #[error("{lowest} to {highest} is not a compass: the lowest note must sound below the highest")]
    Order {
        /// The pitch given as lowest.
        lowest: Pitch,
        /// The pitch given as highest.
        highest: Pitch,
    },
    /// Not two pitches with a hyphen between them.
    #[error("{text:?} is not a compass: write the lowest and the highest note, as in C4-G5")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// One of the two is no pitch.
    #[error("{text:?} is not a compass: {source}")]
    Pitch {
        /// What was given.
        text: String,
        /// What is wrong with the pitch.
        source: PitchError,
    },
}

impl Compass {
    /// The compass between two pitches.
    ///
    /// # Errors
    /// If the first does not sound below the second.
    pub fn new(lowest: Pitch, highest: Pitch) -> Result<Self, CompassError> {
        if lowest.height() >= highest.height() {
            return Err(CompassError::Order { lowest, highest });
        }
        Ok(Self { lowest, highest })
    }

    /// The lowest pitch.
    pub const fn lowest(self) -> Pitch {
        self.lowest
    }

    /// The highest pitch.
    pub const fn highest(self) -> Pitch {
        self.highest
    }

    /// Whether a pitch sounds within it.
    pub fn contains(self, pitch: Pitch) -> bool {
        (self.lowest.height()..=self.highest.height()).contains(&pitch.height())
    }

    /// Twice the sounding height of its middle, in semitones: exact for every compass.
    pub fn twice_middle(self) -> i32 {
        self.lowest.height() + self.highest.height()
    }

    /// The comfortable middle: from each end a quarter of its staff steps is left out, rounded
    /// down, and the natural notes there are the new ends. A compass too narrow for that is its
    /// own middle.
    ///
    /// The rule is this library's own; on choral parts it gives the registers that choirmasters
    /// name (common practice).
    ///
    /// ```
    /// use soggetto::voice::Compass;
    /// let soprano: Compass = "C4-G5".parse()?;
    /// assert_eq!(soprano.middle().to_string(), "E4-E5");
    /// # Ok::<(), soggetto::voice::CompassError>(())
    /// ```
    #[must_use]
    pub fn middle(self) -> Self {
        let (low, high) = (self.lowest.staff_step(), self.highest.staff_step());
        let quarter = (high - low) / 4;
        if quarter < 1 {
            return self;
        }
        match (natural(low + quarter), natural(high - quarter)) {
            (Ok(low), Ok(high)) if self.contains(low) && self.contains(high) => {
                Self::new(low, high).unwrap_or(self)
            }
            _ => self,
        }
    }
}

/// The natural note so many staff steps above the C of octave 0.
fn natural(step: i32) -> Result<Pitch, PitchError> {
    Pitch::new(PitchClass::new(Letter::from_index(step), 0)?, step.div_euclid(7))
}

impl fmt::Display for Compass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}-{}", self.lowest, self.highest))
    }
}

impl fmt::Debug for Compass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Compass {
    type Err = CompassError;
    /// The hyphen between the pitches is the first that follows a digit: in `C-1-G5` the other
    /// belongs to the octave.
    fn from_str(text: &str) -> Result<Self, CompassError> {
        let syntax = || CompassError::Syntax { text: text.to_owned() };
        let pairs = text.as_bytes().windows(2);
        let hyphen = pairs.into_iter().position(|pair| pair[0].is_ascii_digit() && pair[1] == b'-');
        let (lowest, highest) = text.split_at_checked(hyphen.ok_or_else(syntax)? + 1).ok_or_else(syntax)?;
        let pitch = |part: &str| {
            part.trim().parse().map_err(|source| CompassError::Pitch { text: text.to_owned(), source })
        };
        Self::new(pitch(lowest)?, pitch(&highest[1..])?)
    }
}

crate::text_serde::serde_as_text!(Compass);
