//! The voices of the trade: compasses, clefs, transpositions and sounds as tables.
//!
//! Compasses are the practical ones of common practice. Choral parts have two: the narrow compass
//! of four-part exercises, and the reach of a trained choir, a few notes wider. Sounds are
//! programs of the General MIDI standard, set down from memory.

use super::{Clef, Compass, Voice};
use crate::interval::Interval;

/// A row of the tables: a voice in constants and text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Seat {
    pub(crate) name: &'static str,
    compass: &'static str,
    /// The compass in whose middle the voice keeps, if that is not the whole one.
    register: Option<&'static str>,
    clef: Clef,
    transposition: Interval,
    sound: u8,
}

impl Seat {
    const fn new(name: &'static str, compass: &'static str, clef: Clef, sound: u8) -> Self {
        Self { name, compass, register: None, clef, transposition: Interval::UNISON, sound }
    }

    const fn transposing(self, transposition: Interval) -> Self {
        Self { transposition, ..self }
    }

    /// The voice of this name and register on the keys of another instrument.
    const fn on(self, compass: &'static str, clef: Clef, sound: u8) -> Self {
        Self { compass, register: Some(self.compass), clef, sound, ..self }
    }

    /// The voice of this name and register with a wider reach.
    const fn reaching(self, compass: &'static str) -> Self {
        self.on(compass, self.clef, self.sound)
    }

    /// The compass; the tests of ensembles and of implied compasses read every row.
    pub(crate) fn compass(&self) -> Option<Compass> {
        self.compass.parse().ok()
    }

    /// The voice of this row.
    pub(crate) fn voice(&self) -> Voice {
        let voice = Voice::new(self.name)
            .with_clef(self.clef)
            .with_transposition(self.transposition)
            .with_sound(self.sound);
        let voice = match self.compass() {
            Some(compass) => voice.with_compass(compass),
            None => voice,
        };
        match self.register.map(str::parse::<Compass>) {
            Some(Ok(register)) => voice.with_tessitura(register.middle()),
            _ => voice,
        }
    }
}

const CHOIR: u8 = 53;
const HARPSICHORD: u8 = 7;
const ORGAN: u8 = 20;
const RECORDER: u8 = 75;

/// Parts of a four-part exercise, and the mezzo-soprano as a fifth.
mod exercise {
    use super::{CHOIR, Clef, Seat};
    pub(super) const SOPRANO: Seat = Seat::new("soprano", "C4-G5", Clef::Treble, CHOIR);
    pub(super) const MEZZO: Seat = Seat::new("mezzo-soprano", "A3-F5", Clef::Treble, CHOIR);
    pub(super) const ALTO: Seat = Seat::new("alto", "G3-C5", Clef::Treble, CHOIR);
    pub(super) const TENOR: Seat = Seat::new("tenor", "C3-G4", Clef::TrebleOctaveDown, CHOIR);
    pub(super) const BASS: Seat = Seat::new("bass", "E2-C4", Clef::Bass, CHOIR);
}

/// Lines for nobody in particular: in the register of the exercises, but as wide as voices are at
/// their widest, so that any subject finds room. Source: the ranges that the general-purpose
/// notation library Abjad gives for voices.
pub(crate) mod plain {
    use super::{Seat, exercise};
    pub(crate) const SOPRANO: Seat = exercise::SOPRANO.reaching("C4-E6");
    pub(crate) const MEZZO: Seat = exercise::MEZZO.reaching("A3-C6");
    pub(crate) const ALTO: Seat = exercise::ALTO.reaching("F3-G5");
    pub(crate) const TENOR: Seat = exercise::TENOR.reaching("C3-D5");
    pub(crate) const BASS: Seat = exercise::BASS.reaching("E2-F4");
}

/// A trained choir.
pub(crate) mod choir {
    use super::{CHOIR, Clef, Seat};
    pub(crate) const SOPRANO: Seat = Seat::new("soprano", "C4-A5", Clef::Treble, CHOIR);
    pub(crate) const ALTO: Seat = Seat::new("alto", "G3-E5", Clef::Treble, CHOIR);
    pub(crate) const TENOR: Seat = Seat::new("tenor", "C3-A4", Clef::TrebleOctaveDown, CHOIR);
    pub(crate) const BARITONE: Seat = Seat::new("baritone", "A2-F4", Clef::Bass, CHOIR);
    pub(crate) const BASS: Seat = Seat::new("bass", "E2-E4", Clef::Bass, CHOIR);
}

