use super::*;
use crate::pitch::{Letter, Pitch, PitchClass, any_pitch, any_pitch_class};
use proptest::prelude::*;

fn readings(line: &str, key: &str, meter: &str, offset: &str, count: usize) -> Vec<HarmonicReading> {
    let (line, offset) = (line.parse().unwrap(), offset.parse().unwrap());
    Harmony::readings(&line, key.parse().unwrap(), meter.parse().unwrap(), offset, count)
}

fn best(line: &str, key: &str, meter: &str, offset: &str) -> String {
    readings(line, key, meter, offset, 1)[0].harmony().to_string()
}

/// Shapes of the trade with the harmony that a teacher would write under them (common practice).
#[test]
fn all_plain_shapes_take_plain_harmony() {
    let rows = [
        ("C4:1/4 E4 G4 E4 C4:1", "C major", "4/4", "0", "I:2"),
        ("C4:1/4 D4 E4 C4 D4 B3 C4:1/2", "C major", "4/4", "0", "I:1 V:1/2 I:1/2"),
        ("A4:1/4 G#4 A4:1/2 B4:1/4 G#4 A4:1/2", "A minor", "4/4", "0", "i:1 V:1/2 i:1/2"),
        ("G4:1/8 C5:3/8 B4:1/4 D5:1/8 C5:3/8", "C major", "6/8", "5/8", "I:1/2 V:3/8 I:3/8"),
        ("C4:1/4 F4 A4 C5 B4 D5 C5:1/2", "C major", "4/4", "0", "I:1/4 IV:3/4 V:1/2 I:1/2"),
    ];
    for (line, key, meter, offset, plan) in rows {
        assert_eq!(best(line, key, meter, offset), plan, "{line}");
    }
}

/// Prout, *Fugue*, §57 (b): the subject goes to the dominant by the raised fourth.
#[test]
fn raised_fourth_brings_the_dominant_of_the_dominant() {
    assert_eq!(best("G4:1 B4 E5 C#5 D5:1/2", "G major", "4/4", "0"), "I:2 V7/V:2 V:1/2");
}

/// Prout, *Fugue*, §148: in minor the dominant reached is minor.
#[test]
fn minor_subject_reaches_the_minor_dominant() {
    let line = "E4:1/4 G4 B4 A#4 C#5 A#4 B4 D5:1/2";
    assert!(best(line, "E minor", "4/4", "0").ends_with("v:3/4"), "{}", best(line, "E minor", "4/4", "0"));
}

#[test]
fn applied_dominant_is_offered_only_where_its_altered_note_sounds() {
    let all = readings("G4:1/4 B4 E5 C5 D5:1/2", "G major", "4/4", "0", MAX_READINGS);
    assert_eq!(all.len(), MAX_READINGS);
    assert!(all.iter().all(|reading| !reading.harmony().to_string().contains("/V")));
}

#[test]
fn passing_notes_do_not_change_the_chord() {
    assert_eq!(best("C4:1/8 D4 E4 F4 G4 F4 E4:1/4", "C major", "4/4", "0"), "I:1");
}

#[test]
fn suspension_belongs_to_the_chord_it_resolves_into() {
    assert_eq!(best("E4:1/2 C5:3/4 B4:1/4 C5:1/2", "C major", "4/4", "0"), "I:1 V:1/2 I:1/2");
}

#[test]
fn answer_in_its_key_has_the_plan_of_the_subject() {
    let subject = best("C#3:1 B#2:1/2 E3:1/2 D#3:1 C#3:1/4", "C# minor", "4/4", "0");
    assert_eq!(subject, best("G#3:1 F##3:1/2 B3:1/2 A#3:1 G#3:1/4", "G# minor", "4/4", "0"));
}

