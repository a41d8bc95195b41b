//! Other pitches for a note, and how far each is.

use super::candidate::{Kind, Subject};
use crate::key::Key;
use crate::pitch::{Letter, Pitch, PitchClass};
use crate::texture::{Texture, is_dissonant};

/// The steps of an octave.
const OCTAVE: i32 = 7;

/// Another pitch for a note.
#[derive(Clone, Copy, Debug)]
pub(super) struct Move {
    pub(super) kind: Kind,
    /// Whether it clashes with what sounds as the note begins.
    pub(super) clashes: bool,
    /// Twice the steps, and one more for a form of the degree that is not the one in use around.
    pub(super) distance: u32,
    pub(super) pitch: Pitch,
}

/// The pitches that may stand in place of a note, each once, the higher first. Pitches beyond the
/// compass of the voice are left out.
pub(super) fn moves(texture: &Texture<'_>, subject: Subject) -> Vec<Move> {
    let surroundings = Surroundings::of(texture, subject);
    let compass = texture.score().parts().get(subject.voice).and_then(|part| part.voice.reach());
    let is_within = |pitch: &Pitch| compass.is_none_or(|compass| compass.contains(*pitch));
    let from = subject.note.pitch();
    let places = (-OCTAVE..=OCTAVE).rev().flat_map(|steps| [(steps, 1), (steps, 0), (steps, -1)]);
    let pitches = places.filter_map(|(steps, alteration)| neighbour(from, steps, alteration));
    let others = pitches.filter(|&pitch| pitch != from).filter(is_within);
    others.filter_map(|pitch| surroundings.judged(from, pitch)).collect()
}

/// What sounds around a note and with it.
struct Surroundings {
    key: Key,
    heard: Vec<PitchClass>,
    chord: Vec<Pitch>,
}

impl Surroundings {
    fn of(texture: &Texture<'_>, subject: Subject) -> Self {
        let (heard, chord) = (heard_around(texture, subject), sounding_with(texture, subject));
        Self { key: texture.score().key(), heard, chord }
    }

    /// What kind of move it is from a pitch to another; `None` if it is far and foreign.
    fn judged(&self, from: Pitch, pitch: Pitch) -> Option<Move> {
        let (class, steps) = (pitch.class(), (pitch - from).steps().abs());
        let is_heard = self.heard.contains(&class);
        let is_known = is_heard || self.key.contains(class);
        let kind = match steps {
            OCTAVE if class == from.class() => Kind::Octave,
            OCTAVE => return None,
            0 | 1 if is_known => Kind::Step,
            0 => Kind::Accidental,
            _ if self.chord.iter().any(|sounding| sounding.class() == class) => Kind::ChordNote,
            _ if is_known => Kind::Leap,
            _ => return None,
        };
        let distance = 2 * steps.unsigned_abs() + u32::from(!is_heard && self.is_unusual(class));
        Some(Move { kind, clashes: self.clashes(pitch), distance, pitch })
    }

    /// For a class that is not heard: whether another form of its degree is, or it is not the one of
    /// the signature.
    fn is_unusual(&self, class: PitchClass) -> bool {
        let is_rivalled = self.heard.iter().any(|heard| heard.letter() == class.letter());
        is_rivalled || !self.key.degree(class).is_natural()
    }

    /// Whether a pitch is dissonant with what sounds; a fourth is with the lowest note alone.
    fn clashes(&self, pitch: Pitch) -> bool {
        let bass = self.chord.iter().chain([&pitch]).map(|pitch| pitch.height()).min();
        self.chord.iter().any(|&sounding| {
            let (low, high) =
                if sounding.height() <= pitch.height() { (sounding, pitch) } else { (pitch, sounding) };
            is_dissonant(high - low, Some(low.height()) == bass)
        })
    }
}

/// The pitch so many steps away with these sharps or flats.
fn neighbour(from: Pitch, steps: i32, alteration: i32) -> Option<Pitch> {
    let step = from.staff_step() + steps;
    let class = PitchClass::new(Letter::from_index(step), alteration).ok()?;
    Pitch::new(class, step.div_euclid(OCTAVE)).ok()
}

/// The classes of all notes that begin within a bar of the note, the note itself left out.
fn heard_around(texture: &Texture<'_>, subject: Subject) -> Vec<PitchClass> {
    let grid = texture.grid();
    let (now, bar) = (grid.ticks(subject.note.onset()), grid.ticks(texture.score().meter().bar()));
    let mut heard = Vec::new();
    for voice in 0..texture.voices() {
        let tones = texture.tones(voice);
        let start = tones.partition_point(|tone| tone.onset < now - bar);
        for (index, tone) in tones.iter().enumerate().skip(start).take_while(|(_, it)| it.onset < now + bar) {
            let class = tone.pitch.class();
            if (voice, index) != (subject.voice, subject.index) && !heard.contains(&class) {
                heard.push(class);
            }
        }
    }
    heard
}

/// What the other voices sound as the note begins.
fn sounding_with(texture: &Texture<'_>, subject: Subject) -> Vec<Pitch> {
    let now = texture.grid().ticks(subject.note.onset());
    let others = (0..texture.voices()).filter(|&voice| voice != subject.voice);
    others.filter_map(|voice| texture.sounding(voice, now)).map(|tone| tone.pitch).collect()
}
