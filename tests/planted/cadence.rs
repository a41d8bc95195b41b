//! Cadences at which the leading note is left hanging.

use crate::chance::Chance;
use crate::faults::{Moment, hanging_leading, is_degree, is_leading, moments};
use crate::music::{Clean, Music};
use crate::plant::{Plant, moved};
use soggetto::line::Note;
use soggetto::pitch::Pitch;
use soggetto::time::Time;

/// By what a note is moved to a degree.
const MOVES: [&str; 18] = [
    "P1", "m2", "-m2", "M2", "-M2", "m3", "-m3", "M3", "-M3", "P4", "-P4", "A4", "-A4", "P5", "-P5", "m6",
    "-m6", "M6",
];

/// A place where the top voice and the bass go on together: voice and index of the note that each leaves.
#[derive(Clone, Copy)]
struct Place {
    top: (usize, usize),
    bass: (usize, usize),
}

/// At most so many plants: the bass goes from the dominant to the tonic on a beat, and the top voice leaps from
/// the leading note to the third.
pub(crate) fn hanging(clean: &Clean, chance: &mut Chance, count: usize) -> Vec<Plant> {
    let whole = moments(&clean.music, Time::ZERO, clean.music.frame().length());
    let mut places: Vec<Place> =
        whole.windows(2).filter_map(|pair| place(clean, &pair[0], &pair[1])).collect();
    let mut plants = Vec::new();
    while plants.len() < count && !places.is_empty() {
        plants.extend(planted(clean, places.swap_remove(chance.below(places.len()))));
    }
    plants
}

/// The place at a moment, outside answers and the first statement.
fn place(clean: &Clean, from: &Moment, to: &Moment) -> Option<Place> {
    let (music, first) = (&clean.music, &clean.outline.entries[0]);
    let leaves = |(voice, index, note): (usize, usize, Note)| {
        let next = music.lines[voice].get(index + 1)?;
        let is_free = voice != first.voice || !first.notes.contains(&(index + 1));
        (note.end() == to.time && next.onset() == to.time && is_free).then_some((voice, index))
    };
    let place = Place { top: leaves(from.sounding().next()?)?, bass: leaves(from.sounding().last()?)? };
    let is_free = music.is_pulse(to.time) && !clean.is_in_answer(from.time) && !clean.is_in_answer(to.time);
    (is_free && place.top.0 != place.bass.0).then_some(place)
}

fn planted(clean: &Clean, Place { top, bass }: Place) -> Option<Plant> {
    let after = |(voice, index): (usize, usize)| (voice, index + 1);
    let music = to_degree(&clean.music, bass, |music, pitch| is_degree(music, pitch, 4, 7))?;
    let music = to_degree(&music, after(bass), |music, pitch| is_degree(music, pitch, 0, 0))?;
    let music = to_degree(&music, top, is_leading)?;
    let music = to_degree(&music, after(top), is_third)?;
    let whole = clean.music.frame().length();
    let before = hanging_leading(clean, &clean.music, Time::ZERO, whole);
    let fault =
        hanging_leading(clean, &music, Time::ZERO, whole).into_iter().find(|it| !before.contains(it))?;
    Some(Plant { music, fault, note: None })
}

fn is_third(music: &Music, pitch: Pitch) -> bool {
    is_degree(music, pitch, 2, 4) || is_degree(music, pitch, 2, 3)
}

/// The music with a note moved to the nearest pitch that is meant.
fn to_degree(music: &Music, place: (usize, usize), is_meant: fn(&Music, Pitch) -> bool) -> Option<Music> {
    let mut moves = MOVES.iter().filter_map(|by| moved(music, place, by));
    moves.find(|music| is_meant(music, music.lines[place.0][place.1].pitch()))
}
