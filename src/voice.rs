//! Voices: what a player or singer can do.
//!
//! A [`Voice`] has a name, a [`Compass`], a [`Clef`] and, for instruments, a transposition and a
//! sound. What it plays is a [`crate::line::Line`]; the two together are a part of a
//! [`crate::score::Score`].

use crate::interval::Interval;
use crate::pitch::Pitch;
use std::fmt;

/// The pitches a voice can reach, by sounding height, both ends included.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Compass {
    lowest: Pitch,
    highest: Pitch,
}

/// What makes two pitches no compass.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{lowest} to {highest} is not a compass: the lowest note must sound below the highest")]
pub struct CompassError {
    /// The pitch given as lowest.
    pub lowest: Pitch,
    /// The pitch given as highest.
    pub highest: Pitch,
}

impl Compass {
    /// The compass between two pitches.
    ///
    /// # Errors
    /// If the first does not sound below the second.
    pub fn new(lowest: Pitch, highest: Pitch) -> Result<Self, CompassError> {
        if lowest.height() >= highest.height() {
            return Err(CompassError { lowest, highest });
        }
        Ok(Self { lowest, highest })
    }

    /// The lowest pitch.
    pub const fn lowest(self) -> Pitch {
        self.lowest
    }

    /// The highest pitch.
    pub const fn highest(self) -> Pitch {
        self.highest
    }

    /// Whether a pitch sounds within it.
    pub fn contains(self, pitch: Pitch) -> bool {
        (self.lowest.height()..=self.highest.height()).contains(&pitch.height())
    }

    /// Twice the sounding height of its middle, in semitones: exact for every compass.
    pub fn twice_middle(self) -> i32 {
        self.lowest.height() + self.highest.height()
    }
}

impl fmt::Display for Compass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}-{}", self.lowest, self.highest))
    }
}

impl fmt::Debug for Compass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// A clef.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Clef {
    /// G clef.
    Treble,
    /// G clef sounding an octave higher than written.
    TrebleOctaveUp,
    /// G clef sounding an octave lower than written.
    TrebleOctaveDown,
    /// C clef on the middle line.
    Alto,
    /// C clef on the fourth line.
    Tenor,
    /// F clef.
    Bass,
    /// F clef sounding an octave higher than written.
    BassOctaveUp,
}

/// One voice of an ensemble.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Voice {
    name: String,
    compass: Option<Compass>,
    clef: Clef,
    transposition: Interval,
    sound: u8,
}

impl Voice {
    /// A voice with a name and no known compass, in the treble clef, at sounding pitch, with the
    /// sound of General MIDI program 1.
    pub fn new(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            compass: None,
            clef: Clef::Treble,
            transposition: Interval::UNISON,
            sound: 1,
        }
    }

    /// With a compass.
    #[must_use]
    pub fn with_compass(self, compass: Compass) -> Self {
        Self { compass: Some(compass), ..self }
    }

    /// With a clef.
    #[must_use]
    pub fn with_clef(self, clef: Clef) -> Self {
        Self { clef, ..self }
    }

    /// With a transposition: the interval from the sounding pitch to the written one (a major
    /// second for a clarinet in B flat). Octave clefs are not transpositions.
    #[must_use]
    pub fn with_transposition(self, transposition: Interval) -> Self {
        Self { transposition, ..self }
    }

    /// With a sound: the General MIDI program, 1 to 128 (numbers beyond are brought into range).
    #[must_use]
    pub fn with_sound(self, sound: u8) -> Self {
        Self { sound: sound.clamp(1, 128), ..self }
    }

    /// The name, as players read it.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The compass, if known.
    pub const fn compass(&self) -> Option<Compass> {
        self.compass
    }

    /// The clef.
    pub const fn clef(&self) -> Clef {
        self.clef
    }

    /// The interval from sounding to written pitch.
    pub const fn transposition(&self) -> Interval {
        self.transposition
    }

    /// The General MIDI program, 1 to 128.
    pub const fn sound(&self) -> u8 {
        self.sound
    }
}
