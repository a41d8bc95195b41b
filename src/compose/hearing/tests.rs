//! Each cost by a musical example: two ways of writing a passage, and which is the better.

use super::*;
use crate::compose::fixtures::{frame, key, strand, track, track_with};
use crate::compose::harmony_track::HarmonyTrack;
use crate::compose::strand::Strand;
use crate::pitch::Pitch;

/// A line against voices below it; bars of 4/4 in C major, everything begins with the bar.
#[derive(Clone, Copy)]
struct Example<'a> {
    line: &'a str,
    below: &'a [&'a str],
    invertible: bool,
    judged: bool,
    range: (i32, i32),
    pressure: i64,
}

/// A line over one voice.
fn over<'a>(line: &'a str, below: &'a [&'a str]) -> Example<'a> {
    Example { line, below, invertible: false, judged: true, range: (0, 127), pressure: 1 }
}

impl Example<'_> {
    fn cost(self) -> i32 {
        self.cost_in(&track(&frame("4/4"), "C major"))
    }

    fn cost_in(self, track: &HarmonyTrack) -> i32 {
        let voices: Vec<Strand> = self.below.iter().map(|line| strand(&frame("4/4"), line)).collect();
        let companions: Vec<Companion<'_>> =
            voices.iter().map(|strand| Companion { strand, side: Side::Below, room: Some(19) }).collect();
        let (range, invertible, judged, pressure) = (self.range, self.invertible, self.judged, self.pressure);
        let setting = Setting { companions, range, invertible, judged, pressure };
        heard(&setting, &strand(&frame("4/4"), self.line), track)
    }

    /// Told upside down: the line lies below.
    fn cost_below(self) -> i32 {
        let voices: Vec<Strand> = self.below.iter().map(|line| strand(&frame("4/4"), line)).collect();
        let companions: Vec<Companion<'_>> =
            voices.iter().map(|strand| Companion { strand, side: Side::Above, room: None }).collect();
        let (range, invertible, judged, pressure) = (self.range, self.invertible, self.judged, self.pressure);
        let setting = Setting { companions, range, invertible, judged, pressure };
        heard(&setting, &strand(&frame("4/4"), self.line), &track(&frame("4/4"), "C major"))
    }
}

/// All that a line costs in a setting: its palette is the line itself, note by note.
fn heard(setting: &Setting<'_>, line: &Strand, track: &HarmonyTrack) -> i32 {
    let slots: Vec<(i64, i64)> = line.tones().iter().map(|tone| (tone.on, tone.off)).collect();
    let pitches: Vec<Pitch> = line.tones().iter().map(|tone| tone.pitch).collect();
    let hearing = Hearing::of(setting, &slots, &pitches, track);
    let mut cost = 0;
    for (slot, &pitch) in pitches.iter().enumerate() {
        let before = slot.checked_sub(1).map(|before| pitches[before]);
        let after = pitches.get(slot + 1).copied();
        cost += hearing.unary(slot, slot) + hearing.dissonance(slot, slot, pitch, before, after);
        if let Some(before) = before {
            cost += hearing.motion(slot, before, pitch);
            cost += hearing.accents((slot - 1, before), (slot, pitch));
        }
        if let (Some(before), Some(after)) = (before, after) {
            cost += hearing.accents((slot - 1, before), (slot + 1, after));
        }
    }
    cost
}

/// Asserts that costs rise from the first line to the last, over the same voices.
fn rising(below: &[&str], lines: &[&str]) {
    let costs: Vec<i32> = lines.iter().map(|line| over(line, below).cost()).collect();
    assert!(costs.windows(2).all(|pair| pair[0] < pair[1]), "{lines:?} over {below:?}: {costs:?}");
}

#[test]
fn thirds_are_better_than_another_perfect_consonance_and_that_than_parallel_fifths() {
    rising(&["C4:1/2 D4"], &["G4:1/2 F4", "G4:1/2 D5", "G4:1/2 A4"]);
}

#[test]
fn octaves_by_contrary_motion_are_as_bad_as_parallel_ones() {
    let parallel = over("C5:1/2 D5", &["C4:1/2 D4"]).cost();
    let contrary = over("C6:1/2 G5", &["C4:1/2 G4"]).cost();
    let chained = over("C6:1/2 D6", &["C4:1/2 G4"]).cost();
    assert!(chained < contrary && parallel <= contrary, "{chained} {contrary} {parallel}");
}

