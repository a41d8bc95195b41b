//! What imitates the opening.
//!
//! A fugue begins with one voice alone. Notes that repeat its rhythm and, but for what a tonal answer
//! alters, its leaps or their inversion are an entry, so they belong to one voice, however near another
//! may lie (common practice of imitative music).

use super::cost::Woven;

/// An imitation is told by at least so many notes, fewer are a chance likeness,
const FEWEST: usize = 4;
/// by at most so many: what follows may be altered freely;
const MOST: usize = 12;
/// its leaps are those of the model or wider or narrower by a tone, as a tonal answer has a fourth for a
/// fifth.
const ALTERED: i32 = 2;

/// What is known of a note from the entry that it stands in.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Bond {
    /// The note before it in the entry.
    pub(super) before: Option<usize>,
    /// The mean height of the entry, if it begins with the note.
    pub(super) begins: Option<i32>,
}

/// The bonds of each note.
pub(super) fn bonds(notes: &[Woven]) -> Vec<Bond> {
    let mut bonds = vec![Bond::default(); notes.len()];
    let model = opening(notes);
    if model.len() < FEWEST {
        return bonds;
    }
    for start in 0..notes.len() {
        let Some(entry) = [1, -1].into_iter().find_map(|sign| entry(notes, model, start, sign)) else {
            continue;
        };
        let heights = entry.iter().map(|&note| i64::from(notes[note].height));
        let mean = heights.sum::<i64>() / i64::try_from(entry.len()).unwrap_or(1);
        bonds[start].begins = i32::try_from(mean).ok();
        for pair in entry.windows(2) {
            let bond = &mut bonds[pair[1]].before;
            *bond = bond.or(Some(pair[0]));
        }
    }
    bonds
}

/// The notes that one voice has alone at the beginning, but for the last, which may sound with another;
/// none if the piece has but one voice.
fn opening(notes: &[Woven]) -> &[Woven] {
    let alone = |pair: &&[Woven]| pair[0].onset < pair[1].onset && pair[0].end <= pair[1].onset;
    let count = notes.windows(2).take_while(alone).count();
    if count + 1 >= notes.len() { &[] } else { &notes[..count.min(MOST)] }
}

/// The notes of an entry that begins with this note, as the model or in inversion.
fn entry(notes: &[Woven], model: &[Woven], start: usize, sign: i32) -> Option<Vec<usize>> {
    let (first, origin) = (notes.get(start)?, model.first()?);
    let mut entry = vec![start];
    for (index, pair) in model.windows(2).enumerate() {
        let [before, wanted] = pair else { return None };
        let at = first.onset.checked_add(wanted.onset.checked_sub(origin.onset).ok()?).ok()?;
        let height = first.height + sign * (wanted.height - origin.height);
        let leap = sign * (wanted.height - before.height);
        let last = notes.get(*entry.last()?)?.height;
        let is_last = index + 2 == model.len();
        let from = notes.partition_point(|note| note.onset < at);
        let together = notes.iter().enumerate().skip(from).take_while(|(_, note)| note.onset == at);
        let alike = together.filter(|(_, note)| {
            (note.height - height).abs() <= ALTERED && (is_last || note.lasts() == wanted.lasts())
        });
        let best =
            alike.min_by_key(|(_, note)| ((note.height - last - leap).abs(), (note.height - height).abs()));
        entry.push(best?.0);
    }
    Some(entry)
}
