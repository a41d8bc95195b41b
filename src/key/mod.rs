//! Keys: a tonic and a mode.
//!
//! Any tonic may stand with any mode: the dominant of G# minor is D# minor, that of C# major is
//! G# major, although no signature can be written for the latter. Only [`Key::signature`] refuses it.

mod mode;
mod notation;
mod signature;

pub use mode::Mode;
pub use signature::Signature;

use crate::interval::Interval;
use crate::pitch::{PitchClass, PitchError};

/// A tonic with its mode.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Key {
    tonic: PitchClass,
    mode: Mode,
}

/// What makes a text no key, or a key unwritable.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum KeyError {
    /// Not of the form `A minor`.
    #[error("{text:?} is not a key: write the tonic and the mode, as in A minor or Bb major")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// The tonic is no pitch class.
    #[error("{text:?} is not a key: {source}")]
    Tonic {
        /// What was given.
        text: String,
        /// What is wrong with the tonic.
        source: PitchError,
    },
    /// More than seven sharps or flats.
    #[error(
        "{key} has no signature: it would need {fifths:+} accidentals, and notation stops at seven (respell it a diminished second away)"
    )]
    Signature {
        /// The key.
        key: String,
        /// Sharps, or flats if negative.
        fifths: i32,
    },
}

impl Key {
    /// The key on a tonic.
    pub const fn new(tonic: PitchClass, mode: Mode) -> Self {
        Self { tonic, mode }
    }

    /// The tonic.
    pub const fn tonic(self) -> PitchClass {
        self.tonic
    }

    /// The mode.
    pub const fn mode(self) -> Mode {
        self.mode
    }

    /// The key of the dominant, a fifth up, in the same mode: the dominant of a minor key is minor.
    ///
    /// # Errors
    /// If the tonic cannot be written.
    pub fn dominant(self) -> Result<Self, PitchError> {
        self.moved(Interval::PERFECT_FIFTH)
    }

    /// The key of the subdominant, a fourth up, in the same mode.
    ///
    /// # Errors
    /// If the tonic cannot be written.
    pub fn subdominant(self) -> Result<Self, PitchError> {
        self.moved(Interval::PERFECT_FOURTH)
    }

    /// The same mode on a tonic an interval away.
    ///
    /// # Errors
    /// If the tonic cannot be written.
    pub fn moved(self, by: Interval) -> Result<Self, PitchError> {
        Ok(Self { tonic: self.tonic.moved(by)?, ..self })
    }

    /// The key signature.
    ///
    /// # Errors
    /// If it would need more than seven sharps or flats.
    pub fn signature(self) -> Result<Signature, KeyError> {
        Signature::of(self)
    }
}