#[test]
fn a_direct_octave_is_worse_by_leap_than_by_step_and_both_than_contrary_motion() {
    // Rule G5.
    rising(&["C4:1/2 F4"], &["A5:1/2 F5", "E5:1/2 F5", "A4:1/2 F5"]);
}

#[test]
fn the_upper_voice_counts_for_a_direct_octave_whichever_is_the_line() {
    let leaping_above = over("C4:1/2 F4", &["A4:1/2 F5"]).cost_below();
    let stepping_above = over("C4:1/2 F4", &["E5:1/2 F5"]).cost_below();
    assert!(stepping_above < leaping_above, "{stepping_above} {leaping_above}");
}

#[test]
fn oblique_motion_to_a_fifth_is_free() {
    let oblique = over("A4:1/2 G4", &["C4:1"]).cost();
    let direct = over("A4:1/2 C5", &["C4:1/2 F4"]).cost();
    assert!(oblique < direct, "{oblique} {direct}");
}

#[test]
fn a_perfect_consonance_that_moves_to_a_dissonance_costs_more_than_an_imperfect_one() {
    rising(&["C4:1/2 D4"], &["A4:1/2 C5", "G4:1/2 C5"]);
}

#[test]
fn one_fifth_on_every_accent_is_worse_than_a_sixth_between_them() {
    // Rule G4: a note between does not save consecutives on successive accents.
    rising(&["C4:1/4 D4:1/4"], &["G4:1/8 A4:1/8 F4:1/4", "G4:1/8 E4:1/8 A4:1/4"]);
    let saved = over("G4:1/8 E4:1/8 B4:1/4", &["C4:1/4 D4:1/4"]).cost();
    let followed = over("G4:1/8 E4:1/8 A4:1/4", &["C4:1/4 D4:1/4"]).cost();
    assert!(saved < followed, "{saved} {followed}");
}

#[test]
fn a_prepared_suspension_is_better_than_an_accented_neighbour_and_that_than_a_leap() {
    // A seventh on the third beat that falls to a sixth (rule G10).
    rising(&["E4:1/2 D4"], &["C5:3/4 B4:1/4", "B4:1/2 C5:1/4 B4:1/4", "G4:1/2 C5:1/4 B4:1/4"]);
}

#[test]
fn a_suspension_that_does_not_fall_is_worse_than_one_that_does() {
    rising(&["E4:1/2 D4"], &["C5:3/4 B4:1/4", "C5:3/4 G4:1/4"]);
}

#[test]
fn a_suspension_held_from_a_dissonance_is_not_prepared() {
    let prepared = over("C5:3/4 B4:1/4", &["E4:1/2 D4"]).cost();
    let unprepared = over("C5:3/4 B4:1/4", &["Bb3:1/2 D4"]).cost();
    assert!(prepared < unprepared, "{prepared} {unprepared}");
}

#[test]
fn a_suspension_resolving_to_a_third_is_better_than_one_to_an_octave() {
    // 4-3 against 9-8, both held from a consonance.
    let fourth_third = over("C5:3/4 B4:1/4", &["E4:1/2 G4"]).cost();
    let ninth_octave = over("A5:3/4 G5:1/4", &["C4:1/2 G4"]).cost();
    assert!(fourth_third < ninth_octave, "{fourth_third} {ninth_octave}");
}

#[test]
fn the_companion_may_be_suspended_under_the_line() {
    // 2-3 in the lower voice.
    let suspended = over("A4:1/2 D5:1/2", &["C5:3/4 B4:1/4"]).cost_below();
    let struck = over("A4:1/2 D5:1/2", &["E5:1/2 C5:1/4 B4:1/4"]).cost_below();
    assert!(suspended < struck, "{suspended} {struck}");
}

#[test]
fn passing_and_neighbour_notes_are_better_than_dissonances_left_by_leap() {
    // Rule G8.
    rising(&["C4:1"], &["E4:1/8 F4:1/8 E4:1/4", "E4:1/8 F4:1/8 A4:1/4"]);
    rising(&["C4:1"], &["E5:1/8 D5:1/8 C5:1/4 E5:1/2", "E5:1/8 D5:1/8 A5:1/4 E5:1/2"]);
}

