//! The rhythm of an added line: long against short and short against long.
//!
//! A pulse takes one of a few *cells*, patterns of attacks. The cells of a span are chosen by
//! dynamic programming over its pulses: a cell costs for every attack it shares with the music it
//! accompanies, for moving fast where that music is fast or resting where it rests, and for
//! idle repetition; a pulse that nobody strikes, or that both strike alike, is all but forbidden.
//! Time is linear in the pulses.
//!
//! Source: contrast of rhythm, Prout, *Fugue*, §§161-163; complementary rhythms, no rhythmic
//! unison, no empty beat: common practice.

use super::chance::Chance;
use super::frame::{Frame, Pulse};

/// A cell: its attacks in twelfths of the pulse. None means that the note before is held on.
type Cell = &'static [i64];

/// Cells of a pulse that divides by two.
const SIMPLE: [Cell; 10] =
    [&[], &[0], &[0, 6], &[6], &[0, 3, 6, 9], &[0, 6, 9], &[0, 3, 6], &[3, 6, 9], &[0, 9], &[6, 9]];
/// Cells of a pulse of three units.
const COMPOUND: [Cell; 12] = [
    &[],
    &[0],
    &[0, 4, 8],
    &[4, 8],
    &[0, 8],
    &[0, 4],
    &[8],
    &[4],
    &[0, 4, 6, 8, 10],
    &[0, 6, 8],
    &[0, 4, 6, 8],
    &[0, 8, 10],
];

/// Costs of the choice, in a table: each line says what it keeps the rhythm from.
mod cost {
    /// A pulse in which nothing is struck.
    pub(super) const EMPTY: i32 = 400;
    /// A pulse of two attacks or more struck alike by another voice, or a second pulse in a row.
    pub(super) const UNISON: i32 = 240;
    /// One attack more or fewer than the complement of the other line asks for.
    pub(super) const DENSITY: i32 = 7;
    /// A third (and each further) pulse of the same cell.
    pub(super) const MONOTONY: i32 = 8;
    /// A change of cell.
    pub(super) const CHANGE: i32 = 3;
    /// A pulse not struck at its beginning.
    pub(super) const SYNCOPATION: i32 = 6;
    /// A second pulse in a row not struck at its beginning.
    pub(super) const LIMPING: i32 = 14;
    /// A second pulse in a row (and each further) held through.
    pub(super) const STALLED: i32 = 60;
    /// A note shorter than the finest, before or after an attack that is forced.
    pub(super) const SCRAP: i32 = 500;
    /// An attack at the finest division.
    pub(super) const FINE: i32 = 2;
}

/// How much a line moves by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Activity {
    /// A partner that moves more than most: it can turn each note of its theme into a third or sixth.
    Brisk,
    /// A partner of equal weight: a countersubject, a link.
    Lively,
    /// A filling voice that stands back.
    Calm,
}

/// What rhythm is wanted.
#[derive(Clone, Copy, Debug)]
pub(super) struct RhythmTask<'a> {
    /// Where the line begins.
    pub(super) from: i64,
    /// Where it ends.
    pub(super) to: i64,
    /// Attacks of all the music it accompanies, in order.
    pub(super) others: &'a [i64],
    /// The same voice by voice: none of them is to be doubled for long.
    pub(super) voices: &'a [Vec<i64>],
    /// Moments at which a note must begin.
    pub(super) forced: &'a [i64],
    /// The shortest note allowed.
    pub(super) finest: i64,
    /// How much it moves.
    pub(super) activity: Activity,
    /// The largest share of all attacks, in percent, that may be struck together.
    pub(super) shared_percent: usize,
}

impl RhythmTask<'_> {
    /// How many attacks of the accompanied music fall within the span.
    fn others_within(&self) -> usize {
        let before = |ticks: i64| self.others.partition_point(|&on| on < ticks);
        before(self.to).saturating_sub(before(self.from))
    }
}

/// The attacks of an added line, with their ends: the span is filled without rests.
pub(super) fn rhythm(frame: &Frame, task: &RhythmTask<'_>, chance: Chance) -> Vec<(i64, i64)> {
    let mut together = 6;
    loop {
        let attacks = best_attacks(frame, task, together, chance);
        let shared = attacks.iter().filter(|on| task.others.binary_search(on).is_ok()).count();
        let all = attacks.len() + task.others_within() - shared;
        if shared * 100 <= task.shared_percent * all || together > 60 {
            let ends = attacks.iter().skip(1).copied().chain([task.to]);
            return attacks.iter().copied().zip(ends).collect();
        }
        together += together / 2;
    }
}

/// One choice: a cell for the pulse, how long the same cell has run, and where it came from.
#[derive(Clone, Copy)]
struct Choice {
    cost: i32,
    run: i32,
    from: usize,
    /// Which voices strike this pulse alike, a bit each.
    alike: u32,
}

fn best_attacks(frame: &Frame, task: &RhythmTask<'_>, together: i32, chance: Chance) -> Vec<i64> {
    let pulses = frame.pulses(task.from, task.to);
    let mut table: Vec<Vec<Option<Choice>>> = Vec::with_capacity(pulses.len());
    for (index, pulse) in pulses.iter().enumerate() {
        let row = cells(pulse).iter().enumerate().map(|(id, cell)| {
            let attacks = attacks_of(cell, pulse, task)?;
            let alike = alike(pulse, &attacks, task);
            let mut here = pulse_cost(pulse, &attacks, task, together) + chance_cost(chance, index, id);
            if alike != 0 && attacks.len() > 1 {
                here += cost::UNISON;
            }
            let best = match table.last() {
                None => Choice { cost: 0, run: 1, from: 0, alike },
                Some(before) => best_before(before, id, alike, cell, cells(&pulses[index - 1]))?,
            };
            Some(Choice { cost: best.cost + here, ..best })
        });
        table.push(row.collect());
    }
    trace(&table, &pulses, task)
}

