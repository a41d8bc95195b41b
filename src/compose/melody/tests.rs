//! The search against a plain one that tries every line, and what it must respect.

use super::*;
use crate::compose::fixtures::{frame, pitch, strand, track, track_with};
use crate::compose::hearing::{Companion, Side};
use proptest::prelude::*;

/// The notes from the one to the other in the key of C major, with F sharp.
fn palette(texts: &[&str]) -> Vec<Pitch> {
    texts.iter().map(|text| pitch(text)).collect()
}

const NOTES: [&str; 6] = ["B3", "C4", "E4", "F4", "F#4", "G4"];

/// What a whole line costs: the same costs as in the search, summed over its notes.
fn price(search: &Search<'_>, line: &[usize]) -> i64 {
    let last = line.len() - 1;
    let mut cost = 0_i64;
    for (slot, &note) in line.iter().enumerate() {
        let before = if slot == 0 { BEFORE } else { line[slot - 1] };
        let after = line.get(slot + 1).copied().unwrap_or(AFTER);
        cost += i64::from(search.unary[slot][note]);
        cost += i64::from(search.step_cost(slot, before, note));
        cost += i64::from(search.note_cost(slot, before, note, after));
    }
    cost += i64::from(search.step_cost(last + 1, line[last], AFTER));
    let task = search.task;
    if task.after.is_none() && task.track.is_restless(task.slots[last].0, task.palette[line[last]]) {
        cost += i64::from(UNWANTED);
    }
    cost
}

/// Every line of so many notes out of so many.
fn all_lines(notes: usize, width: usize) -> Vec<Vec<usize>> {
    (0..notes).fold(vec![Vec::new()], |lines, _| {
        let longer = |line: Vec<usize>| (0..width).map(move |note| [line.clone(), vec![note]].concat());
        lines.into_iter().flat_map(longer).collect()
    })
}

/// The cheapest price of all lines.
fn cheapest(task: &MelodyTask<'_>) -> i64 {
    let search = Search::new(task);
    let lines = all_lines(task.slots.len(), task.palette.len());
    lines.iter().map(|line| price(&search, line)).min().unwrap()
}

/// The indices of a found line in the palette.
fn indices(task: &MelodyTask<'_>, found: &Melody) -> Vec<usize> {
    let tones = found.strand.tones().iter();
    tones.map(|tone| task.palette.iter().position(|&pitch| pitch == tone.pitch).unwrap()).collect()
}

/// Slots of quarters in a frame of 4/4, where a quarter has 8 ticks.
fn quarters(count: i64) -> Vec<(i64, i64)> {
    (0..count).map(|slot| (8 * slot, 8 * slot + 8)).collect()
}

/// A task without company.
struct Alone {
    slots: Vec<(i64, i64)>,
    palette: Vec<Pitch>,
    track: HarmonyTrack,
    banned: BTreeSet<(i64, Pitch)>,
}

impl Alone {
    fn new(notes: i64) -> Self {
        let track = track(&frame("4/4"), "C major");
        Self { slots: quarters(notes), palette: palette(&NOTES), track, banned: BTreeSet::new() }
    }

    fn task(&self) -> MelodyTask<'_> {
        MelodyTask {
            slots: &self.slots,
            before: None,
            after: None,
            palette: &self.palette,
            track: &self.track,
            settings: &[],
            banned: &self.banned,
            chance: Chance::new(0),
        }
    }
}

fn text(found: &Melody) -> Vec<String> {
    found.strand.tones().iter().map(|tone| tone.pitch.to_string()).collect()
}

#[test]
fn nothing_is_found_without_slots_or_pitches() {
    let alone = Alone::new(2);
    assert!(melody(&MelodyTask { slots: &[], ..alone.task() }).is_none());
    assert!(melody(&MelodyTask { palette: &[], ..alone.task() }).is_none());
}

#[test]
fn the_tones_fill_the_slots() {
    let alone = Alone::new(4);
    let found = melody(&alone.task()).unwrap();
    let slots: Vec<_> = found.strand.tones().iter().map(|tone| (tone.on, tone.off)).collect();
    assert_eq!(slots, alone.slots);
    assert!(found.is_lawful());
}

#[test]
fn banned_notes_are_avoided() {
    let mut alone = Alone::new(3);
    let free = melody(&alone.task()).unwrap();
    let tone = free.strand.tones()[1];
    alone.banned.insert((tone.on, tone.pitch));
    let found = melody(&alone.task()).unwrap();
    assert_ne!(found.strand.tones()[1].pitch, tone.pitch);
    assert!(found.cost >= free.cost && found.is_lawful());
}

