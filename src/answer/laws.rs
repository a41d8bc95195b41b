//! What holds of all answers to all subjects.

use super::strategy::any_subject;
use super::{Answer, AnswerKind, MAX_ANSWERS, Reading};
use crate::interval::Interval;
use crate::key::{Key, Mode};
use crate::line::Line;
use crate::meter::Meter;
use crate::pitch::{Letter, PitchClass};
use crate::subject::Subject;
use crate::time::Time;
use proptest::prelude::*;

/// What of an answer does not depend on where the subject lies.
fn sense(answer: &Answer) -> (AnswerKind, &[Reading], u32, Vec<usize>) {
    let altered = answer.alterations().iter().map(|alteration| alteration.note);
    (answer.kind(), answer.readings(), answer.cost(), altered.collect())
}

fn moved(subject: &Subject, by: Interval) -> Option<Subject> {
    let key = subject.key().moved(by).ok()?;
    let line = subject.line().moved(by).ok()?;
    Subject::new(key, subject.meter(), subject.offset(), line).ok()
}

proptest! {
    #[test]
    fn prop_answers_are_distinct_and_sorted(subject in any_subject(2..25)) {
        let answers = subject.answers().unwrap();
        prop_assert!((3..=MAX_ANSWERS).contains(&answers.len()));
        prop_assert!(answers.is_sorted_by_key(Answer::cost));
        for (index, answer) in answers.iter().enumerate() {
            prop_assert!(answers[..index].iter().all(|other| other.line() != answer.line()));
        }
    }

    #[test]
    fn prop_account_and_alterations_agree_with_the_line(subject in any_subject(2..25)) {
        for answer in subject.answers().unwrap() {
            prop_assert_eq!(answer.costs().iter().map(|line| line.cost).sum::<u32>(), answer.cost());
            let notes = subject.line().notes().iter().zip(answer.line().notes());
            for (index, (from, to)) in notes.enumerate() {
                prop_assert_eq!((from.onset(), from.duration()), (to.onset(), to.duration()));
                let real_below = Interval::between(-3, -5);
                let apart = to.pitch() - from.pitch();
                let at_fifth = [Interval::PERFECT_FIFTH, real_below].contains(&apart);
                let alteration = answer.alterations().iter().find(|alteration| alteration.note == index);
                prop_assert_eq!(alteration.is_none(), at_fifth, "note {}", index);
                if let Some(alteration) = alteration {
                    prop_assert_eq!(alteration.chosen, to.pitch());
                    prop_assert!(alteration.chosen != alteration.real);
                }
            }
        }
    }

    #[test]
    fn prop_transposed_subject_has_the_transposed_answers(
        subject in any_subject(2..20),
        name in "m2|M2|m3|M3|P4|A4|P5|m6|M6|m7|M7|P8",
        up in any::<bool>(),
    ) {
        let interval: Interval = name.parse().unwrap();
        let by = if up { interval } else { -interval };
        let answers = moved(&subject, by).and_then(|other| other.answers().ok()).unwrap_or_default();
        let ours = subject.answers().unwrap();
        // Near the limits of notation lesser answers may be left out, but none is different.
        let mut rest = ours.iter();
        for (rank, answer) in answers.iter().enumerate() {
            let one = rest.find(|one| sense(one) == sense(answer));
            prop_assert!(one.is_some(), "rank {}", rank);
            prop_assert_eq!(one.map(|one| one.line().moved(by)), Some(Ok(answer.line().clone())));
            prop_assert_eq!(one.map(|one| one.key().moved(by)), Some(Ok(answer.key())));
            prop_assert!(rank > 0 || one == ours.first());
        }
    }

    #[test]
    fn prop_note_values_may_be_scaled_with_the_meter(subject in any_subject(2..20)) {
        let half = |time: Time| time.scaled(1, 2).unwrap();
        let meter = Meter::grouped(subject.meter().groups(), 2 * subject.meter().lower()).unwrap();
        let line = subject.line().diminished(2).unwrap();
        let smaller = Subject::new(subject.key(), meter, half(subject.offset()), line).unwrap();
        let (large, small) = (subject.answers().unwrap(), smaller.answers().unwrap());
        prop_assert_eq!(large.len(), small.len());
        for (large, small) in large.iter().zip(&small) {
            prop_assert_eq!(sense(large), sense(small));
            prop_assert_eq!(large.line().diminished(2), Ok(small.line().clone()));
        }
    }

    #[test]
    fn prop_real_answer_turned_back_is_the_subject(subject in any_subject(2..20)) {
        let answers = subject.answers().unwrap();
        let real = |answer: &&Answer| answer.kind() == AnswerKind::Real && answer.alterations().is_empty();
        for answer in answers.iter().filter(real) {
            let back = answer.line().moved(Interval::PERFECT_FOURTH).unwrap();
            prop_assert_eq!(&back, subject.line());
            prop_assert_eq!(answer.key(), subject.key().dominant().unwrap());
        }
    }

    /// Where the harmony agrees with the best answer it stays the best.
    #[test]
    fn prop_best_answer_is_best_if_the_harmony_agrees(subject in any_subject(2..20)) {
        let best = subject.answers().unwrap().remove(0);
        prop_assume!(best.kind() != AnswerKind::Subdominant);
        let hints: Vec<Option<Reading>> = best.readings().iter().copied().map(Some).collect();
        let heard = subject.answers_heard(&hints).unwrap().remove(0);
        prop_assert_eq!(heard.readings(), best.readings());
    }

    #[test]
    fn prop_no_line_in_any_key_panics(
        letter in 0..7_i32,
        sharps in -3..=3_i32,
        mode in proptest::sample::select(Mode::ALL.to_vec()),
        text in "([A-G](#{0,3}|b{0,3})[0-9]:[1-9]/(1|2|3|4|6|8|16|32|64) |R:1/8 ){1,40}",
        meter in "(3|4|6|7|9|12|2\\+2\\+3|1)/(1|2|4|8|16)",
    ) {
        let key = Key::new(PitchClass::new(Letter::from_index(letter), sharps).unwrap(), mode);
        let line: Line = text.parse().unwrap();
        if let Ok(subject) = Subject::new(key, meter.parse().unwrap(), Time::ZERO, line) {
            match subject.answers() {
                Ok(answers) => prop_assert!(!answers.is_empty()),
                Err(error) => prop_assert!(!error.to_string().is_empty()),
            }
        }
    }
}

