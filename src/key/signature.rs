//! Key signatures.

use super::{Key, KeyError, Mode};
use crate::pitch::{Letter, PitchClass, PitchError};
use std::fmt;

/// The most sharps or flats in a signature.
const MAX_ACCIDENTALS: u8 = 7;

/// The letters in the order in which sharps are written; flats come in the reverse order.
const ORDER_OF_SHARPS: [Letter; 7] =
    [Letter::F, Letter::C, Letter::G, Letter::D, Letter::A, Letter::E, Letter::B];

/// A key signature: sharps, or flats if negative, at most seven.
///
/// ```
/// use soggetto::key::{Mode, Signature};
/// let signature = Signature::new(-3)?;
/// assert_eq!(signature.to_string(), "3 flats");
/// assert_eq!(signature.key(Mode::Minor)?.to_string(), "C minor");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Signature {
    fifths: i8,
}

impl Signature {
    /// The signature of so many sharps, or flats if negative.
    ///
    /// # Errors
    /// If there are more than seven.
    pub fn new(fifths: i32) -> Result<Self, KeyError> {
        match i8::try_from(fifths) {
            Ok(few) if few.unsigned_abs() <= MAX_ACCIDENTALS => Ok(Self { fifths: few }),
            _ => Err(KeyError::Fifths { fifths }),
        }
    }

    pub(super) fn of(key: Key) -> Result<Self, KeyError> {
        let fifths = key.tonic().fifths() + key.mode().fifths();
        Self::new(fifths).map_err(|_| KeyError::Signature { key: key.to_string(), fifths })
    }

    /// Sharps, or flats if negative.
    pub const fn fifths(self) -> i8 {
        self.fifths
    }

    /// The key of a mode that has this signature.
    ///
    /// # Errors
    /// If its tonic cannot be written; no mode of [`Mode::ALL`] leads that far.
    pub fn key(self, mode: Mode) -> Result<Key, PitchError> {
        Ok(Key::new(PitchClass::from_fifths(i32::from(self.fifths) - mode.fifths())?, mode))
    }

    /// What the signature makes of a letter: 1 for a sharp, -1 for a flat, 0 for neither.
    pub fn alteration(self, letter: Letter) -> i32 {
        self.letters().find(|&altered| altered == letter).map_or(0, |_| self.fifths.signum().into())
    }

    /// The altered letters in the order in which they are written: from F for sharps, from B for flats.
    pub fn letters(self) -> impl Iterator<Item = Letter> {
        let count = usize::from(self.fifths.unsigned_abs());
        (0..count).map(move |index| ORDER_OF_SHARPS[if self.fifths > 0 { index } else { 6 - index }])
    }
}

/// `3 flats`, `1 sharp`, `no sharps or flats`.
pub(super) fn in_words(fifths: i32) -> String {
    let kind = if fifths < 0 { "flat" } else { "sharp" };
    match fifths.unsigned_abs() {
        0 => "no sharps or flats".to_owned(),
        1 => format!("1 {kind}"),
        count => format!("{count} {kind}s"),
    }
}

impl fmt::Display for Signature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&in_words(self.fifths.into()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The circle of fifths (common practice): fifteen major and fifteen minor keys.
    #[test]
    fn signatures_follow_the_circle_of_fifths() {
        let circle = [
            (-7, "Cb major", "Ab minor"),
            (-6, "Gb major", "Eb minor"),
            (-5, "Db major", "Bb minor"),
            (-4, "Ab major", "F minor"),
            (-3, "Eb major", "C minor"),
            (-2, "Bb major", "G minor"),
            (-1, "F major", "D minor"),
            (0, "C major", "A minor"),
            (1, "G major", "E minor"),
            (2, "D major", "B minor"),
            (3, "A major", "F# minor"),
            (4, "E major", "C# minor"),
            (5, "B major", "G# minor"),
            (6, "F# major", "D# minor"),
            (7, "C# major", "A# minor"),
        ];
        for (fifths, major, minor) in circle {
            let signature = Signature::new(fifths).unwrap();
            for name in [major, minor] {
                let key: Key = name.parse().unwrap();
                assert_eq!(key.signature(), Ok(signature), "{name}");
                assert_eq!(signature.key(key.mode()), Ok(key), "{name}");
            }
        }
    }

    /// The modes on the white keys (common practice).
    #[test]
    fn modes_without_accidentals_begin_on_their_finals() {
        let finals = ["C major", "D dorian", "E phrygian", "F lydian", "G mixolydian", "A minor"];
        for name in finals {
            let key: Key = name.parse().unwrap();
            assert_eq!(key.signature().map(Signature::fifths), Ok(0), "{name}");
        }
    }

    #[test]
    fn accidentals_are_written_in_their_order() {
        let written = |fifths: i32| -> String {
            Signature::new(fifths).unwrap().letters().map(Letter::as_char).collect()
        };
        assert_eq!([0, 3, 7, -2, -7].map(written), ["", "FCG", "FCGDAEB", "BE", "BEADGCF"]);
    }

    #[test]
    fn signature_says_what_it_makes_of_a_letter() {
        let sharps = Signature::new(2).unwrap();
        let flats = Signature::new(-2).unwrap();
        assert_eq!([Letter::F, Letter::C, Letter::B].map(|letter| sharps.alteration(letter)), [1, 1, 0]);
        assert_eq!([Letter::F, Letter::E, Letter::B].map(|letter| flats.alteration(letter)), [0, -1, -1]);
    }

    #[test]
    fn refuses_more_than_seven() {
        let message = |key: &str| key.parse::<Key>().unwrap().signature().unwrap_err().to_string();
        assert_eq!(
            message("G# major"),
            "G# major has no signature: it would need 8 sharps, and notation stops at seven (respell it a diminished second away)"
        );
        assert_eq!(
            message("Fb major"),
            "Fb major has no signature: it would need 8 flats, and notation stops at seven (respell it a diminished second away)"
        );
        for fifths in [i32::MIN, -8, 8, 256, i32::MAX] {
            assert!(Signature::new(fifths).is_err());
        }
        assert_eq!(
            Signature::new(-8).unwrap_err().to_string(),
            "there is no signature of 8 flats: notation stops at seven"
        );
    }

    #[test]
    fn signatures_are_told_in_words() {
        let words = [-7, -1, 0, 1, 2].map(|fifths| Signature::new(fifths).unwrap().to_string());
        assert_eq!(words, ["7 flats", "1 flat", "no sharps or flats", "1 sharp", "2 sharps"]);
    }

    #[test]
    fn all_signatures_roundtrip_through_all_modes() {
        for fifths in -7..=7 {
            let signature = Signature::new(fifths).unwrap();
            for mode in Mode::ALL {
                assert_eq!(signature.key(mode).unwrap().signature(), Ok(signature), "{fifths} {mode}");
            }
        }
    }
}
