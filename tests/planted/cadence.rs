//! Cadences at which the leading note is left hanging.

use crate::chance::Chance;
use crate::faults::{Moment, hanging_leading, is_degree, is_leading, moments};
use crate::music::{Clean, Music};
use crate::plant::{Plant, moved};
use soggetto::pitch::Pitch;
use soggetto::time::Time;

/// By what a note is moved to a degree.
const MOVES: [&str; 18] = [
    "P1", "m2", "-m2", "M2", "-M2", "m3", "-m3", "M3", "-M3", "P4", "-P4", "A4", "-A4", "P5", "-P5", "m6",
    "-m6", "M6",
];

/// At most so many plants: where the bass goes from the dominant to the tonic, the top voice leaps from the
/// leading note to the third.
pub(crate) fn hanging(clean: &Clean, chance: &mut Chance, count: usize) -> Vec<Plant> {
    let whole = moments(&clean.music, Time::ZERO, clean.music.frame().length());
    let mut places: Vec<(usize, usize)> =
        whole.windows(2).filter_map(|pair| at_cadence(clean, &pair[0], &pair[1])).collect();
    let mut plants = Vec::new();
    while plants.len() < count && !places.is_empty() {
        plants.extend(planted(clean, places.swap_remove(chance.below(places.len()))));
    }
    plants
}

/// The note of the top voice that is left as the bass makes a cadence, outside the first statement.
fn at_cadence(clean: &Clean, from: &Moment, to: &Moment) -> Option<(usize, usize)> {
    let bass = |moment: &Moment| moment.sounding().last().map(|it| (it.0, it.2.pitch()));
    let ((low, dominant), (same, tonic)) = (bass(from)?, bass(to)?);
    let music = &clean.music;
    let cadence = low == same && is_degree(music, dominant, 4, 7) && is_degree(music, tonic, 0, 0);
    let (voice, index, note) = from.sounding().next().filter(|it| it.0 != low && cadence)?;
    let next = music.lines[voice].get(index + 1)?;
    let first = &clean.outline.entries[0];
    let is_free = voice != first.voice || !first.notes.contains(&index);
    (note.end() == to.time && next.onset() == to.time && is_free).then_some((voice, index))
}

fn planted(clean: &Clean, (voice, index): (usize, usize)) -> Option<Plant> {
    let leading = to_degree(&clean.music, (voice, index), is_leading)?;
    let music = to_degree(&leading, (voice, index + 1), is_third)?;
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
    let moves = MOVES.iter().filter_map(|by| moved(music, place, by));
    moves.into_iter().find(|music| is_meant(music, music.lines[place.0][place.1].pitch()))
}
