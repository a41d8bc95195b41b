//! The search for the pitches of an added line whose rhythm is settled.
//!
//! The line is a path through the *slots* of its rhythm. What a note costs depends on the note
//! before (how it is reached), the note after (how it is left: that is what makes a dissonance a
//! passing note or a suspension) and the music around it; so the states of the search are pairs of
//! neighbouring notes, and the cheapest path is found exactly by dynamic programming:
//!
//! ```text
//! best(i, c, n) = min over p of best(i - 1, p, c) + melody(p, c, n) + against(i, p, c, n)
//!                 + motion(i, c, n) + unary(i + 1, n)
//! ```
//!
//! A line may be judged in several *settings* at once: a countersubject is heard against answer
//! and subject, above and below. Time grows with the slots and with the square of the palette times
//! the notes within an octave; space with the slots and the square of the palette.

use super::chance::Chance;
use super::harmony_track::HarmonyTrack;
use super::hearing::{Hearing, Setting};
use super::strand::{Strand, Tone};
use super::taste::{FORBIDDEN, Melodic, UNWANTED, leap_cost, melodic_cost};
use crate::pitch::Pitch;
use std::collections::BTreeSet;

/// What line is wanted.
#[derive(Debug)]
pub(super) struct MelodyTask<'a> {
    /// When each note begins and ends, in order and without gaps.
    pub(super) slots: &'a [(i64, i64)],
    /// The note that the same voice plays right before.
    pub(super) before: Option<Pitch>,
    /// The note that the same voice plays right after.
    pub(super) after: Option<Pitch>,
    /// The pitches to choose from.
    pub(super) palette: &'a [Pitch],
    /// Keys and chords over time.
    pub(super) track: &'a HarmonyTrack,
    /// Where the line is heard.
    pub(super) settings: &'a [Setting<'a>],
    /// Notes ruled out by what a review found: onset and pitch.
    pub(super) banned: &'a BTreeSet<(i64, Pitch)>,
    /// Repeatable variety.
    pub(super) chance: Chance,
}

/// A line and what it costs.
#[derive(Clone, Debug)]
pub(super) struct Melody {
    pub(super) strand: Strand,
    pub(super) cost: i32,
}

impl Melody {
    /// Whether nothing in it is forbidden.
    pub(super) const fn is_lawful(&self) -> bool {
        self.cost < FORBIDDEN
    }
}

/// The cheapest line; `None` if the palette is empty or there are no slots.
pub(super) fn melody(task: &MelodyTask<'_>) -> Option<Melody> {
    if task.slots.is_empty() || task.palette.is_empty() {
        return None;
    }
    Search::new(task).run()
}

/// A note that is no choice: what stands before the first slot.
const BEFORE: usize = usize::MAX - 1;
/// A note that is no choice: what stands after the last slot.
const AFTER: usize = usize::MAX;

/// Steps (of notes) that a leap may reach: an octave.
const REACH: i32 = 7;

struct Search<'a> {
    task: &'a MelodyTask<'a>,
    hearings: Vec<Hearing>,
    /// Unary costs, a row a slot.
    unary: Vec<Vec<i32>>,
    /// What each palette note is in the key of each slot.
    melodic: Vec<Vec<Melodic>>,
}

/// The best way to a pair of notes. Costs stop at their limit: a way that would pass it is none.
#[derive(Clone, Copy)]
struct Best {
    cost: i32,
    before: usize,
}

const UNREACHED: Best = Best { cost: i32::MAX, before: BEFORE };

impl<'a> Search<'a> {
    fn new(task: &'a MelodyTask<'a>) -> Self {
        let hearings: Vec<Hearing> = task
            .settings
            .iter()
            .map(|setting| Hearing::of(setting, task.slots, task.palette, task.track))
            .collect();
        let melodic: Vec<Vec<Melodic>> = task
            .slots
            .iter()
            .map(|slot| task.palette.iter().map(|&pitch| task.track.melodic(slot.0, pitch)).collect())
            .collect();
        let mut search = Self { task, hearings, unary: Vec::new(), melodic };
        search.unary = (0..task.slots.len()).map(|slot| search.unary_row(slot)).collect();
        search
    }

    fn unary_row(&self, slot: usize) -> Vec<i32> {
        let onset = self.task.slots[slot].0;
        let row = self.task.palette.iter().enumerate().map(|(note, &pitch)| {
            let mut cost: i32 = self.hearings.iter().map(|hearing| hearing.unary(slot, note)).sum();
            if !self.melodic[slot][note].in_key {
                cost += FORBIDDEN;
            }
            if self.task.banned.contains(&(onset, pitch)) {
                cost += FORBIDDEN;
            }
            cost + self.task.chance.pick(slot as u64 * 1000 + note as u64, 6).cast_signed()
        });
        row.collect()
    }

    fn run(&self) -> Option<Melody> {
        let width = self.task.palette.len();
        let mut tables: Vec<Vec<Best>> = Vec::with_capacity(self.task.slots.len());
        tables.push(self.first_table(width));
        for slot in 1..self.task.slots.len() {
            let table = self.next_table(slot, width, &tables[slot - 1]);
            tables.push(table);
        }
        self.trace(&tables, width)
    }

