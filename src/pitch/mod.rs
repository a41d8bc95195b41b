//! Spelled pitches: points in the same lattice in which intervals are vectors.
//!
//! [`Pitch`] is a [`PitchClass`] (a [`Letter`] with its alteration) in an octave. `p - q` is the
//! interval from `q` up to `p`; a pitch moved by an interval is a pitch, or an error beyond the
//! limits of notation. Octaves change at C: C4 is middle C, and Cb4 sounds below it.

mod class;
mod letter;
mod notation;

pub use class::PitchClass;
pub use letter::Letter;

use crate::interval::Interval;
use std::ops::Sub;

/// The lowest octave of a pitch.
pub const MIN_OCTAVE: i32 = -1;
/// The highest octave of a pitch.
pub const MAX_OCTAVE: i32 = 9;
/// The most sharps or flats a pitch may carry: triple accidentals are the last that music printing knows.
pub const MAX_ACCIDENTALS: i32 = 3;

/// A spelled pitch in its octave.
///
/// The order is that of spelling: letters first, then alteration, so `B##3 < C4` although it
/// sounds higher. Ask [`Pitch::height`] for the sounding order.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pitch {
    /// Steps above the C of octave 0.
    steps: i16,
    /// Semitones above the C of octave -1 (middle C = 60).
    semitones: i16,
}

/// What makes a text or a computed value no pitch.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PitchError {
    /// No letter from A to G at the start.
    #[error("{text:?} is not a pitch: letters run from A to G (write B4 or Bb4)")]
    Letter {
        /// What was given.
        text: String,
    },
    /// Letter and accidentals are sound, the octave is missing or no number.
    #[error("{text:?} is not a pitch: it needs an octave (C4 is middle C)")]
    Octave {
        /// What was given.
        text: String,
    },
    /// Mixed or too many accidentals.
    #[error("{text:?} is not a pitch: at most {MAX_ACCIDENTALS} sharps or flats, and not both")]
    Accidental {
        /// What was given.
        text: String,
    },
    /// Outside the octaves of this library.
    #[error("octave {octave} is out of range: octaves run from {MIN_OCTAVE} to {MAX_OCTAVE}")]
    OctaveRange {
        /// The octave asked for.
        octave: i32,
    },
    /// Moving a pitch by an interval needs more accidentals than notation has.
    #[error(
        "{from} moved by {by} needs {alteration} accidentals: notation has at most {MAX_ACCIDENTALS} (respell the music in a nearer key)"
    )]
    Unwritable {
        /// The pitch that was moved.
        from: String,
        /// The interval.
        by: Interval,
        /// The alteration it would need.
        alteration: i32,
    },
}

impl Pitch {
    /// The pitch of a class in an octave; the octave belongs to the letter (B#3 sounds as C4).
    ///
    /// # Errors
    /// If the octave is outside [`MIN_OCTAVE`]`..=`[`MAX_OCTAVE`].
    pub fn new(class: PitchClass, octave: i32) -> Result<Self, PitchError> {
        if !(MIN_OCTAVE..=MAX_OCTAVE).contains(&octave) {
            return Err(PitchError::OctaveRange { octave });
        }
        let steps = 7 * octave + i32::from(class.letter().index());
        let semitones = 12 * (octave + 1) + class.semitones();
        Ok(Self { steps: steps as i16, semitones: semitones as i16 })
    }

    /// The letter.
    pub fn letter(self) -> Letter {
        Letter::from_index(i32::from(self.steps))
    }

    /// Sharps (positive) or flats (negative).
    pub fn alteration(self) -> i32 {
        i32::from(self.semitones) - 12 * (self.octave() + 1) - self.letter().semitones()
    }

    /// The octave of the letter.
    pub fn octave(self) -> i32 {
        i32::from(self.steps).div_euclid(7)
    }

    /// Letter and alteration without the octave.
    pub fn class(self) -> PitchClass {
        PitchClass::from_parts(self.letter(), self.alteration())
    }

    /// The sounding height in semitones, middle C = 60 (the key number of the MIDI standard).
    pub fn height(self) -> i32 {
        self.semitones.into()
    }

    /// Diatonic steps above the C of octave 0: the place on the staff.
    pub fn staff_step(self) -> i32 {
        self.steps.into()
    }

    /// The pitch an interval away.
    ///
    /// # Errors
    /// If the octave is out of range, or more than [`MAX_ACCIDENTALS`] would be needed.
    pub fn moved(self, by: Interval) -> Result<Self, PitchError> {
        let steps = i32::from(self.steps) + by.steps();
        let octave = steps.div_euclid(7);
        if !(MIN_OCTAVE..=MAX_OCTAVE).contains(&octave) {
            return Err(PitchError::OctaveRange { octave });
        }
        let semitones = i32::from(self.semitones) + by.semitones();
        let moved = Self { steps: steps as i16, semitones: semitones as i16 };
        match moved.alteration() {
            alteration if alteration.abs() > MAX_ACCIDENTALS => {
                Err(PitchError::Unwritable { from: self.to_string(), by, alteration })
            }
            _ => Ok(moved),
        }
    }
}

impl Sub for Pitch {
    type Output = Interval;
    /// The interval from `other` to `self`: upwards if `self` is the higher by spelling.
    fn sub(self, other: Self) -> Interval {
        Interval::between(
            i32::from(self.steps) - i32::from(other.steps),
            i32::from(self.semitones) - i32::from(other.semitones),
        )
    }
}
