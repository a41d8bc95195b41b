//! Rhythms against given attacks; in the frames of these tests a quarter has 8 ticks.

use super::*;
use crate::compose::fixtures::frame;
use proptest::prelude::*;

const QUARTER: i64 = 8;
const EIGHTH: i64 = 4;
const SIXTEENTH: i64 = 2;

/// A rhythm wanted in bars of a meter, against one other voice.
#[derive(Clone, Copy)]
struct Wanted<'a> {
    meter: &'a str,
    to: i64,
    other: &'a [i64],
    forced: &'a [i64],
    activity: Activity,
    shared_percent: usize,
}

/// Four pulses of 4/4 and a bit against one other voice.
fn against(other: &[i64]) -> Wanted<'_> {
    let activity = Activity::Lively;
    Wanted { meter: "4/4", to: 8 * QUARTER, other, forced: &[], activity, shared_percent: 45 }
}

impl Wanted<'_> {
    fn notes(self, seed: u64) -> Vec<(i64, i64)> {
        self.notes_from(0, seed)
    }

    fn notes_from(self, from: i64, seed: u64) -> Vec<(i64, i64)> {
        let voices = [self.other.to_vec()];
        let task = RhythmTask {
            from,
            to: self.to,
            others: self.other,
            voices: &voices,
            forced: self.forced,
            finest: SIXTEENTH,
            activity: self.activity,
            shared_percent: self.shared_percent,
        };
        rhythm(&frame(self.meter), &task, Chance::new(seed))
    }

    fn attacks(self, seed: u64) -> Vec<i64> {
        self.notes(seed).iter().map(|note| note.0).collect()
    }
}

/// Attacks of a voice from durations in ticks, repeated up to a moment.
fn attacks(durations: &[i64], to: i64) -> Vec<i64> {
    let mut at = 0;
    let mut found = Vec::new();
    for duration in durations.iter().cycle() {
        if at >= to {
            break;
        }
        found.push(at);
        at += duration;
    }
    found
}

/// Asserts that notes fill a span in order, none without length.
fn assert_fills(notes: &[(i64, i64)], from: i64, to: i64) {
    assert_eq!((notes[0].0, notes[notes.len() - 1].1), (from, to), "{notes:?}");
    assert!(notes.windows(2).all(|pair| pair[0].1 == pair[1].0), "{notes:?}");
    assert!(notes.iter().all(|note| note.0 < note.1), "{notes:?}");
}

#[test]
fn moves_in_every_pulse_in_which_the_other_voice_holds() {
    for seed in 0..10 {
        let found = against(&[0]).attacks(seed);
        for pulse in 1..8 {
            let span = pulse * QUARTER..(pulse + 1) * QUARTER;
            assert!(found.iter().any(|on| span.contains(on)), "pulse {pulse}: {found:?}");
        }
    }
}

#[test]
fn moves_in_every_pulse_in_which_the_other_voice_rests() {
    for seed in 0..10 {
        let found = against(&[]).attacks(seed);
        assert!((0..8).all(|pulse| found.iter().any(|on| on / QUARTER == pulse)), "{found:?}");
    }
}

#[test]
fn has_fewer_attacks_than_a_busy_voice_and_more_than_a_slow_one() {
    // Prout, Fugue, §§161-163: long against short and short against long.
    let (busy, slow) = (attacks(&[SIXTEENTH], 64), attacks(&[4 * QUARTER], 64));
    for seed in 0..10 {
        assert!(against(&busy).attacks(seed).len() < busy.len());
        assert!(against(&slow).attacks(seed).len() > slow.len());
    }
}

#[test]
fn a_brisk_line_moves_more_than_a_lively_one_and_that_more_than_a_calm_one() {
    let other = attacks(&[QUARTER, EIGHTH, EIGHTH], 64);
    let moves = |activity| -> usize {
        (0..10).map(|seed| Wanted { activity, ..against(&other) }.attacks(seed).len()).sum()
    };
    let (brisk, lively, calm) = (moves(Activity::Brisk), moves(Activity::Lively), moves(Activity::Calm));
    assert!(brisk > lively && lively > calm, "{brisk} {lively} {calm}");
}

#[test]
fn forced_attacks_are_struck_wherever_they_fall() {
    let forced = [3, 2 * QUARTER + 1, 5 * QUARTER];
    let found = Wanted { forced: &forced, ..against(&[0, 8, 16]) }.attacks(0);
    assert!(forced.iter().all(|on| found.contains(on)), "{found:?}");
}

#[test]
fn forced_attacks_outside_the_span_are_left_out() {
    let found = Wanted { forced: &[-4, 70], ..against(&[0]) }.notes(0);
    assert_fills(&found, 0, 64);
}

#[test]
fn a_beginning_between_the_cells_makes_no_scrap_of_a_note() {
    // A thirty-second after the beat; the pulse was once divided as if it began on the beat, which
    // left a thirty-second before the next attack.
    for seed in 0..40 {
        for from in [1, 3, 5, 7] {
            let notes = against(&[0, 8, 16, 24]).notes_from(from, seed);
            let short: Vec<_> =
                notes.iter().filter(|note| note.1 - note.0 < SIXTEENTH && note.0 != 7).collect();
            assert!(short.is_empty(), "from {from}: {notes:?}");
        }
    }
}

