//! The search for entries in all voices, at all onsets, in all keys.
//!
//! Every note is tried as a first note. Most are given up at the second or third onset, so that the
//! search takes time proportional to the notes, and at worst to the notes times those of the theme.

use super::habits::Habits;
use super::likeness::{Comparison, Likeness, Spot};
use super::memory::Memory;
use super::strand::{Strands, Tone};
use super::theme::Theme;
use crate::exposition::Form;

/// How likely an entry must be, in bits, where a voice begins: it usually begins with the theme, so
/// that three quarters of its notes, with what they cost, nearly are enough.
const FIRST: i64 = 2;
/// Elsewhere an entry must be surer by so much than the binary logarithm of the number of places
/// where chance might have made it: of all beginnings after a rest, or of all notes.
const MARGIN: i64 = 5;
/// How much surer a transformed theme must be: there are more ways to err.
const TRANSFORMED: i64 = 8;

/// A first note may be so many times as long as that of the theme: the first statement may begin after
/// a rest that takes most of it, and the later ones not.
const LONGER: i64 = 4;

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

/// Where entries are looked for.
#[derive(Debug)]
pub(super) struct Field<'a> {
    strands: &'a Strands,
    habits: &'a Habits,
    /// When the fugue begins.
    from: i64,
    /// How many notes there are, and how many of them come after a rest, in bits.
    notes: i64,
    phrases: i64,
    memory: Option<&'a Memory>,
}

impl<'a> Field<'a> {
    /// The voices in which statements are looked for.
    pub(super) const fn strands(&self) -> &'a Strands {
        self.strands
    }

    /// The notes of all voices from a time on.
    pub(super) fn new(strands: &'a Strands, habits: &'a Habits, from: i64) -> Self {
        let phrases = (0..strands.count()).map(|voice| {
            let tones = strands.voice(voice);
            (0..tones.len()).filter(|&index| follows_rest(tones, index)).count()
        });
        let (notes, phrases) = (bits_of(strands.notes()), bits_of(phrases.sum()));
        Self { strands, habits, from, notes, phrases, memory: None }
    }

    /// With what has been compared in a score that differs little.
    pub(super) const fn remembering(self, memory: Option<&'a Memory>) -> Self {
        Self { memory, ..self }
    }

    /// When the fugue begins.
    pub(super) const fn from(&self) -> i64 {
        self.from
    }

    /// The entries of a theme in one form, in order of onset.
    pub(super) fn find(&self, theme: &Theme, form: Form) -> Vec<Found> {
        let formed = theme.in_form(form, self.habits);
        if formed.count() < theme.count() {
            return Vec::new();
        }
        let mut found = Vec::new();
        for voice in 0..self.strands.count() {
            let chosen = self.in_voice(&formed, form, voice);
            found.extend(chosen.into_iter().map(|likeness| Found { voice, likeness, form }));
        }
        found.sort_by_key(|entry| (entry.onset(self.strands), entry.voice));
        found
    }

    /// The entries in one voice. Of two that share more than a note the surer one stays.
    fn in_voice(&self, theme: &Theme, form: Form, voice: usize) -> Vec<Likeness> {
        let tones = self.strands.voice(voice);
        let mut chosen: Vec<Likeness> = Vec::new();
        let begin = tones.partition_point(|tone| tone.on < self.from);
        let known = self.memory.and_then(|memory| memory.likenesses(self, theme, voice));
        for likeness in known.unwrap_or_else(|| likenesses(theme, tones, begin..tones.len())) {
            let (score, needed) = match likeness.first {
                first if first == begin && tones[first].on > self.from && likeness.is_in_place() => {
                    (likeness.score_if_expected(), FIRST)
                }
                first if first == begin => (likeness.score(), FIRST),
                first if follows_rest(tones, first) => (likeness.score(), MARGIN + self.phrases),
                _ => (likeness.score(), MARGIN + self.notes),
            };
            if score < needed + if form == Form::Straight { 0 } else { TRANSFORMED } {
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
}

/// How like the theme the notes are from each of some first notes on, where they are.
pub(super) fn likenesses(
    theme: &Theme,
    tones: &[Tone],
    firsts: impl IntoIterator<Item = usize>,
) -> Vec<Likeness> {
    let mut comparison = Comparison::default();
    firsts.into_iter().filter_map(|first| best_from(first, theme, tones, &mut comparison)).collect()
}

/// How many ticks after a first note the theme's last note may be due.
pub(super) fn reach(theme: &Theme) -> i64 {
    let at = |index: usize| theme.points().get(index).map_or(0, |point| point.at);
    at(theme.points().len().saturating_sub(1)) + (LONGER - 1) * at(1)
}

/// Whether a note begins its voice or comes after a rest.
fn follows_rest(tones: &[Tone], index: usize) -> bool {
    index.checked_sub(1).is_none_or(|before| tones[before].off < tones[index].on)
}

/// The number of binary digits.
fn bits_of(count: usize) -> i64 {
    i64::from(usize::BITS - count.leading_zeros())
}

/// The better of two ways to begin with a note: on the theme's first onset, or off it.
fn best_from(first: usize, theme: &Theme, tones: &[Tone], comparison: &mut Comparison) -> Option<Likeness> {
    let on_time = Spot { first, start: tones.get(first)?.on };
    let exact = comparison.at(on_time, theme, tones);
    let free = free_start(first, theme, tones).and_then(|spot| comparison.at(spot, theme, tones));
    match (exact, free) {
        (Some(exact), Some(free)) => Some(if free.score() > exact.score() { free } else { exact }),
        (exact, free) => exact.or(free),
    }
}

/// The spot if the second note is on time and the first is not, at most so many times as long.
fn free_start(first: usize, theme: &Theme, tones: &[Tone]) -> Option<Spot> {
    let second = theme.points().get(1)?.at;
    let start = tones.get(first + 1)?.on - second;
    let late = tones.get(first)?.on - start;
    (late != 0 && late.abs() <= (LONGER - 1) * second).then_some(Spot { first, start })
}
