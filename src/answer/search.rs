//! The search for the best few ways of hearing a subject.
//!
//! A *path* hears every note in one of five [ways](Hearing); its *shape* is the order in which they
//! follow, whatever notes they begin at: "tonic, dominant" is one shape with as many paths as the
//! change has places. Of each shape the best path is wanted, and of these the cheapest few.
//!
//! Let `best(i, h, s)` be the least cost of hearing notes 0 to `i` in shape `s` with note `i` heard as
//! `h`, and `charge(i, g, h)` what [the table](super::Charge) charges for note `i` heard as `h` after a
//! note heard as `g`. Then
//!
//! ```text
//! best(i, h, s)        = min over g of  best(i - 1, g, s')  +  charge(i, g, h)
//!   where s = s'  if g = h,  and  s = s' followed by h  otherwise.
//! ```
//!
//! Every line of the table speaks of one note and the one before, so nothing earlier matters. Only
//! the [`KEPT`] cheapest shapes of each `(i, h)` are kept, and no more are needed: two shapes that
//! end in the same hearing stay two whatever follows, so a shape with [`KEPT`] better ones
//! before it never rises again.
//!
//! For the subject C4 G4 E4 C4 (opening 1-5-3-1), tonic `T`, opening dominant `O`:
//!
//! ```text
//! C4        G4                     E4                     C4
//! T 0  -->  T 10 (leap kept)  -->  T 10              -->  T 10   the real answer  G D B G
//!      \->  O 1 (5th to 4th)  -->  T 2 (3rd to 2nd)  -->  T 2    the tonal one    G C B G
//! ```
//!
//! With `n` notes, 5 hearings and `k` shapes this takes at most `25·k·n` sums and keeps `5·k·n` steps:
//! linear in the notes. Among equals the path whose changes come earlier is kept (Prout, *Fugue*,
//! §121). The scheme is the Viterbi algorithm for several best paths (common practice).

use super::charges::Moment;
use super::facts::Facts;
use super::{Charge, Hearing, Reading};

/// How many shapes are kept at each hearing of each note: enough that three answers are left after
/// dropping shapes that sound alike. More would cost time in proportion.
pub(super) const KEPT: usize = 6;

/// The cost of a path.
pub(super) type Cost = u32;

/// A way of hearing the whole subject, with its cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Path {
    pub(super) cost: Cost,
    pub(super) hearings: Vec<Hearing>,
}

/// The order of the hearings of a path, as digits to the base 6; so shapes of up to 12 changes are
/// told apart, far more than any answer has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Shape(u32);

impl Shape {
    const NONE: Self = Self(0);

    const fn then(self, hearing: Hearing) -> Self {
        Self(self.0.wrapping_mul(6).wrapping_add(hearing as u32 + 1))
    }
}

/// The end of one of the best paths to a note, and where it comes from.
#[derive(Clone, Copy, Debug)]
struct Step {
    cost: Cost,
    shape: Shape,
    before: Hearing,
    rank: u8,
}

/// The best paths to a note heard in one way, each of another shape, best first.
#[derive(Clone, Copy, Debug)]
struct Ranking {
    steps: [Step; KEPT],
    len: usize,
}

impl Ranking {
    const EMPTY: Self =
        Self { steps: [Step { cost: 0, shape: Shape::NONE, before: Hearing::Home, rank: 0 }; KEPT], len: 0 };

    fn steps(&self) -> &[Step] {
        &self.steps[..self.len]
    }

    /// Puts a step in its place unless its shape is there already for no more; among equals the
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

/// The best paths to one note, for each hearing of it.
type Layer = [Ranking; 5];

/// What the search works on.
pub(super) struct Search<'a, W> {
    pub(super) facts: &'a Facts<'a>,
    /// How notes are known to be heard; those beyond the end are left to the ear.
    pub(super) hints: &'a [Option<Reading>],
    /// What a charge weighs.
    pub(super) weigh: W,
}

