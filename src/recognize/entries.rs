//! The search for entries in all voices, at all onsets, in all keys.
//!
//! Every note is tried as a first note. Most are given up at the second or third onset, so that the
//! search takes time proportional to the notes, and at worst to the notes times those of the theme.

use super::likeness::{Comparison, Likeness, Spot};
use super::strand::{Strands, Tone};
use super::theme::Theme;
use crate::exposition::Form;

/// By how many bits an entry must be surer than the number of places to look at makes it likely by
/// chance.
const MARGIN: i64 = 5;
/// How much surer a transformed theme must be: there are more ways to err.
const TRANSFORMED: i64 = 8;

/// An entry as found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Found {
    pub(super) voice: usize,
    pub(super) likeness: Likeness,
    pub(super) form: Form,
}

impl Found {
    /// When it begins.
    pub(super) fn onset(&self, strands: &Strands) -> i64 {
        strands.voice(self.voice).get(self.likeness.first).map_or(self.likeness.start, |tone| tone.on)
    }
}

/// The entries of a theme in one form, in order of onset; `opening` tells of a voice whether its
/// first notes are known to be an entry, whatever they are worth.
pub(super) fn find(theme: &Theme, form: Form, strands: &Strands) -> Vec<Found> {
    let Some(theme) = theme.in_form(form) else { return Vec::new() };
    let needed = MARGIN + bits_of(strands.notes()) + if form == Form::Straight { 0 } else { TRANSFORMED };
    let mut found = Vec::new();
    for voice in 0..strands.count() {
        let chosen = in_voice(&theme, strands.voice(voice), needed);
        found.extend(chosen.into_iter().map(|likeness| Found { voice, likeness, form }));
    }
    found.sort_by_key(|entry| (entry.onset(strands), entry.voice));
    found
}

/// The number of binary digits.
fn bits_of(count: usize) -> i64 {
    i64::from(usize::BITS - count.leading_zeros())
}

/// The entries in one voice. Of two that share more than a note the surer one stays.
fn in_voice(theme: &Theme, tones: &[Tone], needed: i64) -> Vec<Likeness> {
    let mut comparison = Comparison::default();
    let mut chosen: Vec<Likeness> = Vec::new();
    for first in 0..tones.len() {
        let Some(likeness) = best_from(first, theme, tones, &mut comparison) else { continue };
        let needed = if first == 0 { needed - MARGIN - needed / 2 } else { needed };
        if likeness.score() < needed {
            continue;
        }
        match chosen.last_mut() {
            Some(last) if likeness.first + 1 < last.end => {
                if likeness.score() > last.score() {
                    *last = likeness;
                }
            }
            _ => chosen.push(likeness),
        }
    }
    chosen
}

/// The better of two ways to begin with a note: on the theme's first onset, or off it.
pub(super) fn best_from(
    first: usize,
    theme: &Theme,
    tones: &[Tone],
    comparison: &mut Comparison,
) -> Option<Likeness> {
    let on_time = Spot { first, start: tones.get(first)?.on };
    let exact = comparison.at(on_time, theme, tones);
    let free = free_start(first, theme, tones).and_then(|spot| comparison.at(spot, theme, tones));
    match (exact, free) {
        (Some(exact), Some(free)) => Some(if free.score() > exact.score() { free } else { exact }),
        (exact, free) => exact.or(free),
    }
}

/// The spot if the second note is on time and the first is not, at most twice as long.
fn free_start(first: usize, theme: &Theme, tones: &[Tone]) -> Option<Spot> {
    let second = theme.points().get(1)?.at;
    let start = tones.get(first + 1)?.on - second;
    let late = tones.get(first)?.on - start;
    (late != 0 && late.abs() <= second).then_some(Spot { first, start })
}
