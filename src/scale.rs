//! Scale degrees, with their alterations, and the forms of the minor scale.
//!
//! A [`Degree`] is counted in the scale of the key's signature: in A minor, G is the seventh
//! degree and G# the raised seventh, written `#7`. The tonic of the next octave is degree 1 again.

use crate::interval::Interval;
use crate::key::{Key, Mode};
use crate::pitch::{PitchClass, PitchError};
use std::fmt;
use std::str::FromStr;

/// The forms of the minor scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MinorForm {
    /// Natural: sixth and seventh as in the signature.
    Natural,
    /// Harmonic: the seventh raised.
    Harmonic,
    /// Melodic, as it ascends: sixth and seventh raised (descending it is the natural form).
    Melodic,
}

/// A degree of a scale, 1 to 7, with its alteration in semitones.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Degree {
    number: u8,
    alteration: i8,
}

/// What makes a text no degree.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum DegreeError {
    /// Not of the form of a degree.
    #[error(
        "{text:?} is not a scale degree: write a number from 1 to 7 with its alteration before it, as in 5, #4 or b7"
    )]
    Syntax {
        /// What was given.
        text: String,
    },
}

impl Degree {
    /// The tonic.
    pub const TONIC: Self = Self { number: 1, alteration: 0 };
    /// The mediant.
    pub const MEDIANT: Self = Self { number: 3, alteration: 0 };
    /// The dominant.
    pub const DOMINANT: Self = Self { number: 5, alteration: 0 };

    /// The unaltered degree so many steps above the tonic; octaves apart are the same.
    pub const fn of_steps(steps: i32) -> Self {
        Self { number: steps.rem_euclid(7) as u8 + 1, alteration: 0 }
    }

    /// The same degree with an alteration in semitones.
    #[must_use]
    pub const fn altered(self, alteration: i8) -> Self {
        Self { alteration, ..self }
    }

    /// The number, 1 to 7.
    pub const fn number(self) -> u8 {
        self.number
    }

    /// Semitones above (or below) the degree of the signature's scale.
    pub fn alteration(self) -> i32 {
        self.alteration.into()
    }
}

impl fmt::Display for Degree {
    /// `5`, `#4`, `b7`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.alteration < 0 { "b" } else { "#" };
        f.pad(&format!("{}{}", sign.repeat(self.alteration.unsigned_abs().into()), self.number))
    }
}

impl fmt::Debug for Degree {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Degree {
    type Err = DegreeError;
    fn from_str(text: &str) -> Result<Self, DegreeError> {
        let number = text.trim_start_matches(['b', '#', '♭', '♯']);
        let signs = &text[..text.len() - number.len()];
        let flats = signs.chars().filter(|sign| matches!(sign, 'b' | '♭')).count();
        let sharps = signs.chars().count() - flats;
        let error = || DegreeError::Syntax { text: text.to_owned() };
        let alteration = match (flats, sharps) {
            (0, up) => i8::try_from(up).map_err(|_| error())?,
            (down, 0) => i8::try_from(down).map_err(|_| error())?.checked_neg().ok_or_else(error)?,
            _ => return Err(error()),
        };
        match number.as_bytes() {
            [digit @ b'1'..=b'7'] => Ok(Self { number: digit - b'0', alteration }),
            _ => Err(error()),
        }
    }
}

impl Key {
    /// The degree of a pitch class in this key.
    pub fn degree(self, class: PitchClass) -> Degree {
        let above = self.tonic().up_to(class);
        let natural = self.mode().semitones()[above.steps().rem_euclid(7) as usize];
        Degree::of_steps(above.steps()).altered((above.semitones() - natural) as i8)
    }

    /// The pitch class of a degree.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn class(self, degree: Degree) -> Result<PitchClass, PitchError> {
        let steps = i32::from(degree.number) - 1;
        let semitones = self.mode().semitones()[usize::from(degree.number) - 1] + degree.alteration();
        self.tonic().moved(Interval::between(steps, semitones))
    }

    /// The leading note: a semitone below the tonic, raised in minor.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn leading_note(self) -> Result<PitchClass, PitchError> {
        self.tonic().moved(-Interval::MINOR_SECOND)
    }

    /// Whether a class belongs to the scale of the signature or, in minor, to its harmonic or
    /// melodic form.
    pub fn contains(self, class: PitchClass) -> bool {
        let degree = self.degree(class);
        let raised = self.mode() == Mode::Minor && degree.number() >= 6 && degree.alteration() == 1;
        degree.alteration() == 0 || raised
    }
}
