//! Chords and Roman numerals: a harmonic plan is text.
//!
//! A [`Numeral`] is a chord named by its degree (`V7`, `viio6`, `V7/V`); in a key it is a
//! [`Chord`], the pitch classes themselves. Both are triads ([`Triad`]) or seventh chords
//! ([`Seventh`]) in some inversion.
//!
//! ```
//! use soggetto::chord::Numeral;
//! use soggetto::key::Key;
//! let dominant: Numeral = "V65".parse()?;
//! let chord = dominant.in_key("G# minor".parse()?)?;
//! assert_eq!(chord.to_string(), "D# F## A# C#");
//! assert_eq!(chord.bass().to_string(), "F##");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Textbooks differ in what a figure says of a chord's quality. Here a numeral states its whole
//! quality and never asks the key for it: see [`Numeral`].

mod diatonic;
mod error;
mod numeral;
mod quality;
mod roman;
mod spelling;

pub use error::NumeralError;
pub use numeral::Numeral;
pub use quality::{Seventh, Triad};

#[cfg(test)]
pub(crate) use numeral::tests::any_numeral;

use crate::pitch::{PitchClass, PitchError};
use std::fmt;

/// The pitch classes of a triad or seventh chord, with the one that lies in the bass.
///
/// Every chord guarantees that its notes are thirds apart by spelling and can all be written, and
/// that its bass is one of them: neither a chord of C, E and Ab nor one over a foreign bass exists.
/// Which octave each note sounds in, and how often, is the business of the voices.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Chord {
    /// Root first; a triad repeats its root in the last place.
    classes: [PitchClass; 4],
    has_seventh: bool,
    inversion: u8,
}

impl Chord {
    /// The chord in root position on a root.
    ///
    /// # Errors
    /// If a note of it would need more than three accidentals.
    pub fn on(root: PitchClass, triad: Triad, seventh: Option<Seventh>) -> Result<Self, PitchError> {
        let [third, fifth] = triad.intervals();
        let top = seventh.map_or(Ok(root), |seventh| root.moved(seventh.interval()))?;
        let classes = [root, root.moved(third)?, root.moved(fifth)?, top];
        Ok(Self { classes, has_seventh: seventh.is_some(), inversion: 0 })
    }

    /// The same chord with another of its notes in the bass; the caller has checked the number.
    pub(super) const fn with_inversion(self, inversion: u8) -> Self {
        Self { inversion, ..self }
    }

    /// The pitch classes, root first, then third, fifth and seventh.
    pub fn classes(&self) -> &[PitchClass] {
        if self.has_seventh { &self.classes } else { &self.classes[..3] }
    }

    /// The root.
    pub const fn root(&self) -> PitchClass {
        self.classes[0]
    }

    /// The third.
    pub const fn third(&self) -> PitchClass {
        self.classes[1]
    }

    /// The fifth.
    pub const fn fifth(&self) -> PitchClass {
        self.classes[2]
    }

    /// The seventh, if it has one.
    pub fn seventh(&self) -> Option<PitchClass> {
        self.has_seventh.then_some(self.classes[3])
    }

    /// The note in the bass.
    pub const fn bass(&self) -> PitchClass {
        self.classes[self.inversion as usize]
    }

    /// Which note lies in the bass: 0 the root, 1 the third, 2 the fifth, 3 the seventh.
    pub const fn inversion(&self) -> u8 {
        self.inversion
    }

    /// Whether a class belongs to it, as spelled: F does not belong to a chord with E#.
    pub fn contains(&self, class: PitchClass) -> bool {
        self.classes().contains(&class)
    }
}

impl fmt::Display for Chord {
    /// The classes, root first: `G B D F`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let names: Vec<String> = self.classes().iter().map(ToString::to_string).collect();
        f.pad(&names.join(" "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chord(numeral: &str, key: &str) -> Chord {
        let numeral: Numeral = numeral.parse().unwrap();
        numeral.in_key(key.parse().unwrap()).unwrap()
    }

    #[test]
    fn seventh_chord_names_its_notes() {
        let chord = chord("V43", "C major");
        let names = [chord.root(), chord.third(), chord.fifth(), chord.seventh().unwrap()];
        assert_eq!(names.map(|class| class.to_string()), ["G", "B", "D", "F"]);
        assert_eq!(chord.classes(), names);
        assert_eq!((chord.bass().to_string(), chord.inversion()), ("D".to_owned(), 2));
    }

    #[test]
    fn triad_has_three_notes_and_no_seventh() {
        let chord = chord("IV6", "C major");
        assert_eq!((chord.classes().len(), chord.seventh()), (3, None));
        assert_eq!(chord.bass(), chord.third());
    }

    #[test]
    fn membership_goes_by_spelling() {
        let chord = chord("V", "F# minor");
        assert!(chord.contains("E#".parse().unwrap()));
        assert!(!chord.contains("F".parse().unwrap()));
        assert!(!chord.contains("B".parse().unwrap()), "the seventh of V7 is not in V");
    }

    #[test]
    fn refuses_chord_that_cannot_be_written() {
        let root = "B##".parse().unwrap();
        let error = Chord::on(root, Triad::Augmented, None).unwrap_err();
        assert_eq!(
            error.to_string(),
            "B## moved by A5 needs 4 sharps: notation has at most 3 (respell the music in a nearer key)"
        );
    }
}
