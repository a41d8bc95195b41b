//! The search against all ways there are, and an exposition of ours found again from its notes.

use super::super::Sign;
use super::*;
use crate::interchange::fixture;
use crate::line::Note;
use crate::pitch::Pitch;
use crate::time::Time;

type Placed = Vec<Option<usize>>;

fn costs(mut notes: Vec<Note>, count: usize) -> Costs {
    notes.sort_by_key(|note| (note.onset(), std::cmp::Reverse(note.pitch().height())));
    Costs::of(&notes, |_| [Sign { staff: 1, number: None, bar: 0 }; 2], count)
}

/// A way from its end: which voice each note was given to.
struct Whole<'a> {
    costs: &'a Costs,
    count: usize,
    placed: &'a [Option<usize>],
}

impl Whole<'_> {
    /// What it costs by definition; none if it is no way.
    fn total(&self) -> Option<i32> {
        let notes = &self.costs.notes;
        let mut total = 0;
        for note in 0..notes.len() {
            let together = |other: &usize| notes[*other].onset == notes[note].onset;
            let chord = (0..notes.len()).find(together)?..(0..notes.len()).rfind(together)? + 1;
            total += self.price(note, &chord)?;
            if note + 1 == chord.end {
                total += self.handed_over(&chord);
            }
        }
        Some(total)
    }

    fn last(&self, until: usize, line: usize) -> Option<usize> {
        (0..until).rfind(|&note| self.placed[note] == Some(line))
    }

    fn sounds(&self, held: usize, note: usize) -> bool {
        self.costs.notes[held].end > self.costs.notes[note].onset
    }

    /// None if two notes of a chord share a voice, or one is cut or left out though a voice is free.
    fn price(&self, note: usize, chord: &Range<usize>) -> Option<i32> {
        let lasts: Placed = (0..self.count).map(|line| self.last(note, line)).collect();
        let is_free = |last: &&Option<usize>| last.is_none_or(|last| !self.sounds(last, note));
        let is_scarce = lasts.iter().filter(is_free).count() < chord.end - note;
        let Some(line) = self.placed[note] else { return is_scarce.then_some(LEFT_OUT) };
        let cut = lasts[line].filter(|&last| self.sounds(last, note));
        let outlasts = |held: usize| self.costs.notes[held].end < self.costs.notes[note].end;
        if cut.is_some_and(|held| !is_scarce || chord.contains(&held) || !outlasts(held)) {
            return None;
        }
        let is_bound = self.costs.is_bound(lasts[line], note);
        let going_on = if is_bound { 0 } else { self.costs.go_on(lasts[line], note, line) };
        Some(going_on + CROSSED * self.crossed(&lasts, note, line) + cut.map_or(0, |_| CUT))
    }

    fn crossed(&self, lasts: &[Option<usize>], note: usize, line: usize) -> i32 {
        let crosses = |(other, last): &(usize, &Option<usize>)| {
            let held = last.filter(|&held| *other != line && self.sounds(held, note));
            let above = held.map_or(0, |held| self.costs.notes[held].height - self.costs.notes[note].height);
            if *other < line { above < 0 } else { above > 0 }
        };
        i32::try_from(lasts.iter().enumerate().filter(crosses).count()).unwrap()
    }

    fn handed_over(&self, chord: &Range<usize>) -> i32 {
        let onset = self.costs.notes[chord.start].onset;
        let begins = |line: &usize| self.placed[chord.clone()].contains(&Some(*line));
        let end = |line: usize| self.last(chord.start, line).map(|last| self.costs.notes[last].end);
        let stop = (0..self.count).filter(|line| !begins(line) && end(*line) == Some(onset)).count();
        let begin = (0..self.count).filter(|line| begins(line) && end(*line).is_none_or(|end| end < onset));
        HANDED_OVER * i32::try_from(stop.min(begin.count())).unwrap()
    }
}

fn total(costs: &Costs, count: usize, placed: &[Option<usize>]) -> Option<i32> {
    Whole { costs, count, placed }.total()
}

/// The least cost of all ways to go on from these.
fn least(costs: &Costs, count: usize, placed: &mut Placed) -> Option<i32> {
    if placed.len() == costs.notes.len() {
        return total(costs, count, placed);
    }
    let mut costs_of = Vec::new();
    for line in (0..count).map(Some).chain([None]) {
        placed.push(line);
        costs_of.extend(least(costs, count, placed));
        placed.pop();
    }
    costs_of.into_iter().min()
}

/// Sixty pieces of six notes in one to three voices, drawn by a congruence.
#[test]
fn all_small_pieces_are_shared_out_as_cheaply_as_can_be() {
    let mut seed = 1_u64;
    let mut draw = |below: i64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(seed >> 33).unwrap() % below
    };
    let pitches = ["C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5"].map(|text| text.parse::<Pitch>().unwrap());
    let eighths = |count| Time::new(count, 8).unwrap();
    for piece in 0..60 {
        let mut note = || {
            let pitch = pitches[usize::try_from(draw(8)).unwrap()];
            Note::new(pitch, eighths(draw(8)), eighths(1 + draw(4)))
        };
        let (costs, count) = (costs((0..6).map(|_| note()).collect(), 1 + piece % 3), 1 + piece % 3);
        let found = total(&costs, count, &search(&costs, count));
        assert_eq!(found, least(&costs, count, &mut Vec::new()), "{:?}", costs.notes);
    }
}

#[test]
fn voices_of_an_exposition_are_found_again_from_its_notes() {
    let exposition = fixture::exposition();
    let parts = exposition.score().parts();
    let costs = costs(parts.iter().flat_map(|part| part.line.notes().to_vec()).collect(), parts.len());
    let found = search(&costs, parts.len());
    for (line, part) in parts.iter().enumerate() {
        let voice = costs.notes.iter().zip(&found).filter(|(_, given)| **given == Some(line));
        let voice: Vec<_> = voice.map(|(note, _)| (note.onset, note.height)).collect();
        let written: Vec<_> =
            part.line.notes().iter().map(|note| (note.onset(), note.pitch().height())).collect();
        assert_eq!(voice, written, "{}", part.voice.name());
    }
}

/// In their order, and in the reverse of it, where entries cross other voices: the definition once let them do so for
/// nothing.
#[cfg(feature = "musicxml")]
#[test]
fn price_of_given_lines_is_their_cost_by_definition() {
    let exposition = fixture::exposition();
    let parts = exposition.score().parts();
    let costs = costs(parts.iter().flat_map(|part| part.line.notes().to_vec()).collect(), parts.len());
    let found: Vec<usize> = search(&costs, parts.len()).into_iter().flatten().collect();
    assert_eq!(found.len(), costs.notes.len());
    let reversed: Vec<usize> = found.iter().map(|line| parts.len() - 1 - line).collect();
    for lines in [found, reversed] {
        let placed: Placed = lines.iter().copied().map(Some).collect();
        let total = total(&costs, parts.len(), &placed).map(i64::from);
        assert_eq!(Some(price(&costs, parts.len(), &lines, 0)), total);
    }
}
