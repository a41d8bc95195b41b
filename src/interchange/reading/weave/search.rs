//! The cheapest way to share notes out to voices.
//!
//! From one onset to the next the cheapest ways are followed on, each with the last note of every voice;
//! of two that lead to the same last notes the cheaper.

use super::MAX_LINES;
use super::cost::Costs;
use std::collections::BTreeSet;
use std::ops::Range;

/// How many ways are followed on: with four times as many nothing changes in the fugues this was tried on.
const WAYS: usize = 64;
/// In how many ways a chord at most is given to voices after one way: more than four notes have in six voices. Full
/// chords have millions, of which these, the notes in order from the top, are as good as most.
const MOST: usize = 512;
/// A way so much dearer than the cheapest is given up.
const MARGIN: i32 = 80;
/// Notes of fuller chords, or in fuller music, do not cross one another.
const CROSSING_CHORD: usize = 4;
const CROSSING_LINES: usize = 6;

/// A note crosses one that another voice holds.
const CROSSED: i32 = 8;
/// A note is left out, where there are more than voices.
const LEFT_OUT: i32 = 60;
/// A note that is held is cut.
const CUT: i32 = 30;
/// A voice falls silent in the moment in which another begins: more likely it is the same.
const HANDED_OVER: i32 = 12;

/// No note, no step before, no voice.
const NONE: u32 = u32::MAX;

/// The last note of each voice.
type Lasts = [u32; MAX_LINES];

/// One way to share out the notes so far.
#[derive(Clone, Copy, Debug)]
struct Way {
    lasts: Lasts,
    cost: i32,
    /// The step that gave the last note to a voice.
    step: u32,
}

/// A note given to a voice: the step before, and the voice.
#[derive(Clone, Copy, Debug)]
struct Step(u32, Option<u8>);

/// The voice of each note, counted from the top; none for a note that finds none.
pub(super) fn search(costs: &Costs, count: usize) -> Vec<Option<usize>> {
    let mut ways = vec![Way { lasts: [NONE; MAX_LINES], cost: 0, step: NONE }];
    let mut steps: Vec<Step> = Vec::new();
    let mut from = 0;
    for notes in costs.notes.chunk_by(|one, next| one.onset == next.onset) {
        let notes = from..from + notes.len();
        from = notes.end;
        let mut found = Vec::new();
        for way in &ways {
            let most = found.len() + MOST;
            let chord = Chord { costs, count, notes: notes.clone(), before: way, most };
            chord.place(notes.start, *way, &mut found);
        }
        ways = cheapest(found);
        for way in &mut ways {
            record(way, notes.clone(), &mut steps);
        }
    }
    let mut placed = vec![None; costs.notes.len()];
    let mut step = ways.first().map_or(NONE, |way| way.step);
    for line in placed.iter_mut().rev() {
        let Some(&Step(before, given)) = steps.get(step as usize) else { break };
        (*line, step) = (given.map(usize::from), before);
    }
    placed
}

/// What it costs that each note is of the voice given.
pub(super) fn price(costs: &Costs, count: usize, lines: &[usize]) -> i64 {
    let mut way = Way { lasts: [NONE; MAX_LINES], cost: 0, step: NONE };
    let (mut total, mut from) = (0, 0);
    for notes in costs.notes.chunk_by(|one, next| one.onset == next.onset) {
        let notes = from..from + notes.len();
        from = notes.end;
        let before = Way { cost: 0, ..way };
        let chord = Chord { costs, count, notes: notes.clone(), before: &before, most: 1 };
        way = notes.fold(before, |way, note| chord.given(note, lines[note], way));
        total += i64::from(way.cost + HANDED_OVER * chord.handed_over(&way.lasts));
    }
    total
}

/// The cheapest ways, each of other last notes, their costs counted from the cheapest of all.
fn cheapest(mut found: Vec<Way>) -> Vec<Way> {
    found.sort_unstable_by_key(|way| (way.cost, way.lasts));
    let least = found.first().map_or(0, |way| way.cost);
    let mut seen = BTreeSet::new();
    found.retain(|way| way.cost <= least + MARGIN && seen.len() < WAYS && seen.insert(way.lasts));
    for way in &mut found {
        way.cost -= least;
    }
    found
}