impl<W: Fn(Charge) -> Cost> Search<'_, W> {
    /// The best path of each of the cheapest shapes, best first.
    pub(super) fn best(&self) -> Vec<Path> {
        let mut layers: Vec<Layer> = Vec::with_capacity(self.facts.notes.len());
        for index in 0..self.facts.notes.len() {
            let layer = Hearing::ALL.map(|now| self.ranking(index, layers.last(), now));
            layers.push(layer);
        }
        let Some(last) = layers.last() else { return Vec::new() };
        let ends = Hearing::ALL.into_iter().flat_map(|hearing| {
            let steps = last[hearing as usize].steps().iter().enumerate();
            steps.map(move |(rank, step)| (step.cost, hearing, rank))
        });
        let mut ends: Vec<(Cost, Hearing, usize)> = ends.collect();
        ends.sort_unstable();
        let path = |(cost, hearing, rank)| Path { cost, hearings: follow(&layers, hearing, rank) };
        ends.into_iter().map(path).collect()
    }

    fn ranking(&self, index: usize, layer: Option<&Layer>, now: Hearing) -> Ranking {
        let mut ranking = Ranking::EMPTY;
        let Some(layer) = layer else {
            if let Some(cost) = self.cost(Moment { index, before: None, now }) {
                ranking.insert(Step { cost, shape: Shape::NONE.then(now), before: now, rank: 0 });
            }
            return ranking;
        };
        let others = Hearing::ALL.into_iter().filter(|&before| before != now);
        for before in std::iter::once(now).chain(others) {
            let steps = layer[before as usize].steps();
            if steps.is_empty() {
                continue;
            }
            let Some(more) = self.cost(Moment { index, before: Some(before), now }) else { continue };
            for (rank, step) in (0..).zip(steps) {
                let shape = if before == now { step.shape } else { step.shape.then(now) };
                ranking.insert(Step { cost: step.cost.saturating_add(more), shape, before, rank });
            }
        }
        ranking
    }

    /// What a moment costs; nothing if it is impossible.
    pub(super) fn cost(&self, moment: Moment) -> Option<Cost> {
        if !moment.is_possible(self.facts) {
            return None;
        }
        let hint = self.hints.get(moment.index).copied().flatten();
        let mut sum: Cost = 0;
        moment.charge(self.facts, hint, &mut |charge, times| {
            sum = sum.saturating_add((self.weigh)(charge).saturating_mul(times));
        });
        Some(sum)
    }
}

/// The path that ends so, from its beginning.
fn follow(layers: &[Layer], mut hearing: Hearing, mut rank: usize) -> Vec<Hearing> {
    let mut hearings = vec![hearing; layers.len()];
    for (layer, place) in layers.iter().zip(&mut hearings).rev() {
        *place = hearing;
        let step = layer[hearing as usize].steps[rank];
        (hearing, rank) = (step.before, usize::from(step.rank));
    }
    hearings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::strategy::any_subject;
    use crate::subject::Subject;
    use proptest::prelude::*;
    use std::collections::BTreeMap;

    fn search<'a>(facts: &'a Facts<'a>) -> Search<'a, fn(Charge) -> Cost> {
        Search { facts, hints: &[], weigh: Charge::weight }
    }

    /// The twin: all paths there are, the least cost of each shape.
    fn by_trying_all(facts: &Facts<'_>) -> Vec<Cost> {
        let search = search(facts);
        let mut paths: Vec<(Cost, Vec<Hearing>)> = vec![(0, Vec::new())];
        for index in 0..facts.notes.len() {
            paths = paths
                .iter()
                .flat_map(|(cost, path)| Hearing::ALL.map(|now| (*cost, path, now)))
                .filter_map(|(cost, path, now)| {
                    let more = search.cost(Moment { index, before: path.last().copied(), now })?;
                    Some((cost + more, [path.as_slice(), &[now]].concat()))
                })
                .collect();
        }
        let mut shapes: BTreeMap<Vec<Hearing>, Cost> = BTreeMap::new();
        for (cost, mut path) in paths {
            path.dedup();
            let least = shapes.entry(path).or_insert(cost);
            *least = cost.min(*least);
        }
        let mut costs: Vec<Cost> = shapes.into_values().collect();
        costs.sort_unstable();
        costs
    }

    proptest! {
        #[test]
        fn prop_search_finds_what_trying_all_finds(subject in any_subject(2..8)) {
            let facts = Facts::of(&subject, &[]);
            let found: Vec<Cost> = search(&facts).best().iter().map(|path| path.cost).collect();
            let all = by_trying_all(&facts);
            let most = all.len().min(KEPT);
            prop_assert_eq!(&found[..most], &all[..most]);
        }

        #[test]
        fn prop_path_costs_what_its_moments_cost(subject in any_subject(2..30)) {
            let facts = Facts::of(&subject, &[]);
            let search = search(&facts);
            for path in search.best() {
                let moments = path.hearings.iter().enumerate().map(|(index, &now)| {
                    let before = index.checked_sub(1).map(|before| path.hearings[before]);
                    search.cost(Moment { index, before, now })
                });
                prop_assert_eq!(moments.sum::<Option<Cost>>(), Some(path.cost));
            }
        }
    }

    #[test]
    fn worked_example_costs_what_its_page_says() {
        let subject = Subject::from_text("C major", "4/4", "0", "C4:1/2 G4:1/4 E4:1/4 C4:1/2").unwrap();
        let facts = Facts::of(&subject, &[]);
        let (best, home) = (search(&facts).best(), Hearing::Home);
        assert_eq!(best[0], Path { cost: 2, hearings: vec![home, Hearing::Opening, home, home] });
        assert_eq!(best[1], Path { cost: 10, hearings: vec![home; 4] });
    }
}
