//! The harmony that a line implies.
//!
//! The line is cut into stretches at the pulses of its meter ([`super::rhythm`]); each takes one
//! chord of the vocabulary; the cheapest row of chords by the table in [`super::cost`] is the
//! reading. The search is exact: with `best(t, c)` the cost of the cheapest reading of the first
//! `t` stretches that ends with chord `c`,
//!
//! `best(t + 1, c) = min over b of best(t, b) + step(b, c) + outside(t + 1, c)`
//!
//! where `outside` sums the notes of a stretch that are not in the chord. For several readings each
//! state keeps its `k` best. Readings of equal cost are ordered by their last chord in the order of
//! the vocabulary, then by the chord before it, and so on towards the first.
//!
//! Time is linear in notes and stretches, with a factor of `k` times the square of the vocabulary
//! (twenty chords); a subject of two bars takes a few tens of microseconds.

use super::cost;
use super::heard::Heard;
use super::rhythm::{Rhythm, Stretch};
use super::vocabulary::{self, Candidate};
use super::{Harmony, Span};
use crate::interval::Interval;
use crate::key::Key;
use crate::line::{Line, Note};
use crate::meter::{Meter, Strength};
use crate::time::Time;

/// The most readings that can be asked for.
pub const MAX_READINGS: usize = 32;

/// One way to hear the harmony of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HarmonicReading {
    harmony: Harmony,
    cost: u64,
}

impl HarmonicReading {
    /// The chords.
    pub const fn harmony(&self) -> &Harmony {
        &self.harmony
    }

    /// The sum of its points in the cost table; the best reading has the fewest.
    pub const fn cost(&self) -> u64 {
        self.cost
    }

    /// The chords, without the cost.
    pub fn into_harmony(self) -> Harmony {
        self.harmony
    }
}

impl Harmony {
    /// The plainest harmony that a line implies in a key: a subject in its own, an answer in the
    /// dominant. `offset` is the place of the line's first moment in its bar.
    ///
    /// The plan is as long as the line. A line of no length has a plan of no chords. Moving line and
    /// key by the same interval changes nothing in the plan.
    ///
    /// ```
    /// use soggetto::harmony::Harmony;
    /// use soggetto::time::Time;
    /// let line = "C4:1/4 E4 G4 E4 D4 B3 C4:1/2".parse()?;
    /// let plan = Harmony::infer(&line, "C major".parse()?, "4/4".parse()?, Time::ZERO);
    /// assert_eq!(plan.to_string(), "I:1 V:1/2 I:1/2");
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    pub fn infer(line: &Line, key: Key, meter: Meter, offset: Time) -> Self {
        let mut readings = Self::readings(line, key, meter, offset, 1);
        readings.pop().map(HarmonicReading::into_harmony).unwrap_or_default()
    }

    /// The best `count` readings of a line, cheapest first; at most [`MAX_READINGS`], and fewer if
    /// the line has no more.
    pub fn readings(line: &Line, key: Key, meter: Meter, offset: Time, count: usize) -> Vec<HarmonicReading> {
        let Some(rhythm) = Rhythm::of(line, meter, offset) else { return Vec::new() };
        let problem = Problem::new(line, key, meter, offset, rhythm);
        let table = problem.solve(count.clamp(1, MAX_READINGS));
        problem
            .ranked(&table)
            .into_iter()
            .take(count)
            .filter_map(|end| problem.reading(&table, end))
            .collect()
    }
}

/// Everything that a reading is judged by: the stretches, the chords offered, and what each chord
/// costs in each stretch.
struct Problem {
    rhythm: Rhythm,
    chords: Vec<&'static Candidate>,
    /// Points of the notes outside the chord: one row a stretch, one place a chord.
    outside: Vec<Vec<u64>>,
    /// The last note, counted from the tonic.
    last: Option<Interval>,
}

/// One of the best ways to reach a chord in a stretch.
#[derive(Clone, Copy, Debug)]
struct Way {
    cost: u64,
    /// The chord of the stretch before.
    chord: usize,
    /// Which of the ways to reach that chord.
    rank: usize,
}

/// The best ways for each stretch and chord, cheapest first.
type Table = Vec<Vec<Vec<Way>>>;

impl Problem {
    fn new(line: &Line, key: Key, meter: Meter, offset: Time, rhythm: Rhythm) -> Self {
        let degrees: Vec<_> = line.notes().iter().map(|note| key.degree(note.pitch().class())).collect();
        let offered = |chord: &&Candidate| chord.needs.is_none_or(|degree| degrees.contains(&degree));
        let chords: Vec<_> = vocabulary::candidates(key.mode()).iter().filter(offered).collect();
        let outside = vec![vec![0; chords.len()]; rhythm.stretches.len()];
        let last = line.notes().last().map(|note| key.tonic().up_to(note.pitch().class()));
        let mut problem = Self { rhythm, chords, outside, last };
        problem.weigh(line, key, meter, offset);
        problem
    }

