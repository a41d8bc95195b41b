use super::*;
use crate::interval::Interval;
use crate::line::Line;
use crate::pitch::any_pitch;
use proptest::prelude::*;

fn subject(key: &str, line: &str) -> Result<Subject, SubjectError> {
    Subject::from_text(key, "4/4", "0", line)
}

fn message(result: Result<Subject, SubjectError>) -> String {
    result.unwrap_err().to_string()
}

/// The worked examples of the handbooks: every one is a subject in the key its book gives.
#[test]
fn all_subjects_of_the_handbooks_are_in_their_keys() {
    let text = include_str!("../../shared/handbook/answers.json");
    let examples: Vec<serde_json::Value> = serde_json::from_str(text).unwrap();
    assert_eq!(examples.len(), 64);
    for example in examples {
        let field = |name: &str| example[name].as_str().unwrap();
        let read = Subject::from_text(field("key"), field("meter"), field("offset"), field("subject"));
        assert!(read.is_ok(), "{}: {}", field("id"), message(read));
    }
}

/// The same subjects with a wrong label. A label a fifth off may be right (a subject may lie wholly in
/// the dominant), and a tone off few themes tell: those that lack the telling note, or go to the
/// dominant, or are printed only in part. They are named.
#[test]
fn wrong_labels_of_the_handbook_subjects_are_refused() {
    let text = include_str!("../../shared/handbook/answers.json");
    let examples: Vec<serde_json::Value> = serde_json::from_str(text).unwrap();
    let passes = |by: &str| -> Vec<String> {
        let by: Interval = by.parse().unwrap();
        let passes = |example: &&serde_json::Value| {
            let field = |name: &str| example[name].as_str().unwrap();
            let key: Key = field("key").parse().unwrap();
            let label = key.moved(by).unwrap().to_string();
            Subject::from_text(&label, field("meter"), field("offset"), field("subject")).is_ok()
        };
        examples.iter().filter(passes).map(|example| example["id"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(passes("-M2"), ["prout-fugue-97a", "prout-fugue-100", "grove-1900-fugue"]);
    assert_eq!(passes("M2"), ["prout-fugue-147"]);
    for by in ["m2", "-m2", "A1", "-A1"] {
        assert!(passes(by).is_empty(), "{by}: {:?}", passes(by));
    }
}

#[test]
fn refuses_theme_in_d_major_labelled_c_major() {
    assert_eq!(
        message(subject("C major", "D4:1/4 F#4 A4 F#4 B4 C#5 D5:1/2")),
        "the key C major contradicts the notes: note 2 is F#4, foreign to it (the notes are those of D major: write that key, or respell the theme)"
    );
    assert!(subject("C major", "D4:1/4 F#4 A4 B4 A4 G4 F#4 E4 D4:1/2").is_err(), "without the leading note");
}

#[test]
fn refuses_theme_in_a_major_labelled_a_minor() {
    for line in ["A4:1/4 C#5 E5 D5 C#5 B4 A4", "A4:1/4 B4 C#5 D5 E5 C#5 B4 G#4 A4", "E4:1/4 A4 B4 C#5 B4 A4"]
    {
        let error = subject("A minor", line).unwrap_err();
        let fits = Some("A major".parse().unwrap());
        assert!(matches!(error, SubjectError::Key { fits: named, .. } if named == fits), "{line}: {error}");
    }
}

#[test]
fn refuses_theme_in_a_minor_labelled_a_major() {
    assert!(subject("A major", "A4:1/4 C5 E5 F5 E5 D5 C5 B4 A4").is_err());
}

#[test]
fn refuses_theme_a_semitone_off() {
    assert_eq!(
        message(subject("Db major", "D4:1/4 F#4 A4 D5 C#5 D5")),
        "the key Db major contradicts the notes: note 1 is D4, foreign to it (the notes are those of D major: write that key, or respell the theme)"
    );
}

#[test]
fn notes_of_no_key_are_refused_without_naming_one() {
    assert_eq!(
        message(subject("C major", "C4:1/4 Gb4 D#4 A#4 Fb4 B#4")),
        "the key C major contradicts the notes: note 2 is Gb4, foreign to it (give the key that the theme is in, or respell it)"
    );
}

#[test]
fn subject_wholly_in_the_dominant_is_at_home_in_its_key() {
    assert!(subject("C major", "G4:1/4 B4 D5 G5 F#5 E5 D5 F#4 G4").is_ok());
}

#[test]
fn long_stay_in_the_dominant_is_no_contradiction() {
    assert!(subject("C major", "C4:1/4 E4 G4 F#4 G4 A4 F#4 D4 E4 F#4 G4 B4 A4 F#4 G4").is_ok());
}

#[test]
fn chromatic_subject_is_at_home_in_its_key() {
    assert!(subject("D minor", "D5:1/4 C#5 C5 B4 Bb4 A4 G#4 A4 D4").is_ok());
    assert!(subject("C major", "C5:1/4 B4 Bb4 A4 Ab4 G4 F#4 G4 C4").is_ok());
}

#[test]
fn raised_third_may_lead_to_the_subdominant_of_minor() {
    assert!(subject("A minor", "A4:1/4 C#5 D5 F5 E5 G#4 A4").is_ok());
}

#[test]
fn minor_subject_full_of_accidentals_is_at_home_in_its_key() {
    assert!(subject("C minor", "C5:1/4 Db5 C5 F#4 G4 Ab4 B4 Eb5 E5 F5 D5 B4 C5").is_ok());
}

#[test]
fn modes_are_keys_too() {
    for (key, line) in [
        ("D dorian", "D4:1/4 A4 B4 C5 A4 G4 F4 E4 D4"),
        ("E phrygian", "E4:1/4 F4 G4 E4 A4 G4 F4 E4"),
        ("G mixolydian", "G4:1/4 B4 D5 F5 E5 D5 C5 B4 A4 G4"),
    ] {
        assert!(subject(key, line).is_ok(), "{key}");
    }
}

#[test]
fn bar_lines_are_checked_against_meter_and_offset() {
    let read = |line: &str| Subject::from_text("A minor", "3/4", "1/2", line);
    assert!(read("E4:1/4 | A4:3/8 B4:1/8 C5:1/4 | B4:1/4").is_ok());
    assert_eq!(
        message(read("E4:1/4 | A4:3/8 B4:1/8 C5:3/8 | B4:1/4")),
        "bar 1 is too long by 1/8: it holds 7/8 where the meter 3/4 allows 3/4"
    );
}

#[test]
fn leading_rests_move_the_offset_and_closing_rests_are_dropped() {
    let subject = subject("C major", "R:9/8 G4:1/8 R:1/4 C5:1/2 R:1/4").unwrap();
    assert_eq!(subject.offset().to_string(), "1/8");
    assert_eq!(subject.line().to_string(), "G4:1/8 R:1/4 C5:1/2");
}

#[test]
fn all_refusals_of_size_and_place_say_how_to_mend() {
    assert_eq!(
        message(subject("C major", "R:1")),
        "the subject is empty: write at least two notes, as in C4:1/4 G4"
    );
    assert_eq!(
        message(subject("C major", "C4:1")),
        "the subject has one note: write at least two, as in C4:1/4 G4"
    );
    assert_eq!(
        message(subject("C major", &"C4:1/64 ".repeat(1001))),
        "the subject has 1001 notes: at most 1000 are allowed (give the theme alone, not the piece)"
    );
    assert_eq!(
        message(subject("C major", "C4:64 G4:1/8")),
        "the subject lasts 513/8 whole notes: at most 64 are allowed, 64 bars (give the theme alone, not the piece)"
    );
    let offset = |offset| message(Subject::from_text("C major", "3/4", offset, "C4:1/4 G4"));
    assert_eq!(
        offset("3/4"),
        "the offset 3/4 is not a place in a bar of 3/4: it must be at least 0 and less than 3/4"
    );
    assert_eq!(
        offset("-1/4"),
        "the offset -1/4 is not a place in a bar of 3/4: it must be at least 0 and less than 3/4"
    );
}

#[test]
fn texts_that_cannot_be_read_say_which() {
    let read = |key, meter, offset, line| message(Subject::from_text(key, meter, offset, line));
    assert!(read("X major", "4/4", "0", "C4:1/4 G4").contains("is not a key"));
    assert!(read("C major", "4", "0", "C4:1/4 G4").contains("is not a meter"));
    assert!(read("C major", "4/4", "x", "C4:1/4 G4").contains("is not a time"));
    assert_eq!(
        read("C major", "4/4", "0", "C4:1/4 H4"),
        "note 2: \"H4\" is not a pitch: letters run from A to G (write B4 or Bb4)"
    );
}

#[test]
fn given_harmony_lasts_as_long_as_the_subject() {
    let theme = subject("C major", "C4:1/4 E4 G4 B3 C4:1").unwrap();
    let short = theme.clone().with_harmony("I:1/2 V:1/2".parse().unwrap());
    assert_eq!(
        message(short),
        "the harmony is too short by 1: it lasts 1 where the subject lasts 2 (lengthen the last chord by 1)"
    );
    assert_eq!(theme.plan().to_string(), "I:1/2 V:1/2 I:1");
    let given = theme.with_harmony("I:3/4 V:1/4 I:1".parse().unwrap()).unwrap();
    assert_eq!(given.plan().to_string(), "I:3/4 V:1/4 I:1");
}

#[test]
fn codes_tell_the_kind_of_error() {
    let code = |result: Result<Subject, SubjectError>| result.unwrap_err().code();
    assert_eq!(code(subject("C major", "R:1")), "subject-empty");
    assert_eq!(code(subject("C major", "C4:1")), "subject-one-note");
    assert_eq!(code(subject("C major", "D4:1/4 F#4 A4 D5 C#5 D5")), "subject-key");
    assert_eq!(code(Subject::from_text("C major", "4/4", "1", "C4:1/4 G4")), "subject-offset");
    let read = subject("C major", "C4:1/4 G4").unwrap();
    assert_eq!(code(read.with_harmony("I:1/4".parse().unwrap())), "harmony-length");
    let line = "C4:1/4 H4".parse::<Line>().unwrap_err().code();
    assert_eq!(code(subject("C major", "C4:1/4 H4")), line);
}

fn any_line() -> impl Strategy<Value = Line> {
    let event = (prop::option::weighted(0.9, any_pitch()), 1..40_i64, 1..40_i64);
    prop::collection::vec(event, 0..40).prop_map(|events| {
        let events = events.into_iter().map(|(pitch, n, d)| (pitch, Time::new(n, d).unwrap()));
        Line::from_events(events).unwrap_or_default()
    })
}

proptest! {
    #[test]
    fn prop_any_line_is_a_subject_or_refused(line in any_line(), key in 0..12_usize, offset in -2..30_i64) {
        let tonic = ["C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F"][key];
        let mode = crate::key::Mode::ALL[key % 6];
        let key = Key::new(tonic.parse().unwrap(), mode);
        let meter = "12/8".parse().unwrap();
        if let Ok(subject) = Subject::new(key, meter, Time::new(offset, 16).unwrap(), line) {
            let profile = subject.profile();
            prop_assert_eq!(profile.head() + profile.tail(), subject.line().notes().len());
            prop_assert!(profile.remarks().iter().all(|remark| !remark.to_string().is_empty()));
            prop_assert_eq!(subject.plan().length(), subject.length());
            prop_assert_eq!(subject.line().notes()[0].onset(), Time::ZERO);
        }
    }
}
