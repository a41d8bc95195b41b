//! Faults planted by another pitch for one note.

use crate::chance::Chance;
use crate::faults::{Checker, Fault};
use crate::music::{Clean, Music};
use soggetto::line::Note;
use std::collections::BTreeSet;

/// An exposition with a fault in it.
pub(crate) struct Plant {
    pub(crate) music: Music,
    pub(crate) fault: Fault,
    /// The one note that was changed, if it was one, by voice and index.
    pub(crate) note: Option<(usize, usize)>,
}

/// By what a note is spoilt.
const MOVES: [&str; 18] = [
    "M2", "-M2", "m2", "-m2", "m3", "-m3", "M3", "-M3", "P4", "-P4", "P5", "-P5", "P8", "-P8", "A1", "-A1",
    "M6", "-m6",
];

/// How many changes are tried for a plant.
const TRIES: usize = 300;

/// The music with one note moved; `None` if the pitch cannot be written.
pub(crate) fn moved(music: &Music, (voice, index): (usize, usize), by: &str) -> Option<Music> {
    let mut music = music.clone();
    let old = music.lines[voice][index];
    let pitch = old.pitch().moved(by.parse().unwrap()).ok()?;
    music.lines[voice][index] = Note::new(pitch, old.onset(), old.duration());
    Some(music)
}

/// At most so many plants by which a kind of fault comes about that was not there before. The first
/// statement of the subject stays as it is: nobody can tell that it was otherwise.
pub(crate) fn singles(clean: &Clean, check: Checker, chance: &mut Chance, count: usize) -> Vec<Plant> {
    let whole = clean.music.frame();
    let before = check(clean, &clean.music, soggetto::time::Time::ZERO, whole.length());
    let first = &clean.outline.entries[0];
    let is_free = |place: &(usize, usize)| place.0 != first.voice || !first.notes.contains(&place.1);
    let lines = clean.music.lines.iter().enumerate();
    let places = lines.flat_map(|(voice, line)| (0..line.len()).map(move |index| (voice, index)));
    let places: Vec<(usize, usize)> = places.filter(is_free).collect();
    let mut plants: Vec<Plant> = Vec::new();
    for _ in 0..TRIES * count {
        if plants.len() == count {
            break;
        }
        let (place, by) = (chance.of(&places), chance.of(&MOVES));
        let Some(music) = moved(&clean.music, place, by) else { continue };
        let fault = new_fault(clean, &music, check, place, &before);
        let is_new = |fault: &Fault| plants.iter().all(|plant| plant.fault != *fault);
        plants.extend(fault.filter(is_new).map(|fault| Plant { music, fault, note: Some(place) }));
    }
    plants
}

/// The first fault around a changed note that was not there before and is one of its own voice.
fn new_fault(
    clean: &Clean,
    music: &Music,
    check: Checker,
    (voice, index): (usize, usize),
    before: &BTreeSet<Fault>,
) -> Option<Fault> {
    let (note, bar) = (music.lines[voice][index], music.frame().meter().bar());
    let (from, to) = (note.onset().checked_sub(bar).ok()?, note.end().checked_add(bar).ok()?);
    let mut after = check(clean, music, from, to).into_iter();
    after.find(|fault| fault.voices.contains(&voice) && !before.contains(fault))
}
