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

/// The key of a score: the one given, unless clearly fewer notes are foreign to another, or the
/// opening and the last bass note both contradict it. Then another is believed that fits as well and
/// agrees with both, or fits better and agrees with one: an excerpt may end on the dominant.
pub(super) fn of(score: &Score, opening: &[Note]) -> Key {
    let given = score.key();
    let parts = score.parts().iter().flat_map(|part| part.line.notes().iter().take(HEARD));
    let heard: Vec<PitchClass> = parts.map(|note| note.pitch().class()).collect();
    let foreign = |key: Key| heard.iter().filter(|class| !key.contains(**class)).count();
    let ends = Ends { first: opening.first().map(|note| note.pitch().class()), last: final_bass(score) };
    let (most, contradicted) = (foreign(given), ends.against(given) == 2);
    let believed = |key: &Key| {
        let clearly = foreign(*key) + CLEARLY * heard.len() / 100 < most;
        let agrees = match ends.against(*key) {
            0 => foreign(*key) <= most,
            1 => foreign(*key) < most,
            _ => false,
        };
        clearly || (contradicted && agrees)
    };
    let best = all_keys().filter(believed).min_by_key(|key| {
        let far = (key.tonic().fifths() - given.tonic().fifths()).abs();
        (foreign(*key) + ends.against(*key) * heard.len() / 20, far)
    });
    best.unwrap_or(given)
}

/// The first note of the theme and the last of the bass, which tell the key best.
struct Ends {
    first: Option<PitchClass>,
    last: Option<PitchClass>,
}

impl Ends {
    /// How many of the two speak against a key: the theme begins on tonic or dominant, the bass ends
    /// on the tonic.
    fn against(&self, key: Key) -> usize {
        let (tonic, dominant) = (Some(key.tonic()), key.dominant().ok().map(Key::tonic));
        usize::from(self.first != tonic && self.first != dominant) + usize::from(self.last != tonic)
    }
}

fn all_keys() -> impl Iterator<Item = Key> {
    let tonics = (-7..=7).filter_map(|fifths| PitchClass::from_fifths(fifths).ok());
    tonics.flat_map(|tonic| [Mode::Major, Mode::Minor].map(|mode| Key::new(tonic, mode)))
}

/// The class of the lowest note of those that end last.
fn final_bass(score: &Score) -> Option<PitchClass> {
    let last = score.parts().iter().filter_map(|part| part.line.notes().last());
    let lowest = last.max_by_key(|note| (note.end(), std::cmp::Reverse(note.pitch().staff_step())));
    lowest.map(|note| note.pitch().class())
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
