//! How the lines of a score usually move: what is usual says little, what is rare says much.
//!
//! Each note of a theme is weighed by what it tells, in bits: how rarely lines move by its interval,
//! and how rarely they have its duration after the one before. Four whole notes among quavers are a
//! theme; four quavers by step are everywhere. The counts come from the score itself, together with
//! those of a small imagined one, so that a few bars do not mislead.

use super::strand::{Strands, Tone};
use std::collections::BTreeMap;

/// Bits are counted in parts of this size.
pub(super) const PER_BIT: u32 = 16;
/// How often lines in vocal and keyboard music move by a prime, a second and so on up to the
/// octave and beyond, of 64 times: common practice, rounded.
const USUAL_STEPS: [u64; 9] = [8, 31, 11, 5, 4, 2, 1, 1, 1];
/// How often, of 64 times, the next note is as long as this one.
const USUALLY_AS_LONG: u64 = 40;
const USUAL: u64 = 64;

/// What the movements from one note to the next tell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Habits {
    /// By the size of the interval.
    steps: [u32; USUAL_STEPS.len()],
    as_long: u32,
    other_length: u32,
    /// By the ticks from one onset to the next.
    lengths: BTreeMap<i64, u32>,
    rare_length: u32,
}

impl Habits {
    /// The habits of all voices.
    pub(super) fn of(strands: &Strands) -> Self {
        let mut counts = Counts::default();
        for voice in 0..strands.count() {
            counts.add(strands.voice(voice));
        }
        let steps = counts.steps.map(|count| bits(count, counts.moves));
        let lengths = counts.lengths.iter().map(|(&length, &count)| (length, bits(count, counts.notes)));
        Self {
            steps,
            as_long: bits(counts.as_long, counts.pairs),
            other_length: bits(counts.pairs - counts.as_long, counts.pairs),
            lengths: lengths.collect(),
            rare_length: bits(1, counts.notes),
        }
    }

    /// What a movement by so many steps tells: its size, and whether it goes up or down.
    pub(super) fn step(&self, steps: i32) -> u32 {
        let size = size(steps);
        self.steps[size] + if size == 0 { 0 } else { PER_BIT }
    }

    /// What the ticks to the next onset tell after those before, if there are any.
    pub(super) fn length(&self, length: i64, before: Option<i64>) -> u32 {
        let absolute = self.lengths.get(&length).copied().unwrap_or(self.rare_length);
        match before {
            Some(before) if before == length => self.as_long,
            Some(_) => self.other_length + absolute,
            None => absolute,
        }
    }
}

struct Counts {
    steps: [u64; USUAL_STEPS.len()],
    moves: u64,
    as_long: u64,
    pairs: u64,
    lengths: BTreeMap<i64, u64>,
    notes: u64,
}

impl Default for Counts {
    fn default() -> Self {
        let (moves, pairs, notes) = (USUAL, USUAL, 1);
        Self { steps: USUAL_STEPS, moves, as_long: USUALLY_AS_LONG, pairs, lengths: BTreeMap::new(), notes }
    }
}

impl Counts {
    fn add(&mut self, tones: &[Tone]) {
        let mut before = None;
        for pair in tones.windows(2) {
            let length = pair[1].on - pair[0].on;
            self.steps[size(pair[1].step - pair[0].step)] += 1;
            self.moves += 1;
            self.as_long += u64::from(before == Some(length));
            self.pairs += u64::from(before.is_some());
            *self.lengths.entry(length).or_default() += 1;
            self.notes += 1;
            before = Some(length);
        }
    }
}

fn size(steps: i32) -> usize {
    usize::try_from(steps.unsigned_abs()).unwrap_or(usize::MAX).min(USUAL_STEPS.len() - 1)
}

/// What it tells that something happens which happens so many times of all.
fn bits(count: u64, all: u64) -> u32 {
    logarithm(all).saturating_sub(logarithm(count))
}

/// The binary logarithm in parts of a bit, found digit by digit: squaring doubles it.
fn logarithm(number: u64) -> u32 {
    let Some(whole) = number.checked_ilog2() else { return 0 };
    let mut mantissa = if whole > 31 { number >> (whole - 31) } else { number << (31 - whole) };
    let mut digits = whole;
    for _ in 0..PER_BIT.ilog2() {
        mantissa = (mantissa * mantissa) >> 31;
        let digit = mantissa >> 32;
        mantissa >>= digit;
        digits = 2 * digits + u32::from(digit == 1);
    }
    digits
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Score;

    #[test]
    fn logarithm_is_exact_to_a_part() {
        for (number, expected) in [(1, 0), (2, 16), (3, 25), (10, 53), (1024, 160), (u64::MAX, 1023)] {
            assert_eq!(logarithm(number), expected, "{number}");
        }
    }

    /// Whole notes among quavers tell more than quavers, leaps more than steps.
    #[test]
    fn rare_movements_tell_more() {
        let line = format!("C4:1 E4 {}", "F4:1/8 G4 F4 E4 ".repeat(20));
        let score = Score::excerpt("C major", "4/4", &[&line]).unwrap();
        let strands = Strands::of(&score);
        let (habits, ticks) = (Habits::of(&strands), |text: &str| strands.grid.ticks(text.parse().unwrap()));
        assert!(habits.length(ticks("1"), None) > habits.length(ticks("1/8"), None) + 4 * PER_BIT);
        assert!(habits.length(ticks("1/8"), Some(ticks("1/8"))) < PER_BIT / 2);
        assert!(habits.step(4) > habits.step(1) + 2 * PER_BIT);
        assert_eq!(habits.step(-3), habits.step(3));
    }
}
