//! Other pitches for a note, and how far each is.

use super::candidate::Subject;
use crate::interval::Quality;
use crate::key::Key;
use crate::line::Note;
use crate::meter::Strength;
use crate::pitch::{Letter, Pitch, PitchClass};
use crate::texture::{Texture, is_dissonant};

/// The steps of an octave.
const OCTAVE: i32 = 7;

/// The farthest that a note goes, in steps: a fifth, or the octave.
const FARTHEST: i32 = 4;

/// For a form of the degree that is not the one in use around.
const UNUSUAL: u32 = 2;
/// For a semitone that is foreign to the key and not heard around.
const FOREIGN: u32 = 10;
/// For a clash with what sounds as the note begins, on a beat.
const CLASH: u32 = 12;
/// The same between beats.
const LIGHT_CLASH: u32 = 6;
/// The same between beats where the line comes and goes by step: a passing or neighbour note.
const PASSING: u32 = 1;
/// For the way from a note to the next, by steps of the staff: a step is best, then a third; a note
/// struck again stands still, which is no better than a leap; sevenths and all beyond the octave tear the line.
const WAY: [u32; 8] = [3, 0, 1, 3, 3, 7, 14, 8];
/// For three notes of one pitch, beyond their ways: better than a clash on a beat, worse than most else.
const STILL: u32 = 5;
/// For a way beyond the octave.
const TORN: u32 = 18;
/// For an augmented or diminished way, beyond its steps.
const TENSE: u32 = 6;

/// Another pitch for a note.
#[derive(Clone, Copy, Debug)]
pub(super) struct Move {
    /// How far it lies, in steps, and how ill it fits the line and the harmony.
    pub(super) weight: u32,
    pub(super) pitch: Pitch,
}

/// The pitches that may stand in place of a note, each once, the higher first. Pitches beyond the
/// compass of the voice are left out, and so is what tears the line more than the note itself.
pub(super) fn moves(texture: &Texture<'_>, subject: Subject) -> Vec<Move> {
    let surroundings = Surroundings::of(texture, subject);
    let compass = texture.score().parts().get(subject.voice).and_then(|part| part.voice.compass());
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
    /// The notes before and after it in its voice, where no rest is between.
    line: [Option<Pitch>; 2],
    is_on_beat: bool,
}

impl Surroundings {
    fn of(texture: &Texture<'_>, subject: Subject) -> Self {
        Self {
            key: texture.score().key(),
            heard: heard_around(texture, subject),
            chord: sounding_with(texture, subject),
            line: line_around(texture, subject),
            is_on_beat: texture.score().strength(subject.note.onset()) >= Strength::Pulse,
        }
    }

    /// What it weighs to move from a pitch to another; `None` if that is far and foreign, or tears the
    /// line where it was whole.
    fn judged(&self, from: Pitch, pitch: Pitch) -> Option<Move> {
        let (class, steps) = (pitch.class(), (pitch - from).steps().abs());
        let is_heard = self.heard.contains(&class);
        let is_known = is_heard || self.key.contains(class);
        let is_far = steps > 0 && !is_known || steps > FARTHEST && class != from.class();
        if is_far || (self.is_torn_by(pitch) && !self.is_torn_by(from)) {
            return None;
        }
        let form = match (is_known, !is_heard && self.is_unusual(class)) {
            (false, _) => FOREIGN,
            (true, true) => UNUSUAL,
            (true, false) => 0,
        };
        let weight = steps.unsigned_abs() + form + self.way(pitch) + self.clash(pitch);
        Some(Move { weight, pitch })
    }

    /// What the ways to a pitch and from it weigh.
    fn way(&self, pitch: Pitch) -> u32 {
        let ways: u32 = self.line.iter().flatten().map(|&other| way(other, pitch)).sum();
        let stands_still = self.line == [Some(pitch); 2];
        ways + if stands_still { STILL } else { 0 }
    }

    /// Whether a pitch makes a leap that no voice likes.
    fn is_torn_by(&self, pitch: Pitch) -> bool {
        self.line
            .iter()
            .flatten()
            .any(|&other| (pitch - other).steps().abs() == 6 || way(other, pitch) >= TORN)
    }

    fn comes_and_goes_by_step(&self, pitch: Pitch) -> bool {
        self.line.iter().all(|other| other.is_some_and(|other| (pitch - other).steps().abs() == 1))
    }

    /// What its clash weighs, if it clashes.
    fn clash(&self, pitch: Pitch) -> u32 {
        match (self.clashes(pitch), self.is_on_beat) {
            (false, _) => 0,
            (true, true) => CLASH,
            (true, false) if self.comes_and_goes_by_step(pitch) => PASSING,
            (true, false) => LIGHT_CLASH,
        }
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

/// What it weighs to go from a pitch to another, or back.
fn way(from: Pitch, to: Pitch) -> u32 {
    let interval = to - from;
    let steps = usize::try_from(interval.steps().unsigned_abs()).unwrap_or(usize::MAX);
    let is_tense = !matches!(interval.quality(), Quality::Perfect | Quality::Major | Quality::Minor);
    WAY.get(steps).copied().unwrap_or(TORN) + if is_tense && steps > 0 { TENSE } else { 0 }
}

/// The notes before and after a note in its voice, where no rest is between.
fn line_around(texture: &Texture<'_>, subject: Subject) -> [Option<Pitch>; 2] {
    let notes = texture.score().parts().get(subject.voice).map_or(&[][..], |part| part.line.notes());
    let at = |index: Option<usize>| index.and_then(|index| notes.get(index)).copied();
    let before = at(subject.index.checked_sub(1)).filter(|it: &Note| it.end() == subject.note.onset());
    let after = at(subject.index.checked_add(1)).filter(|it: &Note| it.onset() == subject.note.end());
    [before, after].map(|note| note.map(Note::pitch))
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
    let now = grid.ticks(subject.note.onset());
    let bar = texture.accents().bar_at(now);
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
