//! Chords and Roman numerals: a harmonic plan is text.
//!
//! A [`Numeral`] is a chord named by its degree (`V7`, `viio6`, `V7/V`); in a key it is a
//! [`Chord`], the pitch classes themselves.

use crate::key::Key;
use crate::pitch::{PitchClass, PitchError};
use crate::scale::Degree;
use std::fmt;
use std::str::FromStr;

/// The kind of a triad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Triad {
    /// Major third, perfect fifth.
    Major,
    /// Minor third, perfect fifth.
    Minor,
    /// Minor third, diminished fifth.
    Diminished,
    /// Major third, augmented fifth.
    Augmented,
}

/// A Roman numeral.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Numeral {
    degree: Degree,
    triad: Triad,
}

/// The pitch classes of a chord, root first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chord {
    classes: Vec<PitchClass>,
    inversion: u8,
}

/// What makes a text no Roman numeral.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NumeralError {
    /// Not of the form of a Roman numeral.
    #[error("{text:?} is not a Roman numeral: write i, V7, viio6, IV64 or V7/V")]
    Syntax {
        /// What was given.
        text: String,
    },
}

impl Numeral {
    /// The chord in a key.
    ///
    /// # Errors
    /// If a note of it cannot be written.
    pub fn in_key(self, key: Key) -> Result<Chord, PitchError> {
        Ok(Chord { classes: vec![key.class(self.degree)?], inversion: 0 })
    }
}

impl Chord {
    /// The pitch classes, root first, then third, fifth and seventh.
    pub fn classes(&self) -> &[PitchClass] {
        &self.classes
    }

    /// The root.
    pub fn root(&self) -> PitchClass {
        self.classes[0]
    }

    /// The note in the bass.
    pub fn bass(&self) -> PitchClass {
        self.classes[usize::from(self.inversion)]
    }

    /// Whether a class belongs to it.
    pub fn contains(&self, class: PitchClass) -> bool {
        self.classes.contains(&class)
    }
}

impl fmt::Display for Numeral {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", self.triad)
    }
}

impl FromStr for Numeral {
    type Err = NumeralError;
    fn from_str(text: &str) -> Result<Self, NumeralError> {
        Err(NumeralError::Syntax { text: text.to_owned() })
    }
}
