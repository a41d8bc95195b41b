//! Pitch classes: a letter and its alteration, whatever the octave.

use super::{Letter, MAX_ACCIDENTALS, PitchError};
use crate::interval::Interval;

/// A letter with its alteration.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PitchClass {
    letter: Letter,
    alteration: i8,
}

impl PitchClass {
    /// The class of a letter with sharps (positive) or flats (negative).
    ///
    /// # Errors
    /// If there are more than [`MAX_ACCIDENTALS`].
    pub fn new(letter: Letter, alteration: i32) -> Result<Self, PitchError> {
        if alteration.abs() > MAX_ACCIDENTALS {
            return Err(PitchError::Accidental { text: format!("{}{alteration:+}", letter.as_char()) });
        }
        Ok(Self::from_parts(letter, alteration))
    }

    /// For values known to be in range.
    pub(super) fn from_parts(letter: Letter, alteration: i32) -> Self {
        Self { letter, alteration: alteration as i8 }
    }

    /// The letter.
    pub const fn letter(self) -> Letter {
        self.letter
    }

    /// Sharps (positive) or flats (negative).
    pub fn alteration(self) -> i32 {
        self.alteration.into()
    }

    /// Semitones above C of the same octave; below 0 for Cb, above 11 for B#.
    pub fn semitones(self) -> i32 {
        self.letter.semitones() + self.alteration()
    }

    /// Place on the line of fifths: C = 0, G = 1, F = -1, F# = 6.
    pub fn fifths(self) -> i32 {
        const FIFTHS: [i32; 7] = [0, 2, 4, -1, 1, 3, 5];
        FIFTHS[usize::from(self.letter.index())] + 7 * self.alteration()
    }

    /// The class an interval away.
    ///
    /// # Errors
    /// If more than [`MAX_ACCIDENTALS`] would be needed.
    pub fn moved(self, by: Interval) -> Result<Self, PitchError> {
        let steps = i32::from(self.letter.index()) + by.steps();
        let letter = Letter::from_index(steps);
        let natural = letter.semitones() + 12 * steps.div_euclid(7);
        let alteration = self.semitones() + by.semitones() - natural;
        if alteration.abs() > MAX_ACCIDENTALS {
            return Err(PitchError::Unwritable { from: self.to_string(), by, alteration });
        }
        Ok(Self::from_parts(letter, alteration))
    }

    /// The interval from `self` up to the next note of class `other`, less than an octave by spelling.
    pub fn up_to(self, other: Self) -> Interval {
        let steps = i32::from(other.letter.index()) - i32::from(self.letter.index());
        let octave = if steps < 0 { 1 } else { 0 };
        Interval::between(steps + 7 * octave, other.semitones() - self.semitones() + 12 * octave)
    }
}
