//! The search for the best few ways of hearing a subject.
//!
//! Let `best(i, h, r)` be the cost of the `r`-th best way of hearing notes 0 to `i` that hears
//! note `i` as `h`. Then `best(i, h, ·)` are the smallest of
//! `best(i - 1, g, s) + charge(i, g, h)` over all hearings `g` that may precede `h` and all ranks
//! `s`: the best continuation of a path depends on its last hearing alone, since every line of
//! [the table](super::Charge) speaks of one note and the one before. Following the steps back from the
//! best ends gives the paths themselves.
//!
//! With `n` notes, 4 hearings and `k` paths kept, that is at most `16·k·n` sums and `4·k·n` stored
//! steps: linear in the notes.
//!
//! The search is the k-best form of the Viterbi algorithm (common practice in dynamic programming).

use super::Hearing;
use super::Reading;
use super::charges::{allows, charge};
use super::facts::Facts;

/// How many paths are kept at each hearing of each note: enough that three distinct answers are
/// left when paths that sound alike are dropped.
pub(super) const KEPT: usize = 8;

/// The cost of a path.
type Cost = u32;

/// The order of the hearings of a path, whatever notes they stand at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Shape(u64);

impl Shape {
    const fn of(first: Hearing) -> Self {
        Self(first as u64 + 1)
    }

    const fn then(self, before: Hearing, now: Hearing) -> Self {
        if before as u8 == now as u8 {
            self
        } else {
            Self(self.0.wrapping_mul(5).wrapping_add(now as u64 + 1))
        }
    }
}

/// One of the best ways of hearing a note, and where it comes from.
#[derive(Clone, Copy, Debug)]
struct Step {
    cost: Cost,
    shape: Shape,
    before: Hearing,
    rank: u8,
}

/// The best ways of hearing one note in one way, best first.
#[derive(Clone, Copy, Debug)]
struct Ranking {
    steps: [Step; KEPT],
    len: usize,
}

impl Ranking {
    const EMPTY: Self =
        Self { steps: [Step { cost: 0, shape: Shape(0), before: Hearing::Home, rank: 0 }; KEPT], len: 0 };

    fn steps(&self) -> &[Step] {
        &self.steps[..self.len]
    }

    /// Puts a step in its place, unless its shape is there at no greater cost; among equals the
    /// first comer stays ahead.
    fn insert(&mut self, step: Step) {
        let place = self.steps().partition_point(|other| other.cost <= step.cost);
        let end = match self.steps().iter().position(|other| other.shape == step.shape) {
            Some(rival) if rival < place => return,
            Some(rival) => rival + 1,
            None => (self.len + 1).min(KEPT),
        };
        if place < end {
            self.len = self.len.max(end);
            self.steps[place..end].rotate_right(1);
            self.steps[place] = step;
        }
    }
}

/// The best ways of hearing the subject, best first, with their costs. `hints` tells, note by note,
/// how the harmony is known to be heard.
pub(super) fn best(facts: &Facts, hints: &[Option<Reading>]) -> Vec<(Cost, Vec<Hearing>)> {
    let mut layers: Vec<[Ranking; 4]> = Vec::with_capacity(facts.notes.len());
    for index in 0..facts.notes.len() {
        let hint = hints.get(index).copied().flatten();
        let layer = Hearing::ALL.map(|now| ranking(facts, index, layers.last(), now, hint));
        layers.push(layer);
    }
    let mut ends: Vec<(Cost, Hearing, usize)> = Vec::new();
    for hearing in Hearing::ALL {
        let steps = layers.last().map_or(&[][..], |layer| layer[hearing as usize].steps());
        ends.extend(steps.iter().enumerate().map(|(rank, step)| (step.cost, hearing, rank)));
    }
    ends.sort_by_key(|&(cost, _, _)| cost);
    ends.into_iter().map(|(cost, hearing, rank)| (cost, follow(&layers, hearing, rank))).collect()
}

fn ranking(
    facts: &Facts,
    index: usize,
    before: Option<&[Ranking; 4]>,
    now: Hearing,
    hint: Option<Reading>,
) -> Ranking {
    let mut ranking = Ranking::EMPTY;
    let charged = |before| {
        let mut sum = 0;
        charge(facts, index, before, now, hint, |charge, times| sum += charge.weight() * times);
        sum
    };
    let Some(layer) = before else {
        if allows(facts, index, None, now) {
            ranking.insert(Step { cost: charged(None), shape: Shape::of(now), before: now, rank: 0 });
        }
        return ranking;
    };
    for before in Hearing::ALL {
        if layer[before as usize].len == 0 || !allows(facts, index, Some(before), now) {
            continue;
        }
        let more = charged(Some(before));
        for (rank, step) in (0..).zip(layer[before as usize].steps()) {
            ranking.insert(Step {
                cost: step.cost + more,
                shape: step.shape.then(before, now),
                before,
                rank,
            });
        }
    }
    ranking
}

/// The path that ends so, from its beginning.
fn follow(layers: &[[Ranking; 4]], mut hearing: Hearing, mut rank: usize) -> Vec<Hearing> {
    let mut path = vec![hearing; layers.len()];
    for (layer, place) in layers.iter().zip(path.iter_mut()).rev() {
        *place = hearing;
        let step = layer[hearing as usize].steps[rank];
        (hearing, rank) = (step.before, usize::from(step.rank));
    }
    path
}
