//! Key signatures.

use super::{Key, KeyError, Mode};

/// A key signature: sharps, or flats if negative, at most seven.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Signature {
    fifths: i8,
}

impl Signature {
    pub(super) fn of(key: Key) -> Result<Self, KeyError> {
        let above = match key.mode() {
            Mode::Lydian => 1,
            Mode::Major => 0,
            Mode::Mixolydian => -1,
            Mode::Dorian => -2,
            Mode::Minor => -3,
            Mode::Phrygian => -4,
        };
        let fifths = key.tonic().fifths() + above;
        match i8::try_from(fifths) {
            Ok(fifths) if fifths.abs() <= 7 => Ok(Self { fifths }),
            _ => Err(KeyError::Signature { key: key.to_string(), fifths }),
        }
    }

    /// Sharps, or flats if negative.
    pub const fn fifths(self) -> i8 {
        self.fifths
    }
}
