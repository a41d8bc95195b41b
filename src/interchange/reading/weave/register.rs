//! How many voices sound together, and about which note each of them moves.

use super::super::lines::Sounding;
use super::cost::Woven;
use crate::time::Time;
use std::collections::BTreeMap;

/// The first onset and the last end.
pub(super) fn span<T: Sounding>(tones: &[T]) -> (Time, Time) {
    let from = tones.iter().map(Sounding::onset).min().unwrap_or(Time::ZERO);
    (from, tones.iter().map(Sounding::end).max().unwrap_or(from))
}

/// The most notes that sound together for at least so long in all.
pub(super) fn at_once<T: Sounding>(tones: &[T], least: Time) -> usize {
    let mut changes: BTreeMap<Time, i32> = BTreeMap::new();
    for tone in tones {
        *changes.entry(tone.onset()).or_default() += 1;
        *changes.entry(tone.end()).or_default() -= 1;
    }
    let mut lasting: BTreeMap<i32, Time> = BTreeMap::new();
    let (mut sounding, mut from) = (0, Time::ZERO);
    for (&at, change) in &changes {
        let long = at.checked_sub(from).unwrap_or(Time::ZERO);
        let total = lasting.entry(sounding).or_insert(Time::ZERO);
        *total = total.checked_add(long).unwrap_or(*total);
        (sounding, from) = (sounding + change, at);
    }
    let mut together = Time::ZERO;
    let level = lasting.iter().rev().find(|(_, long)| {
        together = together.checked_add(**long).unwrap_or(together);
        together >= least && together.is_positive()
    });
    level.map_or(0, |(&level, _)| usize::try_from(level).unwrap_or(0))
}

/// The mean height of each of so many voices, the highest first, where all of them sound; nothing if they never do.
pub(super) fn means(notes: &[Woven], count: usize) -> Vec<Option<i32>> {
    let mut sums = vec![(0_i32, 0_i32); count];
    let mut held: Vec<Woven> = Vec::new();
    for chord in notes.chunk_by(|one, next| one.onset == next.onset) {
        held.retain(|note| chord.first().is_some_and(|first| note.end > first.onset));
        held.extend(chord);
        if held.len() != count {
            continue;
        }
        held.sort_by_key(|note| std::cmp::Reverse(note.height));
        for ((sum, times), note) in sums.iter_mut().zip(&held) {
            (*sum, *times) = (*sum + note.height, *times + 1);
        }
    }
    sums.into_iter().map(|(sum, times)| sum.checked_div(times)).collect()
}