/// The answers to a subject, as letters of its readings: F at the fifth, Q at the fourth.
fn readings(key: &str, meter: &str, offset: &str, line: &str) -> Vec<String> {
    let letter = |reading: &Reading| if *reading == Reading::Tonic { 'F' } else { 'Q' };
    let subject = Subject::from_text(key, meter, offset, line).unwrap();
    let answers = subject.answers().unwrap();
    answers.iter().map(|answer| answer.readings().iter().map(letter).collect()).collect()
}

/// Prout, Fugue, §§70, 86, 102, 118, 133: one subject of our own for each.
#[test]
fn best_answers_of_plain_subjects() {
    let rows = [
        ("stays at home", "C major", "C4:1/4 D4 E4 F4 D4 E4 C4:1/2", "FFFFFFF"),
        ("tonic leaps to dominant", "C major", "C4:1/4 G4 E4 D4 C4:1/2", "FQFFF"),
        ("the same in minor", "A minor", "A4:1/4 E5 C5 B4 A4:1/2", "FQFFF"),
        ("repeated dominant", "C major", "C4:1/4 G4:1/8 G4 E4:1/4 D4 C4:1/2", "FQQFFF"),
        ("later dominants are like other notes", "C major", "C4:1/4 G4 E4 G4 F4 E4:1/2", "FQFFFF"),
        ("begins on the dominant", "C major", "R:1/2 G4:1/8 E4 A4 F4 D4:1/4 E4", "QFFFFF"),
        ("short upbeat", "C major", "R:3/4 R:1/8 G4:1/8 C5:1/4 B4 A4 B4 C5:1/2", "QFFFFF"),
        ("goes to the dominant", "C major", "C4:1/4 E4 A4 F#4 G4:1/2", "FQQQQ"),
        ("ends on the third of the dominant", "C major", "C4:1/4 E4 D4 C4 B3:1/2", "FQQQQ"),
        ("wholly in the dominant", "C major", "D4:1/4 B3 E4 A3 B3:1/8 A3 G3:1/4", "QQQQQQQ"),
        ("leading note as neighbour", "C major", "C4:1/4 B3 C4 D4 E4:1/2", "FFFFF"),
    ];
    for (what, key, line, expected) in rows {
        assert_eq!(readings(key, "4/4", "0", line)[0], expected, "{what}");
    }
}

