//! What makes a text no key, or a key unwritable.

use super::signature::in_words;
use crate::pitch::PitchError;

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
    /// The tonic is sound, the mode unknown.
    #[error(
        "{text:?} is not a key: {mode:?} is none of major, minor, dorian, phrygian, lydian and mixolydian"
    )]
    Mode {
        /// What was given.
        text: String,
        /// The part of it that should be a mode.
        mode: String,
    },
    /// A key whose signature would have more than seven sharps or flats.
    #[error(
        "{key} has no signature: it would need {}, and notation stops at seven (respell it a diminished second away)",
        in_words(*fifths)
    )]
    Signature {
        /// The key.
        key: String,
        /// Sharps, or flats if negative.
        fifths: i32,
    },
    /// A signature of more than seven sharps or flats.
    #[error("there is no signature of {}: notation stops at seven", in_words(*fifths))]
    Fifths {
        /// Sharps, or flats if negative.
        fifths: i32,
    },
}

impl KeyError {
    /// A stable word for scripts.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "key-syntax",
            Self::Tonic { .. } => "key-tonic",
            Self::Mode { .. } => "key-mode",
            Self::Signature { .. } => "key-signature",
            Self::Fifths { .. } => "key-fifths",
        }
    }
}