#[test]
fn the_first_pulse_may_be_cut() {
    let notes = against(&[0, 16]).notes_from(EIGHTH, 0);
    assert_fills(&notes, EIGHTH, 64);
}

#[test]
fn seeds_give_different_rhythms() {
    let other = attacks(&[QUARTER], 64);
    let first = against(&other).attacks(0);
    assert!((1..10).any(|seed| against(&other).attacks(seed) != first));
    assert_eq!(against(&other).attacks(0), first);
}

#[test]
fn compound_pulses_divide_by_three() {
    let other = attacks(&[3 * EIGHTH], 96);
    let found = Wanted { meter: "6/8", to: 96, ..against(&other) }.attacks(0);
    assert!(found.iter().all(|on| on % SIXTEENTH == 0), "{found:?}");
    let eighths = found.iter().filter(|&&on| on % (3 * EIGHTH) != 0 && on % EIGHTH == 0).count();
    assert!(eighths >= 4, "{found:?}");
}

#[test]
fn irregular_meters_keep_their_groups() {
    // 2+2+3 eighths: pulses begin at 0, 2 and 4 of every 7.
    let other = attacks(&[7 * EIGHTH], 2 * 7 * EIGHTH);
    let found = Wanted { meter: "2+2+3/8", to: 2 * 7 * EIGHTH, ..against(&other) }.notes(0);
    assert_fills(&found, 0, 2 * 7 * EIGHTH);
    let struck = |eighth: i64| found.iter().any(|note| note.0 == eighth * EIGHTH);
    assert!([2, 4, 9, 11].iter().filter(|&&eighth| struck(eighth)).count() >= 2, "{found:?}");
}

proptest! {
    #[test]
    fn prop_any_task_is_filled_in_order(
        meter in prop_oneof!["4/4", "3/4", "6/8", "2[+]2[+]3/8", "5/8", "3/16", "4/32", "2/1"],
        (from, length) in (-70..70_i64, 1..200_i64),
        other in prop::collection::btree_set(-80..280_i64, 0..60),
        forced in prop::collection::vec(-80..280_i64, 0..5),
        finest in 1..40_i64,
        (activity, shared_percent) in (0..3_usize, 0..100_usize),
        seed: u64,
    ) {
        let other: Vec<i64> = other.into_iter().collect();
        let voices = [other.clone(), vec![]];
        let activity = [Activity::Brisk, Activity::Lively, Activity::Calm][activity];
        let to = from + length;
        let task = RhythmTask { from, to, others: &other, voices: &voices, forced: &forced, finest, activity, shared_percent };
        let notes = rhythm(&frame(&meter), &task, Chance::new(seed));
        assert_fills(&notes, from, to);
        for on in forced.iter().filter(|on| (from..to).contains(*on)) {
            prop_assert!(notes.iter().any(|note| note.0 == *on), "{} in {:?}", on, notes);
        }
    }

    #[test]
    fn prop_no_note_is_shorter_than_the_finest(
        durations in prop::collection::vec(prop_oneof![Just(SIXTEENTH), Just(EIGHTH), Just(6), Just(QUARTER), Just(16)], 1..8),
        finest in prop_oneof![Just(SIXTEENTH), Just(EIGHTH), Just(QUARTER)],
        seed: u64,
    ) {
        let other = attacks(&durations, 64);
        let task = RhythmTask {
            from: 0, to: 64, others: &other, voices: &[], forced: &[], finest,
            activity: Activity::Lively, shared_percent: 45,
        };
        let notes = rhythm(&frame("4/4"), &task, Chance::new(seed));
        prop_assert!(notes.iter().all(|note| note.1 - note.0 >= finest), "{:?}", notes);
    }

    #[test]
    fn prop_another_voice_is_never_doubled_for_two_pulses(
        durations in prop::collection::vec(prop_oneof![Just(SIXTEENTH), Just(EIGHTH), Just(6), Just(QUARTER), Just(16)], 1..8),
        seed: u64,
    ) {
        let other = attacks(&durations, 64);
        let own = against(&other).attacks(seed);
        let within = |attacks: &[i64], pulse: i64| -> Vec<i64> {
            attacks.iter().copied().filter(|on| on / QUARTER == pulse).collect()
        };
        let alike = |pulse| !within(&own, pulse).is_empty() && within(&own, pulse) == within(&other, pulse);
        prop_assert!((0..7).all(|pulse| !(alike(pulse) && alike(pulse + 1))), "{:?} against {:?}", own, other);
    }

    #[test]
    fn prop_less_than_half_of_all_attacks_are_struck_together(
        durations in prop::collection::vec(prop_oneof![Just(SIXTEENTH), Just(EIGHTH), Just(6), Just(QUARTER), Just(16)], 1..8),
        seed: u64,
    ) {
        let other = attacks(&durations, 64);
        let own = against(&other).attacks(seed);
        let shared = own.iter().filter(|on| other.contains(on)).count();
        let all = own.len() + other.len() - shared;
        prop_assert!(100 * shared <= 45 * all, "{} of {}", shared, all);
    }
}