/// Prout, Fugue, §§68-69.
#[test]
fn minor_close_is_answered_by_either_third() {
    let subject = Subject::from_text("A minor", "4/4", "0", "A4:1/4 B4 C5 D5 B4 C5:1/2").unwrap();
    let answers = subject.answers().unwrap();
    let ends: Vec<String> =
        answers[..2].iter().map(|answer| answer.line().notes()[5].pitch().to_string()).collect();
    assert_eq!(ends, ["G4", "G#4"]);
    assert!(answers[..2].iter().all(|answer| answer.kind() == AnswerKind::Real));
    let altered = answers[1].alterations();
    assert_eq!(altered.len(), 1);
    assert_eq!(
        altered[0].to_string(),
        "note 6: G#4 for G4, since the minor third at the close may be answered by the major third"
    );
}

/// Prout, Fugue, §66: raised degrees answer raised degrees.
#[test]
fn minor_is_answered_in_the_dominant_minor() {
    let subject =
        Subject::from_text("G# minor", "4/4", "0", "G#4:1/4 F##4 E##4 F##4 G#4 B4 A#4 G#4").unwrap();
    let answer = subject.answers().unwrap().remove(0);
    assert_eq!(answer.key().to_string(), "D# minor");
    assert_eq!(
        answer.line().to_string(),
        "D#4:1/4 C##4:1/4 B##3:1/4 C##4:1/4 D#4:1/4 F#4:1/4 E#4:1/4 D#4:1/4"
    );
}

/// Prout, Fugue, §70.
#[test]
fn dominant_subject_has_a_real_answer_in_the_tonic() {
    let subject = Subject::from_text("C major", "4/4", "0", "D4:1/4 B3 E4 A3 B3:1/8 A3 G3:1/4").unwrap();
    let answer = subject.answers().unwrap().remove(0);
    assert_eq!((answer.kind(), answer.key().to_string()), (AnswerKind::Real, "C major".to_owned()));
    assert_eq!(answer.line().to_string(), "G4:1/4 E4:1/4 A4:1/4 D4:1/4 E4:1/8 D4:1/8 C4:1/4");
}

#[test]
fn composers_harmony_is_heard() {
    let subject = Subject::from_text("C major", "4/4", "0", "C4:1/4 E4 D4 E4 D4:1/2 C4:1/4 E4").unwrap();
    assert_eq!(subject.answers().unwrap()[0].kind(), AnswerKind::Real);
    let plan = "I:1/4 V/V:3/4 V/V:1/2 V/V:1/2".parse().unwrap();
    let answers = subject.with_harmony(plan).unwrap().answers().unwrap();
    assert_eq!(answers[0].kind(), AnswerKind::Tonal);
    assert_eq!(answers[0].readings()[1..], [Reading::Dominant; 6]);
}

/// Prout, Fugue, §§102, 144: where the neighbour moves along, its second is that of the tonic.
#[test]
fn neighbour_that_follows_takes_the_second_of_the_tonic() {
    let rows = [
        ("C major", "R:3/8 G4:1/8 A4 G4 E4 F4 E4:1/4", "C4:1/8 D4:1/8 C4:1/8"),
        ("C minor", "R:3/8 G4:1/8 Ab4 G4 Eb4 F4 Eb4:1/4", "C4:1/8 D4:1/8 C4:1/8"),
        ("C major", "R:3/8 G4:1/8 F4 G4 E4 F4 E4:1/4", "C4:1/8 B3:1/8 C4:1/8"),
    ];
    for (key, line, head) in rows {
        let answers = Subject::from_text(key, "4/4", "0", line).unwrap().answers().unwrap();
        assert!(answers.iter().any(|answer| answer.line().to_string().starts_with(head)), "{line} in {key}");
    }
}