#[test]
fn a_passing_note_off_the_beat_is_better_than_one_on_it() {
    rising(&["C4:1"], &["E4:1/8 F4:1/8 A4:1/4", "E4:1/4 F4:1/4 A4:1/2"]);
    rising(&["C4:1"], &["E5:1/8 D5:1/8 E5:1/4 E5:1/2", "E5:1/4 D5:1/4 E5:1/2"]);
}

#[test]
fn the_companion_may_have_the_passing_note() {
    let passing = over("E5:1/2", &["C4:1/8 D4:1/8 E4:1/4"]).cost();
    let leaping = over("E5:1/2", &["C4:1/8 D4:1/8 G4:1/4"]).cost();
    assert!(passing < leaping, "{passing} {leaping}");
}

#[test]
fn an_unexplained_dissonance_is_worse_on_the_beat_than_off_it() {
    rising(&["C4:1"], &["E4:1/8 B4:1/8 G4:1/4", "B4:1/8 E4:1/8 G4:1/4"]);
}

#[test]
fn a_fourth_over_the_bass_is_worse_than_one_between_upper_voices() {
    // Rule G7.
    let over_the_bass = over("C5:1/2 D5:1/2", &["G4:1/2 B4:1/2"]).cost();
    let between = over("C5:1/2 D5:1/2", &["G4:1/2 B4:1/2", "E3:1/2 G3:1/2"]).cost();
    assert!(between < over_the_bass, "{between} {over_the_bass}");
}

#[test]
fn a_fifth_to_be_turned_upside_down_is_as_bare_as_a_fourth() {
    // Rule C4.
    let inverted = |line| Example { invertible: true, ..over(line, &["C4:1/2 E4:1/2"]) }.cost();
    let free = over("G4:1/2 C5:1/2", &["C4:1/2 E4:1/2"]).cost();
    assert!(inverted("E4:1/2 C5:1/2") < inverted("G4:1/2 C5:1/2"));
    assert!(free < inverted("G4:1/2 C5:1/2"));
    let off_the_beat = inverted("E4:1/8 G4:1/8 E4:1/4 C5:1/2");
    assert!(off_the_beat < inverted("G4:1/4 E4:1/4 C5:1/2"));
}

#[test]
fn an_octave_stays_an_octave_upside_down() {
    let octave = over("C5:1/2 G4:1/2", &["C4:1/2 E4:1/2"]);
    assert_eq!(octave.cost(), Example { invertible: true, ..octave }.cost());
}

#[test]
fn parallel_fourths_are_consecutives_only_where_they_will_be_fifths() {
    let fourths = over("F4:1/2 G4:1/2", &["C4:1/2 D4:1/2"]);
    assert!(fourths.cost() < Example { invertible: true, ..fourths }.cost());
}

#[test]
fn a_doubled_leading_note_is_worse_than_any_other_octave() {
    // Rule G11.
    let doubled = over("B4:1/2 C5:1/2", &["B3:1/2 A3:1/2"]).cost();
    let harmless = over("D5:1/2 C5:1/2", &["D4:1/2 A3:1/2"]).cost();
    assert!(harmless < doubled, "{harmless} {doubled}");
}

#[test]
fn the_leading_note_of_the_moment_weighs_more_than_that_of_the_home_key() {
    let mut dominant = track(&frame("4/4"), "C major");
    dominant.set_key(0, key("G major"));
    let of_home = over("B4:1/2", &["B3:1/2"]).cost_in(&dominant);
    let of_the_moment = over("F#4:1/2", &["F#3:1/2"]).cost_in(&dominant);
    let of_neither = over("D5:1/2", &["D4:1/2"]).cost_in(&dominant);
    assert!(of_neither < of_home && of_home < of_the_moment, "{of_neither} {of_home} {of_the_moment}");
}

#[test]
fn a_unison_costs_more_than_an_octave_and_a_crossing_more_than_a_unison() {
    let unjudged = |line| Example { judged: false, ..over(line, &["C4:1/2"]) }.cost();
    assert!(unjudged("C5:1/2") < unjudged("C4:1/2"));
    assert!(unjudged("C4:1/2") < unjudged("A3:1/2"));
}