/// Notes down to which voices a way gave the notes of a chord.
fn record(way: &mut Way, chord: Range<usize>, steps: &mut Vec<Step>) {
    for note in chord {
        let line = way.lasts.iter().position(|&last| last as usize == note);
        steps.push(Step(way.step, line.and_then(|line| u8::try_from(line).ok())));
        way.step = index(steps.len() - 1);
    }
}

fn index(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(NONE)
}

/// The note of an index, if it is one.
fn some(last: u32) -> Option<usize> {
    (last != NONE).then_some(last as usize)
}

/// Notes that begin together, after one way to share out those before.
struct Chord<'a> {
    costs: &'a Costs,
    count: usize,
    notes: Range<usize>,
    before: &'a Way,
    /// When so many ways are found, it is enough.
    most: usize,
}

impl Chord<'_> {
    /// Gives this note and those below it to voices in all ways.
    fn place(&self, note: usize, way: Way, found: &mut Vec<Way>) {
        if found.len() >= self.most {
            return;
        }
        if note == self.notes.end {
            found.push(Way { cost: way.cost + HANDED_OVER * self.handed_over(&way.lasts), ..way });
            return;
        }
        let open: Vec<usize> = self.open(&way.lasts).collect();
        let free = |&line: &usize| !self.is_held(way.lasts[line], note);
        for line in open.iter().copied().filter(free) {
            self.give(note, line, way, found);
        }
        if open.iter().copied().filter(free).count() >= self.notes.end - note {
            return;
        }
        let cut = Way { cost: way.cost + CUT, ..way };
        for line in open.iter().copied().filter(|line| self.outlasts(note, way.lasts[*line])) {
            self.give(note, line, cut, found);
        }
        self.place(note + 1, Way { cost: way.cost + LEFT_OUT, ..way }, found);
    }

    /// The voices that have no note of the chord yet.
    fn open<'a>(&'a self, lasts: &'a Lasts) -> impl Iterator<Item = usize> + 'a {
        let taken = |line: &usize| some(lasts[*line]).is_some_and(|last| last >= self.notes.start);
        let ordered = self.notes.len() > CROSSING_CHORD || self.count > CROSSING_LINES;
        let lowest = (0..self.count).rev().find(taken).filter(|_| ordered);
        (lowest.map_or(0, |line| line + 1)..self.count).filter(move |line| !taken(line))
    }

    /// Whether a note sounds on when another begins.
    fn is_held(&self, last: u32, note: usize) -> bool {
        some(last).is_some_and(|last| self.costs.notes[last].end > self.costs.notes[note].onset)
    }

    /// Whether a note ends after one that is held.
    fn outlasts(&self, note: usize, last: u32) -> bool {
        self.is_held(last, note)
            && some(last).is_some_and(|last| self.costs.notes[last].end < self.costs.notes[note].end)
    }

    fn give(&self, note: usize, line: usize, way: Way, found: &mut Vec<Way>) {
        self.place(note + 1, self.given(note, line, way), found);
    }

    /// The way on with a note in a voice.
    fn given(&self, note: usize, line: usize, mut way: Way) -> Way {
        let last = some(way.lasts[line]);
        if !self.costs.is_bound(last, note) {
            way.cost += self.costs.go_on(last, note, line) + CROSSED * self.crossed(note, line, &way.lasts);
        }
        way.lasts[line] = index(note);
        way
    }

    /// How many notes of other voices that sound a note crosses in a voice.
    fn crossed(&self, note: usize, line: usize, lasts: &Lasts) -> i32 {
        let height = self.costs.notes[note].height;
        let sounding = (0..self.count).filter(|&other| other != line && self.is_held(lasts[other], note));
        let crossed = sounding.filter(|&other| {
            let held = some(lasts[other]).map_or(height, |last| self.costs.notes[last].height);
            if other < line { height > held } else { height < held }
        });
        i32::try_from(crossed.count()).unwrap_or(i32::MAX)
    }

    /// How many voices fall silent while as many others begin.
    fn handed_over(&self, lasts: &Lasts) -> i32 {
        let onset = self.costs.notes[self.notes.start].onset;
        let (mut stop, mut begin) = (0, 0);
        for (now, before) in lasts.iter().zip(&self.before.lasts) {
            let end = some(*before).map(|last| self.costs.notes[last].end);
            stop += i32::from(now == before && end == Some(onset));
            begin += i32::from(now != before && end.is_none_or(|end| end < onset));
        }
        stop.min(begin)
    }
}

#[cfg(test)]
mod tests;
