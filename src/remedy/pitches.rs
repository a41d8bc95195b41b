//! Other pitches for a note, and how far each is.

use super::candidate::{Kind, Subject};
use crate::pitch::{Letter, Pitch, PitchClass};
use crate::texture::Texture;

/// The steps of an octave.
const OCTAVE: i32 = 7;

/// The pitches that may stand in place of a note, each once, with the kind of change and its
/// distance: twice the steps, and one more for a note that is not heard around it. Pitches beyond
/// the compass of the voice are left out, and of two at the same distance the higher comes first.
pub(super) fn moves(texture: &Texture<'_>, subject: Subject) -> Vec<(Kind, u32, Pitch)> {
    let (from, key) = (subject.note.pitch(), texture.score().key());
    let heard = heard_around(texture, subject);
    let chord = sounding_with(texture, subject);
    let compass = texture.score().parts().get(subject.voice).and_then(|part| part.voice.compass());
    let is_within = |pitch: Pitch| compass.is_none_or(|compass| compass.contains(pitch));
    let mut moves = Vec::new();
    for steps in (-OCTAVE..=OCTAVE).rev() {
        for alteration in (-1..=1).rev() {
            let Some(pitch) = neighbour(from, steps, alteration).filter(|&it| it != from && is_within(it))
            else {
                continue;
            };
            let (class, is_octave) = (pitch.class(), steps.abs() == OCTAVE);
            let is_known = key.contains(class) || heard.contains(&class);
            let kind = match steps.abs() {
                _ if is_octave && class == from.class() => Kind::Octave,
                _ if is_octave => continue,
                0 | 1 if is_known => Kind::Step,
                0 => Kind::Accidental,
                _ if chord.contains(&class) => Kind::ChordNote,
                _ if is_known => Kind::Leap,
                _ => continue,
            };
            let distance = 2 * steps.unsigned_abs() + u32::from(!heard.contains(&class));
            moves.push((kind, distance, pitch));
        }
    }
    moves
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

/// The classes of what the other voices sound as the note begins.
fn sounding_with(texture: &Texture<'_>, subject: Subject) -> Vec<PitchClass> {
    let now = texture.grid().ticks(subject.note.onset());
    let others = (0..texture.voices()).filter(|&voice| voice != subject.voice);
    others.filter_map(|voice| texture.sounding(voice, now)).map(|tone| tone.pitch.class()).collect()
}