#[test]
fn a_neighbour_costs_more_the_farther_away_it_is() {
    let unjudged = |line| Example { judged: false, ..over(line, &["C3:1/2"]) }.cost();
    assert_eq!(unjudged("G4:1/2"), 0);
    assert!(unjudged("A4:1/2") > 0);
    assert!(unjudged("A4:1/2") < unjudged("A5:1/2"));
}

#[test]
fn only_the_lowest_neighbours_may_lie_a_twelfth_apart() {
    // Rule G16.
    assert_eq!([room(0, 1, 4), room(1, 2, 4), room(2, 3, 4), room(3, 2, 4)], [12, 12, 19, 19]);
}

#[test]
fn a_note_out_of_range_is_forbidden_and_one_at_the_edge_is_not_free() {
    let within = |line| Example { judged: false, range: (60, 72), ..over(line, &[]) }.cost();
    assert_eq!(within("F4:1/2"), 0);
    assert!(within("C4:1/2") > within("D4:1/2"));
    assert!(within("D4:1/2") > 0);
    assert_eq!(within("B3:1/2"), within("C#5:1/2"));
    assert!(within("B3:1/2") > 1_000 * within("C4:1/2"));
}

#[test]
fn a_note_of_the_chord_is_better_than_a_foreign_one() {
    let tonic = track_with(&frame("4/4"), "C major", "I:1");
    let cost = |line| over(line, &["C4:1"]).cost_in(&tonic);
    assert!(cost("E4:1/2 E4:1/2") < cost("A4:1/2 A4:1/2"));
    // It tells more on the beat: A stands on the second beat here, then on the first.
    assert!(cost("E4:1/8 A4:1/8 E4:1/4 E4:1/2") < cost("A4:1/4 E4:1/4 E4:1/2"));
}

#[test]
fn a_seventh_of_the_chord_that_falls_is_better_than_one_that_leaps() {
    let dominant = track_with(&frame("4/4"), "C major", "V7:1/2 I:1/2");
    let cost = |line| over(line, &["G3:1/2 C4:1/2"]).cost_in(&dominant);
    assert!(cost("D4:1/4 F4:1/4 E4:1/2") < cost("D4:1/4 F4:1/4 C5:1/2"));
    let unplanned = over("D4:1/4 F4:1/4 E4:1/2", &["G3:1/2 C4:1/2"]).cost();
    assert!(cost("D4:1/4 F4:1/4 E4:1/2") < unplanned);
}

#[test]
fn a_tritone_of_the_chord_resolves_outwards_or_inwards_by_step() {
    let dominant = track_with(&frame("4/4"), "C major", "V7:1/2 I:1/2");
    let cost = |line| over(line, &["B3:1/2 C4:1/2"]).cost_in(&dominant);
    assert!(cost("D4:1/4 F4:1/4 E4:1/2") < cost("D4:1/4 F4:1/4 C5:1/2"));
}

#[test]
fn bare_sounds_tell_more_between_two_parts_than_among_three() {
    let two = over("G4:1", &["C4:1"]).cost();
    let three = over("G4:1", &["C4:1", "E4:1"]).cost();
    assert!(three < two, "{three} {two}");
}

#[test]
fn pressure_makes_bare_sounds_dearer_and_leaves_thirds_alone() {
    let pressed = |line| Example { pressure: 5, ..over(line, &["C4:1"]) }.cost();
    assert!(pressed("G4:1") > over("G4:1", &["C4:1"]).cost());
    assert_eq!(pressed("E4:1"), over("E4:1", &["C4:1"]).cost());
}

#[test]
fn an_unjudged_setting_hears_neither_dissonance_nor_motion() {
    let unjudged = |line| Example { judged: false, ..over(line, &["C4:1/2 D4:1/2"]) }.cost();
    assert_eq!(unjudged("G4:1/2 A4:1/2"), unjudged("F4:1/2 C5:1/2"));
}

#[test]
fn a_rest_of_the_companion_is_met_by_nothing() {
    assert_eq!(over("F4:1/2 E4:1/2", &["R:1/2 C4:1/2"]).cost(), over("E4:1/2 E4:1/2", &["C4:1"]).cost());
}
