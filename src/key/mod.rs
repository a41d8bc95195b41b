//! Keys: a tonic and a mode.
//!
//! Any tonic may stand with any mode: the dominant of G# minor is D# minor, that of C# major is
//! G# major, although no signature can be written for the latter. Only [`Key::signature`] refuses it.
//! The degrees and scales of a key are in [`crate::scale`].
//!
//! ```
//! use soggetto::key::Key;
//! let key: Key = "G# minor".parse()?;
//! assert_eq!(key.dominant()?.to_string(), "D# minor");
//! assert_eq!(key.relative()?.to_string(), "B major");
//! assert_eq!(key.signature()?.fifths(), 5);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod error;
mod mode;
mod notation;
mod signature;

pub use error::KeyError;
pub use mode::Mode;
pub use signature::Signature;

#[cfg(test)]
pub(crate) use tests::any_key;

use crate::interval::Interval;
use crate::pitch::{PitchClass, PitchError};

/// A tonic with its mode.
///
/// Every key guarantees a tonic that can be written; its scale may need more accidentals than
/// notation has, which then is the error of the question asked. Neither a key of H nor one without
/// mode can exist.
///
/// # Text
/// `A minor`, `Bb major`, `F# phrygian`: tonic and mode, in either case, with the Unicode accidentals
/// on input. Printing is in this form, and parsing inverts it. Serde uses the same text.
///
/// # Order
/// By tonic as spelled, then by [`Mode`]; it is there to sort by, and means nothing in music.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Key {
    tonic: PitchClass,
    mode: Mode,
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

    /// The relative key: of a key with minor third the major key, of one with major third the minor
    /// key, that has the same signature.
    ///
    /// ```
    /// use soggetto::key::Key;
    /// let relative = |text: &str| text.parse::<Key>().ok()?.relative().ok();
    /// assert_eq!(relative("A minor"), "C major".parse().ok());
    /// assert_eq!(relative("F lydian"), "A minor".parse().ok());
    /// assert_eq!(relative("D dorian"), "C major".parse().ok());
    /// ```
    ///
    /// # Errors
    /// If the tonic cannot be written.
    pub fn relative(self) -> Result<Self, PitchError> {
        let mode = self.parallel().mode;
        let mut tonic = self.tonic;
        for _ in mode.fifths()..self.mode.fifths() {
            tonic = tonic.moved(Interval::PERFECT_FIFTH)?;
        }
        for _ in self.mode.fifths()..mode.fifths() {
            tonic = tonic.moved(Interval::PERFECT_FOURTH)?;
        }
        Ok(Self { tonic, mode })
    }

    /// The parallel key on the same tonic: minor if this one has a major third, else major.
    #[must_use]
    pub const fn parallel(self) -> Self {
        let mode = if self.mode.has_minor_third() { Mode::Major } else { Mode::Minor };
        Self { mode, ..self }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::any_pitch_class;
    use proptest::prelude::*;

    /// Any key, also those without a signature.
    pub(crate) fn any_key() -> impl Strategy<Value = Key> {
        (any_pitch_class(), prop::sample::select(Mode::ALL.to_vec()))
            .prop_map(|(tonic, mode)| Key::new(tonic, mode))
    }

    /// Common practice.
    #[test]
    fn related_keys_are_spelled() {
        let rows = [
            // key        dominant    subdominant relative    parallel
            ("C major", "G major", "F major", "A minor", "C minor"),
            ("A minor", "E minor", "D minor", "C major", "A major"),
            ("F minor", "C minor", "Bb minor", "Ab major", "F major"),
            ("G# minor", "D# minor", "C# minor", "B major", "G# major"),
            ("C# major", "G# major", "F# major", "A# minor", "C# minor"),
            ("Cb major", "Gb major", "Fb major", "Ab minor", "Cb minor"),
            ("D# minor", "A# minor", "G# minor", "F# major", "D# major"),
            ("D dorian", "A dorian", "G dorian", "C major", "D major"),
            ("E phrygian", "B phrygian", "A phrygian", "C major", "E major"),
            ("F lydian", "C lydian", "Bb lydian", "A minor", "F minor"),
            ("G mixolydian", "D mixolydian", "C mixolydian", "A minor", "G minor"),
        ];
        for (key, dominant, subdominant, relative, parallel) in rows {
            let key: Key = key.parse().unwrap();
            assert_eq!(key.dominant().unwrap().to_string(), dominant);
            assert_eq!(key.subdominant().unwrap().to_string(), subdominant);
            assert_eq!(key.relative().unwrap().to_string(), relative);
            assert_eq!(key.parallel().to_string(), parallel);
        }
    }

    #[test]
    fn refuses_dominant_beyond_notation() {
        let key: Key = "B### major".parse().unwrap();
        assert_eq!(
            key.dominant().unwrap_err().to_string(),
            "B### moved by P5 needs 4 sharps: notation has at most 3 (respell the music in a nearer key)"
        );
    }

    proptest! {
        #[test]
        fn prop_subdominant_undoes_dominant(key in any_key()) {
            if let Ok(dominant) = key.dominant() {
                prop_assert_eq!(dominant.subdominant(), Ok(key));
            }
        }

        #[test]
        fn prop_relative_key_has_the_same_signature(key in any_key()) {
            if let (Ok(signature), Ok(relative)) = (key.signature(), key.relative()) {
                prop_assert_eq!(relative.signature(), Ok(signature));
                prop_assert_ne!(relative.mode().has_minor_third(), key.mode().has_minor_third());
            }
        }
    }
}