fn chance_cost(chance: Chance, pulse: usize, cell: usize) -> i32 {
    chance.pick((pulse * 16 + cell) as u64, 5).cast_signed()
}

fn cells(pulse: &Pulse) -> &'static [Cell] {
    if pulse.units == 3 { &COMPOUND } else { &SIMPLE }
}

/// The attacks of a cell within the task's span; `None` if the cell does not fit the pulse.
fn attacks_of(cell: Cell, pulse: &Pulse, task: &RhythmTask<'_>) -> Option<Vec<i64>> {
    let length = pulse.end - pulse.start;
    let mut attacks = Vec::with_capacity(6);
    for &twelfths in cell {
        if length * twelfths % 12 != 0 {
            return None;
        }
        let at = pulse.start + length * twelfths / 12;
        if at >= task.from && at < task.to {
            attacks.push(at);
        }
    }
    let gaps = attacks.windows(2).map(|pair| pair[1] - pair[0]);
    let last = attacks.last().map(|last| pulse.end.min(task.to) - last);
    let too_fine = gaps.chain(last).any(|gap| gap < task.finest);
    for &forced in [task.from].iter().chain(task.forced) {
        let here = forced >= pulse.start.max(task.from) && forced < pulse.end.min(task.to);
        if let (true, Err(place)) = (here, attacks.binary_search(&forced)) {
            attacks.insert(place, forced);
        }
    }
    (!too_fine).then_some(attacks)
}

fn pulse_cost(pulse: &Pulse, attacks: &[i64], task: &RhythmTask<'_>, together: i32) -> i32 {
    let from = task.others.partition_point(|&on| on < pulse.start.max(task.from));
    let to = task.others.partition_point(|&on| on < pulse.end.min(task.to));
    let others = &task.others[from..to.max(from)];
    let shared = attacks.iter().filter(|on| others.binary_search(on).is_ok()).count();
    let mut cost = together * count(shared);
    if attacks.is_empty() && others.is_empty() {
        cost += cost::EMPTY;
    }
    cost += cost::DENSITY * (count(attacks.len()) - wanted(others.len(), task.activity)).abs();
    if attacks.first() != Some(&pulse.start) && pulse.start >= task.from {
        cost += cost::SYNCOPATION;
    }
    let scraps = attacks.windows(2).filter(|pair| pair[1] - pair[0] < task.finest).count();
    cost += cost::SCRAP * count(scraps);
    if attacks.windows(2).any(|pair| pair[1] - pair[0] == task.finest) {
        cost += cost::FINE * count(attacks.len());
    }
    cost
}

/// Which voices strike a pulse alike, a bit each; none if it is not struck.
fn alike(pulse: &Pulse, attacks: &[i64], task: &RhythmTask<'_>) -> u32 {
    if attacks.is_empty() {
        return 0;
    }
    let (start, end) = (pulse.start.max(task.from), pulse.end.min(task.to));
    let mut voices = 0;
    for (bit, voice) in task.voices.iter().enumerate().take(32) {
        let from = voice.partition_point(|&on| on < start);
        let to = voice.partition_point(|&on| on < end);
        if voice[from..to.max(from)] == *attacks {
            voices |= 1 << bit;
        }
    }
    voices
}

/// How many attacks complement so many of the other line.
const fn wanted(others: usize, activity: Activity) -> i32 {
    match (activity, others) {
        (Activity::Brisk, _) | (Activity::Lively, 0) => 3,
        (Activity::Lively, _) | (Activity::Calm, 0) => 2,
        (Activity::Calm, _) => 1,
    }
}

fn count(items: usize) -> i32 {
    i32::try_from(items).unwrap_or(i32::MAX)
}

/// The cheapest way to come to this cell from the pulse before.
fn best_before(
    before: &[Option<Choice>],
    id: usize,
    alike: u32,
    cell: Cell,
    earlier: &[Cell],
) -> Option<Choice> {
    let ways = before.iter().enumerate().filter_map(|(from, choice)| {
        let choice = choice.as_ref()?;
        let same = from == id && earlier[from] == cell;
        let run = if same { choice.run + 1 } else { 1 };
        let limping = cell.first() != Some(&0) && earlier[from].first() != Some(&0);
        let cost = choice.cost
            + if same { cost::MONOTONY * (run - 2).max(0) } else { cost::CHANGE }
            + if alike & choice.alike != 0 { cost::UNISON } else { 0 }
            + if limping { cost::LIMPING } else { 0 }
            + if cell.is_empty() && earlier[from].is_empty() { cost::STALLED } else { 0 };
        Some(Choice { cost, run, from, alike })
    });
    ways.min_by_key(|choice| choice.cost)
}

fn trace(table: &[Vec<Option<Choice>>], pulses: &[Pulse], task: &RhythmTask<'_>) -> Vec<i64> {
    let cheapest = |row: &Vec<Option<Choice>>| {
        let choices =
            row.iter().enumerate().filter_map(|(id, choice)| choice.map(|choice| (choice.cost, id)));
        choices.min().map(|(_, id)| id)
    };
    let mut attacks = Vec::new();
    let mut id = table.last().and_then(cheapest);
    for (row, pulse) in table.iter().zip(pulses).rev() {
        let Some(cell) = id else { break };
        let mut here = attacks_of(cells(pulse)[cell], pulse, task).unwrap_or_default();
        here.reverse();
        attacks.extend(here);
        id = row[cell].map(|choice| choice.from);
    }
    attacks.reverse();
    if attacks.first() != Some(&task.from) {
        attacks.insert(0, task.from);
    }
    attacks
}

#[cfg(test)]
mod tests;