/// Strings.
pub(crate) mod strings {
    use super::{Clef, Seat};
    pub(crate) const VIOLIN: Seat = Seat::new("violin", "G3-A6", Clef::Treble, 41);
    pub(crate) const VIOLA: Seat = Seat::new("viola", "C3-A5", Clef::Alto, 42);
    pub(crate) const CELLO: Seat = Seat::new("cello", "C2-C5", Clef::Bass, 43);
}

/// Woodwind and recorders; the soprano and the bass recorder sound an octave above their notes.
pub(crate) mod woodwind {
    use super::{Clef, Interval, RECORDER, Seat};
    pub(crate) const FLUTE: Seat = Seat::new("flute", "C4-A6", Clef::Treble, 74);
    pub(crate) const OBOE: Seat = Seat::new("oboe", "Bb3-D6", Clef::Treble, 69);
    pub(crate) const CLARINET: Seat =
        Seat::new("clarinet", "D3-D6", Clef::Treble, 72).transposing(Interval::MAJOR_SECOND);
    pub(crate) const BASSOON: Seat = Seat::new("bassoon", "Bb1-Bb4", Clef::Bass, 71);
    pub(crate) const SOPRANO_RECORDER: Seat =
        Seat::new("soprano recorder", "C5-D7", Clef::TrebleOctaveUp, RECORDER);
    pub(crate) const ALTO_RECORDER: Seat = Seat::new("alto recorder", "F4-G6", Clef::Treble, RECORDER);
    pub(crate) const TENOR_RECORDER: Seat = Seat::new("tenor recorder", "C4-D6", Clef::Treble, RECORDER);
    pub(crate) const BASS_RECORDER: Seat = Seat::new("bass recorder", "F3-G5", Clef::BassOctaveUp, RECORDER);
}

/// Brass.
pub(crate) mod brass {
    use super::{Clef, Interval, Seat};
    pub(crate) const TRUMPET: Seat =
        Seat::new("trumpet", "E3-Bb5", Clef::Treble, 57).transposing(Interval::MAJOR_SECOND);
    pub(crate) const HORN: Seat =
        Seat::new("horn", "F2-C5", Clef::Treble, 61).transposing(Interval::PERFECT_FIFTH);
    pub(crate) const TROMBONE: Seat = Seat::new("trombone", "E2-Bb4", Clef::Bass, 58);
}

/// Voices under two hands: each may use the whole harpsichord of four octaves, and keeps to the
/// register of the choral part of its name. Two clefs, one a hand.
pub(crate) mod keyboard {
    use super::{Clef, HARPSICHORD, Seat, exercise};
    const KEYS: &str = "C2-C6";
    pub(crate) const SOPRANO: Seat = exercise::SOPRANO.on(KEYS, Clef::Treble, HARPSICHORD);
    pub(crate) const MEZZO: Seat = exercise::MEZZO.on(KEYS, Clef::Treble, HARPSICHORD);
    pub(crate) const ALTO: Seat = exercise::ALTO.on(KEYS, Clef::Treble, HARPSICHORD);
    pub(crate) const TENOR: Seat = exercise::TENOR.on(KEYS, Clef::Bass, HARPSICHORD);
    pub(crate) const BASS: Seat = exercise::BASS.on(KEYS, Clef::Bass, HARPSICHORD);
}

/// Voices of the organ: manuals of four octaves, and a pedal that sounds as written.
pub(crate) mod organ {
    use super::{Clef, ORGAN, Seat, exercise};
    const MANUAL: &str = "C2-C6";
    pub(crate) const SOPRANO: Seat = exercise::SOPRANO.on(MANUAL, Clef::Treble, ORGAN);
    pub(crate) const MEZZO: Seat = exercise::MEZZO.on(MANUAL, Clef::Treble, ORGAN);
    pub(crate) const ALTO: Seat = exercise::ALTO.on(MANUAL, Clef::Treble, ORGAN);
    pub(crate) const TENOR: Seat = exercise::TENOR.on(MANUAL, Clef::Bass, ORGAN);
    pub(crate) const PEDAL: Seat = Seat::new("pedal", "C2-D4", Clef::Bass, ORGAN);
}