    /// Adds up the notes outside each chord, stretch by stretch.
    fn weigh(&mut self, line: &Line, key: Key, meter: Meter, offset: Time) {
        let notes = line.notes();
        let strength = |note: Note| {
            let place = note.onset().checked_add(offset);
            place.map_or(Strength::Subdivision, |place| meter.strength(place))
        };
        let mut first = 0;
        for (index, &note) in notes.iter().enumerate() {
            let heard = Heard::new(notes, index, key, strength(note));
            let (start, end) = (self.rhythm.grid.ticks(note.onset()), self.rhythm.grid.ticks(note.end()));
            while self.rhythm.stretches.get(first).is_some_and(|stretch| stretch.end <= start) {
                first += 1;
            }
            let mut at = first;
            while let Some(stretch) = self.rhythm.stretches.get(at).filter(|stretch| stretch.start < end) {
                let ticks = end.min(stretch.end) - start.max(stretch.start);
                let held = start < stretch.start;
                let rate = heard.rate(held, stretch);
                let points = rate.saturating_mul(ticks).saturating_mul(self.rhythm.pulses) / self.rhythm.bar;
                let points = u64::try_from(points).unwrap_or(0);
                for (chord, cost) in self.chords.iter().zip(&mut self.outside[at]) {
                    *cost += heard.points_in(chord, points, held);
                }
                at += 1;
            }
        }
    }

    /// Whether a stretch begins in the last bar.
    fn closes(&self, stretch: &Stretch) -> bool {
        self.rhythm.stretches.last().is_some_and(|last| last.end - stretch.start <= self.rhythm.bar)
    }

    fn solve(&self, count: usize) -> Table {
        let start = |chord: usize| {
            let candidate = self.chords[chord];
            let cost = cost::opening(candidate) + candidate.entry + self.outside[0][chord];
            vec![Way { cost, chord, rank: 0 }]
        };
        let mut table: Table = vec![(0..self.chords.len()).map(start).collect()];
        for (at, stretch) in self.rhythm.stretches.iter().enumerate().skip(1) {
            let before = &table[at - 1];
            let row =
                (0..self.chords.len()).map(|chord| self.ways(before, at, stretch, chord, count)).collect();
            table.push(row);
        }
        table
    }

    /// The best ways to reach a chord from the stretch before.
    fn ways(
        &self,
        before: &[Vec<Way>],
        at: usize,
        stretch: &Stretch,
        chord: usize,
        count: usize,
    ) -> Vec<Way> {
        let closing = self.closes(stretch);
        let mut best = Vec::with_capacity(count + 1);
        for (from, ways) in before.iter().enumerate() {
            let (a, b) = (self.chords[from], self.chords[chord]);
            let step = cost::step(a, b, from == chord, stretch.strength, closing) + self.outside[at][chord];
            for (rank, way) in ways.iter().enumerate() {
                keep(&mut best, Way { cost: way.cost + step, chord: from, rank }, count);
            }
        }
        best
    }

    /// What a chord costs as the last one.
    fn ending(&self, chord: usize) -> u64 {
        let candidate = self.chords[chord];
        let high = |last: Interval| candidate.tones.iter().skip(2).any(|tone| *tone == last);
        cost::ending(candidate) + if self.last.is_some_and(high) { cost::CLOSING_FIFTH } else { 0 }
    }

    /// The last chords of the best readings, best first: chord and rank with the whole cost.
    fn ranked(&self, table: &Table) -> Vec<Way> {
        let ends = table.last().into_iter().flatten().enumerate().flat_map(|(chord, ways)| {
            let ending = self.ending(chord);
            ways.iter().enumerate().map(move |(rank, way)| Way { cost: way.cost + ending, chord, rank })
        });
        let mut ends: Vec<Way> = ends.collect();
        ends.sort_by_key(|end| end.cost);
        ends
    }

    /// Follows a reading back from its end.
    fn reading(&self, table: &Table, end: Way) -> Option<HarmonicReading> {
        let mut path = Vec::with_capacity(table.len());
        let mut way = end;
        for row in table.iter().rev() {
            path.push(way.chord);
            way = row[way.chord][way.rank];
        }
        path.reverse();
        Some(HarmonicReading { harmony: self.plan(&path)?, cost: end.cost })
    }

    /// The plan of a path; a chord that is kept is one span.
    fn plan(&self, path: &[usize]) -> Option<Harmony> {
        let mut spans: Vec<Span> = Vec::new();
        for (group, stretches) in self.groups(path) {
            let (first, last) = (stretches.first()?, stretches.last()?);
            let onset = self.rhythm.grid.time(first.start).ok()?;
            let duration = self.rhythm.grid.time(last.end - first.start).ok()?;
            spans.push(Span { numeral: self.chords[group].numeral, onset, duration });
        }
        Some(Harmony { spans })
    }

    /// Runs of stretches with the same chord.
    fn groups<'a>(&'a self, path: &'a [usize]) -> impl Iterator<Item = (usize, &'a [Stretch])> {
        let mut done = 0;
        path.chunk_by(|a, b| a == b).map(move |run| {
            let stretches = &self.rhythm.stretches[done..done + run.len()];
            done += run.len();
            (run[0], stretches)
        })
    }
}

/// Keeps a way among the best; of equal ones the first to come stays before.
fn keep(best: &mut Vec<Way>, way: Way, count: usize) {
    let at = best.partition_point(|known| known.cost <= way.cost);
    if at < count {
        best.insert(at, way);
        best.truncate(count);
    }
}

#[cfg(test)]
mod tests;