/// Prout, *Fugue*, §§57 (b), 129 (a): the subject goes to the dominant, so the answer returns to the
/// tonic, which is the fourth degree of the answer's key.
#[test]
fn answer_of_a_modulating_subject_ends_on_the_fourth_degree_of_its_key() {
    assert_eq!(best("D5:1 E5 A5 F#5 G5:1/2", "D major", "4/4", "0"), "I:1 V:1 I:2 IV:1/2");
    let line = "G4:1/2 A4 A4 D4 G4 G4 C4 F4 D4 G4 E4:1/4 D4 C4";
    assert_eq!(best(line, "G major", "3/2", "1"), "I:1/2 V:3/2 I6:1 V7:1/2 V7/IV:3/2 IV:3/4");
}

#[test]
fn phrase_does_not_close_on_a_seventh_chord() {
    let plan =
        best("F4:1/8 C5:3/8 Bb4:1/8 A4:1/4 R:1/8 A4:1/8 Bb4:3/8 A4:1/8 G4:1/4", "F major", "4/4", "3/8");
    assert_eq!(plan, "I:9/8 V7:1/2 V:1/4");
}

#[test]
fn line_without_length_has_no_chords() {
    assert_eq!(
        Harmony::infer(&Line::default(), "C major".parse().unwrap(), "4/4".parse().unwrap(), Time::ZERO),
        Harmony::default()
    );
}

#[test]
fn silence_rests_on_the_tonic() {
    assert_eq!(best("R:2", "C major", "4/4", "0"), "I:2");
}

#[test]
fn asks_for_no_reading_gives_none() {
    assert!(readings("C4:1/4", "C major", "4/4", "0", 0).is_empty());
}

#[test]
fn endless_note_is_read_in_coarse_steps() {
    let plan = best("C4:1000000", "C major", "4/64", "0");
    assert!(plan.starts_with("I:"), "{plan}");
}

#[test]
fn readings_are_ranked_and_differ() {
    let all = readings("C4:1/4 D4 E4 C4 D4 B3 C4:1/2", "C major", "4/4", "0", MAX_READINGS);
    assert!(all.windows(2).all(|pair| pair[0].cost() <= pair[1].cost()));
    let mut plans: Vec<String> = all.iter().map(|reading| reading.harmony().to_string()).collect();
    plans.sort();
    plans.dedup();
    assert_eq!(plans.len(), MAX_READINGS);
}

/// Every row of chords, judged one by one: the plain twin of the search.
fn by_brute_force(problem: &Problem) -> Vec<(u64, Vec<usize>)> {
    let (chords, stretches) = (problem.chords.len(), problem.rhythm.stretches.len());
    let count = chords.pow(u32::try_from(stretches).unwrap());
    let path = |mut number: usize| -> Vec<usize> {
        (0..stretches)
            .map(|_| {
                let chord = number % chords;
                number /= chords;
                chord
            })
            .collect()
    };
    let mut all: Vec<(u64, Vec<usize>)> =
        (0..count).map(path).map(|path| (cost_of(problem, &path), path)).collect();
    all.sort_by_key(|(cost, path)| (*cost, path.iter().rev().copied().collect::<Vec<_>>()));
    all
}

fn cost_of(problem: &Problem, path: &[usize]) -> u64 {
    let first = problem.chords[path[0]];
    let outside: u64 = path.iter().zip(&problem.outside).map(|(&chord, costs)| costs[chord]).sum();
    let steps: u64 = path
        .windows(2)
        .zip(&problem.rhythm.stretches[1..])
        .map(|(pair, stretch)| {
            let [a, b] = [pair[0], pair[1]];
            let closing = problem.closes(stretch);
            cost::step(problem.chords[a], problem.chords[b], a == b, stretch.strength, closing)
        })
        .sum();
    cost::opening(first) + first.entry + outside + steps + problem.ending(path[path.len() - 1])
}