    /// Pairs (before, first note): the first index is the single note outside.
    fn first_table(&self, width: usize) -> Vec<Best> {
        (0..width)
            .map(|note| {
                let mut cost = self.unary[0][note];
                if self.task.before.is_some() {
                    cost += self.step_cost(0, BEFORE, note);
                }
                Best { cost, before: BEFORE }
            })
            .collect()
    }

    fn next_table(&self, slot: usize, width: usize, before: &[Best]) -> Vec<Best> {
        let mut table = vec![UNREACHED; width * width];
        let first = slot == 1;
        for current in 0..width {
            let ways = self.ways(slot, current, width);
            for earlier in self.earlier_notes(first, current, width) {
                let state = before[if first { current } else { earlier * width + current }];
                if state.cost == i32::MAX {
                    continue;
                }
                for &(next, way) in &ways {
                    let here = way + self.note_cost(slot - 1, earlier, current, next);
                    let cost = state.cost.saturating_add(here);
                    let best = &mut table[current * width + next];
                    if cost < best.cost {
                        *best = Best { cost, before: earlier };
                    }
                }
            }
        }
        table
    }

    /// Where a note may go, and what the step and the note reached cost: the same whatever came before.
    fn ways(&self, slot: usize, current: usize, width: usize) -> Vec<(usize, i32)> {
        self.reachable(current, width)
            .filter(|&next| self.unary[slot][next] < FORBIDDEN)
            .map(|next| (next, self.unary[slot][next] + self.step_cost(slot, current, next)))
            .collect()
    }

    fn earlier_notes(&self, first: bool, current: usize, width: usize) -> std::ops::Range<usize> {
        if first { BEFORE..AFTER } else { self.reachable(current, width) }
    }

    /// The notes within an octave of a note: the palette is in order of staff steps.
    fn reachable(&self, note: usize, width: usize) -> std::ops::Range<usize> {
        let step = self.task.palette[note].staff_step();
        let from = self.task.palette[..note].partition_point(|pitch| pitch.staff_step() < step - REACH);
        let to =
            note + self.task.palette[note..width].partition_point(|pitch| pitch.staff_step() <= step + REACH);
        from..to
    }

    fn pitch(&self, note: usize) -> Option<Pitch> {
        match note {
            BEFORE => self.task.before,
            AFTER => self.task.after,
            note => self.task.palette.get(note).copied(),
        }
    }

    /// Going from one note to the next, which begins with `slot` (or after the last one).
    fn step_cost(&self, slot: usize, from: usize, to: usize) -> i32 {
        let (Some(left), Some(reached)) = (self.pitch(from), self.pitch(to)) else { return 0 };
        let motion: i32 = self.hearings.iter().map(|hearing| hearing.motion(slot, left, reached)).sum();
        let accents: i32 = match slot.checked_sub(1) {
            Some(before) => {
                self.hearings.iter().map(|hearing| hearing.accents((before, left), (slot, reached))).sum()
            }
            None => 0,
        };
        leap_cost(left, reached) + motion + accents
    }

    /// A note between its neighbours: how it is approached and left.
    fn note_cost(&self, slot: usize, before: usize, note: usize, after: usize) -> i32 {
        let current = self.task.palette[note];
        let (earlier, later) = (self.pitch(before), self.pitch(after));
        let against: i32 =
            self.hearings.iter().map(|hearing| hearing.dissonance(slot, note, current, earlier, later)).sum();
        melodic_cost(self.melodic[slot][note], earlier, current, later)
            + against
            + self.accent_cost(slot, earlier, later)
    }

    /// Perfect consonances on successive pulses with the note between.
    fn accent_cost(&self, slot: usize, earlier: Option<Pitch>, later: Option<Pitch>) -> i32 {
        let (Some(earlier), Some(later), true) = (earlier, later, slot > 0) else { return 0 };
        self.hearings.iter().map(|hearing| hearing.accents((slot - 1, earlier), (slot + 1, later))).sum()
    }

    fn trace(&self, tables: &[Vec<Best>], width: usize) -> Option<Melody> {
        let last = tables.len() - 1;
        let (cost, mut earlier, mut note) = self.best_end(&tables[last], last, width)?;
        let mut notes = vec![note];
        for slot in (1..=last).rev() {
            let state = tables[slot][earlier * width + note];
            note = earlier;
            earlier = state.before;
            notes.push(note);
        }
        notes.reverse();
        let tones = notes.iter().zip(self.task.slots).map(|(&note, &(on, off))| Tone {
            pitch: self.task.palette[note],
            on,
            off,
        });
        Some(Melody { strand: Strand::of_tones(tones.collect()), cost })
    }

    /// The cheapest end: its cost, the last note but one and the last note.
    fn best_end(&self, table: &[Best], last: usize, width: usize) -> Option<(i32, usize, usize)> {
        let ends =
            table.iter().enumerate().filter(|(_, state)| state.cost != i32::MAX).map(|(index, state)| {
                let (earlier, note) =
                    if last == 0 { (BEFORE, index) } else { (index / width, index % width) };
                let mut here = self.note_cost(last, earlier, note, AFTER);
                if self.task.after.is_some() {
                    here += self.step_cost(last + 1, note, AFTER);
                } else if self.task.track.is_restless(self.task.slots[last].0, self.task.palette[note]) {
                    here += UNWANTED;
                }
                (state.cost.saturating_add(here), earlier, note)
            });
        ends.min_by_key(|&(cost, earlier, note)| (cost, note, earlier))
    }
}

#[cfg(test)]
mod tests;