#[test]
fn a_line_of_nothing_but_banned_notes_is_not_lawful() {
    let mut alone = Alone::new(1);
    alone.banned.extend(alone.palette.iter().map(|&pitch| (0, pitch)));
    assert!(melody(&alone.task()).is_none_or(|found| !found.is_lawful()));
    alone.slots = quarters(2);
    assert!(melody(&alone.task()).is_none_or(|found| !found.is_lawful()));
}

#[test]
fn notes_foreign_to_the_key_are_left_out() {
    let alone = Alone::new(4);
    let found = melody(&MelodyTask { before: Some(pitch("G4")), ..alone.task() }).unwrap();
    assert!(!text(&found).contains(&"F#4".to_owned()), "{:?}", text(&found));
}

#[test]
fn the_notes_outside_draw_the_line_towards_them() {
    let alone = Alone::new(2);
    let low = MelodyTask { before: Some(pitch("A3")), after: Some(pitch("D4")), ..alone.task() };
    assert_eq!(text(&melody(&low).unwrap()), ["B3", "C4"]);
    let high = MelodyTask { before: Some(pitch("A4")), after: Some(pitch("E4")), ..alone.task() };
    assert_eq!(text(&melody(&high).unwrap()), ["G4", "F4"]);
}

#[test]
fn a_free_end_does_not_stop_on_the_leading_note() {
    let alone = Alone { palette: palette(&["B3", "C4"]), ..Alone::new(1) };
    let found = melody(&MelodyTask { before: Some(pitch("A3")), ..alone.task() }).unwrap();
    assert_eq!(text(&found), ["C4"]);
    let going_on = MelodyTask { before: Some(pitch("A3")), after: Some(pitch("C4")), ..alone.task() };
    assert_eq!(text(&melody(&going_on).unwrap()), ["B3"]);
}

#[test]
fn seeds_choose_between_lines_that_are_nearly_as_good() {
    let alone = Alone { palette: palette(&["C4", "D4", "E4", "F4", "G4", "A4"]), ..Alone::new(5) };
    let lines: BTreeSet<Vec<String>> = (0..20)
        .map(|seed| text(&melody(&MelodyTask { chance: Chance::new(seed), ..alone.task() }).unwrap()))
        .collect();
    assert!(lines.len() > 1, "{lines:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn prop_the_search_finds_the_cheapest_of_all_lines(
        seed: u64,
        lengths in prop::collection::vec(1..4_i64, 1..5),
        below in prop::collection::vec(0..7_usize, 6),
        above in prop::collection::vec(0..7_usize, 6),
        outside in (prop::option::of(0..6_usize), prop::option::of(0..6_usize)),
        banned in prop::collection::vec((0..4_usize, 0..6_usize), 0..4),
        (invertible, judged, planned) in any::<(bool, bool, bool)>(),
    ) {
        let frame = frame("4/4");
        let ends = lengths.iter().scan(0, |end, length| { *end += 4 * length; Some(*end) });
        let ends: Vec<i64> = ends.collect();
        let slots: Vec<(i64, i64)> = [0].into_iter().chain(ends.iter().copied()).zip(ends.iter().copied()).collect();
        let line = |octave: &str, notes: &[usize]| {
            let names = ["C", "D", "E", "F", "G", "A", "B"];
            let tokens: Vec<String> = notes.iter().map(|&note| format!("{}{octave}:3/16", names[note])).collect();
            strand(&frame, &tokens.join(" "))
        };
        let (low, high) = (line("3", &below), line("5", &above));
        let companion = |strand, side| Companion { strand, side, room: Some(12) };
        let setting = |companions| Setting { companions, range: (58, 68), invertible, judged, pressure: 2 };
        let settings = [
            setting(vec![companion(&low, Side::Below), companion(&high, Side::Above)]),
            setting(vec![companion(&high, Side::Above)]),
        ];
        let palette = palette(&NOTES);
        let track = if planned { track_with(&frame, "C major", "I:1/2 V7:1/2 I:1/2") } else { track(&frame, "C major") };
        let banned = banned.iter().filter_map(|&(slot, note)| Some((slots.get(slot)?.0, palette[note]))).collect();
        let task = MelodyTask {
            slots: &slots,
            before: outside.0.map(|note| palette[note]),
            after: outside.1.map(|note| palette[note]),
            palette: &palette,
            track: &track,
            settings: &settings,
            banned: &banned,
            chance: Chance::new(seed),
        };
        let cheapest = cheapest(&task);
        let found = melody(&task);
        if cheapest < i64::from(FORBIDDEN) {
            let found = found.unwrap();
            prop_assert_eq!(i64::from(found.cost), cheapest);
            prop_assert_eq!(price(&Search::new(&task), &indices(&task, &found)), cheapest);
        } else {
            prop_assert!(found.is_none_or(|found| !found.is_lawful()));
        }
    }
}
