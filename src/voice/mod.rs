//! Voices: what a player or singer can do.
//!
//! A [`Voice`] has a name, a [`Compass`], a [`Clef`] and, for instruments, a transposition and a
//! sound. What it plays is a [`crate::line::Line`]; the two together are a part of a
//! [`crate::score::Score`].

mod clef;
mod compass;
pub(crate) mod seat;

pub use clef::{Clef, ClefError};
pub use compass::{Compass, CompassError};

use crate::interval::Interval;

/// One voice of an ensemble.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Voice {
    name: String,
    compass: Option<Compass>,
    tessitura: Option<Compass>,
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
            tessitura: None,
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

    /// With a tessitura other than the middle of its compass, as for a voice of a keyboard fugue,
    /// which could use all the keys but keeps to its register.
    #[must_use]
    pub fn with_tessitura(self, tessitura: Compass) -> Self {
        Self { tessitura: Some(tessitura), ..self }
    }

    /// With another name.
    #[must_use]
    pub fn with_name(self, name: impl Into<String>) -> Self {
        Self { name: name.into(), ..self }
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

    /// Where it sings or plays most of the time: as given, or the [`Compass::middle`] of its compass.
    pub fn tessitura(&self) -> Option<Compass> {
        self.tessitura.or_else(|| self.compass.map(Compass::middle))
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
