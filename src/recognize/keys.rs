//! In which key the score is, and in which key each entry.

use crate::exposition::Alignment;
use crate::interval::Interval;
use crate::key::{Key, Mode};
use crate::line::Note;
use crate::pitch::PitchClass;
use crate::score::Score;

/// The notes heard to judge a key: enough for any exposition.
const HEARD: usize = 400;
/// Of a hundred notes, so many more must be foreign to the key given than to another one before the
/// other is believed.
const CLEARLY: usize = 8;

/// The key of a score: the one given, unless clearly fewer notes are foreign to another.
pub(super) fn of(score: &Score, opening: &[Note]) -> Key {
    let given = score.key();
    let heard: Vec<PitchClass> = score
        .parts()
        .iter()
        .flat_map(|part| part.line.notes().iter().take(HEARD))
        .map(|note| note.pitch().class())
        .collect();
    let foreign = |key: Key| heard.iter().filter(|class| !key.contains(**class)).count();
    let limit = foreign(given).saturating_sub(CLEARLY * heard.len() / 100);
    let (first, last) = (opening.first().map(|note| note.pitch().class()), final_bass(score));
    let best = all_keys().filter(|key| foreign(*key) < limit).min_by_key(|key| {
        let tonic = Some(key.tonic());
        let ends = usize::from(last != tonic)
            + usize::from(first != tonic && first != key.dominant().ok().map(Key::tonic));
        let distance = (key.tonic().fifths() - given.tonic().fifths()).abs();
        (foreign(*key) + ends * heard.len() / 20, distance)
    });
    best.unwrap_or(given)
}

fn all_keys() -> impl Iterator<Item = Key> {
    let tonics = (-7..=7).filter_map(|fifths| PitchClass::from_fifths(fifths).ok());
    tonics.flat_map(|tonic| [Mode::Major, Mode::Minor].map(|mode| Key::new(tonic, mode)))
}

/// The class of the last note of the lowest voice.
fn final_bass(score: &Score) -> Option<PitchClass> {
    let parts = score.parts().iter().rev();
    parts.filter_map(|part| part.line.notes().last()).next().map(|note| note.pitch().class())
}

/// The key into which a theme in `key` has been moved so many steps: of all keys on that step the
/// one in which most notes are the same degrees as in the theme.
pub(super) fn of_entry(
    key: Key,
    theme: &[Note],
    alignment: &Alignment,
    notes: &[Note],
    distance: i32,
) -> Key {
    let partners = theme.iter().zip(alignment.partners());
    let pairs: Vec<(&Note, &Note)> =
        partners.filter_map(|(note, partner)| Some((note, notes.get((*partner)?)?))).collect();
    let agreeing = |other: Key| {
        let same = |(from, to): &&(&Note, &Note)| {
            key.degree(from.pitch().class()) == other.degree(to.pitch().class())
        };
        pairs.iter().filter(same).count()
    };
    let steps = distance.rem_euclid(7);
    let moved = |semitones: i32| key.moved(Interval::from_steps(steps, semitones).ok()?).ok();
    let candidates = SEMITONES[usize::try_from(steps).unwrap_or(0)].iter().filter_map(|&size| moved(size));
    let candidates = candidates.flat_map(|key| [key, key.parallel()]);
    candidates.rev().max_by_key(|candidate| agreeing(*candidate)).unwrap_or(key)
}

/// The intervals by which keys on each step lie above a tonic, the usual one first.
const SEMITONES: [&[i32]; 7] = [&[0, -1, 1], &[2, 1], &[3, 4], &[5, 6], &[7, 6], &[9, 8], &[10, 11]];