#[test]
fn search_finds_what_brute_force_finds_in_the_same_order() {
    let lines = [
        ("C4:1/4 D4:1/8 F4:1/8 B3:1/4", "C major", "3/4", "0"),
        ("A4:1/8 G#4 C5:1/4 D#5:1/4 E5:1/8", "A minor", "3/4", "1/8"),
        ("G4:3/8 F#4:3/8 C5:3/8", "G major", "6/8", "0"),
    ];
    for (text, key, meter, offset) in lines {
        let (line, key, meter): (Line, Key, Meter) =
            (text.parse().unwrap(), key.parse().unwrap(), meter.parse().unwrap());
        let offset = offset.parse().unwrap();
        let problem = Problem::new(&line, key, meter, offset, Rhythm::of(&line, meter, offset).unwrap());
        assert!((3..=4).contains(&problem.rhythm.stretches.len()));
        let found = Harmony::readings(&line, key, meter, offset, MAX_READINGS);
        let twin = by_brute_force(&problem);
        assert_eq!(found.len(), MAX_READINGS);
        for (reading, (cost, path)) in found.iter().zip(&twin) {
            assert_eq!((reading.cost(), reading.harmony()), (*cost, &problem.plan(path).unwrap()), "{text}");
        }
    }
}

fn any_line() -> impl Strategy<Value = Line> {
    let pitch = (0..14_i32, -1..=1_i32).prop_map(|(steps, alteration)| {
        let class = PitchClass::new(Letter::from_index(steps), alteration).unwrap();
        Pitch::new(class, 4 + steps.div_euclid(7)).unwrap()
    });
    let duration = prop::sample::select(vec!["1/4", "1/8", "3/8", "1/2", "1/16", "1/12", "1/7"]);
    let event = (prop::option::weighted(0.9, pitch), duration.prop_map(|text| text.parse().unwrap()));
    prop::collection::vec(event, 0..16).prop_map(|events| Line::from_events(events).unwrap())
}

fn any_meter() -> impl Strategy<Value = Meter> {
    let meters = vec!["4/4", "3/4", "6/8", "2/2", "2+2+3/8", "12/8", "1/64", "5/4"];
    prop::sample::select(meters).prop_map(|text| text.parse().unwrap())
}

proptest! {
    #[test]
    fn prop_plan_is_as_long_as_its_line(line in any_line(), meter in any_meter(), mode in 0..6_usize, ticks in -30..30_i64) {
        let key = Key::new("F".parse().unwrap(), crate::key::Mode::ALL[mode]);
        let plan = Harmony::infer(&line, key, meter, Time::new(ticks, 24).unwrap());
        prop_assert_eq!(plan.length(), line.length());
        prop_assert!(plan.check_length(line.length()).is_ok());
    }

    #[test]
    fn prop_transposition_changes_nothing_in_the_plan(line in any_line(), minor in any::<bool>(), which in 0..7_usize) {
        let mode = if minor { crate::key::Mode::Minor } else { crate::key::Mode::Major };
        let key = Key::new("C".parse().unwrap(), mode);
        let by: Interval = ["m2", "M2", "m3", "-P4", "P5", "-M6", "A4"][which].parse().unwrap();
        let meter = "4/4".parse().unwrap();
        let here = Harmony::readings(&line, key, meter, Time::ZERO, 3);
        let there = Harmony::readings(&line.moved(by).unwrap(), key.moved(by).unwrap(), meter, Time::ZERO, 3);
        prop_assert_eq!(here, there);
    }

    #[test]
    fn prop_any_line_in_any_key_is_read(
        events in prop::collection::vec((prop::option::of(any_pitch()), 1..2000_i64, 1..2000_i64), 0..12),
        tonic in any_pitch_class(),
        mode in 0..6_usize,
        meter in any_meter(),
    ) {
        let events = events.into_iter().map(|(pitch, n, d)| (pitch, Time::new(n, d).unwrap()));
        let line = Line::from_events(events).unwrap_or_default();
        let key = Key::new(tonic, crate::key::Mode::ALL[mode]);
        let plan = Harmony::infer(&line, key, meter, Time::ZERO);
        prop_assert_eq!(plan.length(), line.length());
    }

    #[test]
    fn prop_first_reading_is_the_inferred_one(line in any_line(), meter in any_meter()) {
        let key = "G minor".parse().unwrap();
        let best = Harmony::infer(&line, key, meter, Time::ZERO);
        let readings = Harmony::readings(&line, key, meter, Time::ZERO, 5);
        prop_assert_eq!(readings.first().map(|reading| reading.harmony().clone()).unwrap_or_default(), best);
    }
}
