//! Voices: what a player or singer can do.
//!
//! A [`Voice`] has a name, a [`Compass`], a [`Clef`] and, for instruments, a transposition and a
//! sound. What it plays is a [`crate::line::Line`]; the two together are a part of a
//! [`crate::score::Score`].
//!
//! ```
//! use soggetto::voice::{Clef, Voice};
//! let viola = Voice::new("viola").with_compass("C3-A5".parse()?).with_clef(Clef::Alto);
//! assert!(viola.compass().is_some_and(|compass| compass.contains("C4".parse().unwrap())));
//! # Ok::<(), soggetto::voice::CompassError>(())
//! ```

mod clef;
mod compass;
mod implied;
pub(crate) mod name;
pub(crate) mod seat;

pub use clef::{Clef, ClefError};
pub use compass::{Compass, CompassError};

use self::implied::Implied;
use crate::interval::Interval;

/// One voice of an ensemble.
///
/// Its sound is always a General MIDI program from 1 to 128.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Voice {
    name: String,
    implied: Implied,
    compass: Option<Compass>,
    tessitura: Option<Compass>,
    clef: Clef,
    transposition: Interval,
    sound: u8,
}

impl Voice {
    /// A voice with a name and no known compass, in the treble clef, at sounding pitch, with the
    /// sound of General MIDI program 1 (a piano).
    pub fn new(name: impl Into<String>) -> Self {
        let name = name.into();
        Self {
            implied: Implied::by(&name),
            name,
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
        let name = name.into();
        Self { implied: Implied::by(&name), name, ..self }
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

    /// Its compass, or else the one that its name implies.
    pub fn reach(&self) -> Option<Compass> {
        self.compass.or(self.implied.compass)
    }

    /// Where it sings or plays most of the time: as given, or the [`Compass::middle`] of its compass.
    pub fn tessitura(&self) -> Option<Compass> {
        self.tessitura.or_else(|| self.compass.map(Compass::middle))
    }

    /// The tessitura as given.
    #[cfg(feature = "serde")]
    pub(crate) const fn own_tessitura(&self) -> Option<Compass> {
        self.tessitura
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

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Any voice, with or without a compass.
    pub(crate) fn any_voice() -> impl Strategy<Value = Voice> {
        let compass = proptest::option::of(compass::tests::any_compass());
        let clef = proptest::sample::select(Clef::ALL.to_vec());
        let transposition = proptest::sample::select(vec!["P1", "M2", "P5", "-P8", "M9"]);
        ("[A-Za-z0-9 ]{1,12}", compass, clef, transposition, 1..=128_u8).prop_map(
            |(name, compass, clef, transposition, sound)| {
                let voice = Voice::new(name)
                    .with_clef(clef)
                    .with_transposition(transposition.parse().unwrap())
                    .with_sound(sound);
                match compass {
                    Some(compass) => voice.with_compass(compass),
                    None => voice,
                }
            },
        )
    }

    #[test]
    fn sounds_are_brought_into_range() {
        assert_eq!(Voice::new("flute").with_sound(0).sound(), 1);
        assert_eq!(Voice::new("flute").with_sound(200).sound(), 128);
    }

    #[test]
    fn tessitura_is_the_middle_of_the_compass_unless_given() {
        let voice = Voice::new("alto");
        assert_eq!(voice.tessitura(), None);
        let voice = voice.with_compass("G3-C5".parse().unwrap());
        assert_eq!(voice.tessitura(), "B3-A4".parse().ok());
        let voice = voice.with_tessitura("C4-G4".parse().unwrap());
        assert_eq!(voice.tessitura(), "C4-G4".parse().ok());
    }
}
