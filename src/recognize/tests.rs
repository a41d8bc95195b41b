//! Recognition of small scores.

use super::*;
use crate::exposition::Alignment;

const SUBJECT: &str = "A4:1/4 C5 B4 E4 A4 G#4 A4:1/2";
const ANSWER: &str = "E5:1/4 G5 F#5 B4 E5 D#5 E5:1/2";

fn outline(key: &str, lines: &[&str]) -> Option<Outline> {
    recognize(&Score::excerpt(key, "4/4", lines).unwrap()).map(|recognition| recognition.outline)
}

fn two_voices(key: &str, answer: &str) -> Option<Outline> {
    outline(key, &[&format!("R:2 {answer}"), &format!("{SUBJECT} G#4:1/4 A4 D4:1/2 C4:1/4 B3 A3:1/2")])
}

/// A theme in the minor under the signature of its relative major.
#[test]
fn doubtful_key_gives_way_to_the_one_that_is_heard() {
    let found = two_voices("C major", ANSWER).unwrap();
    assert_eq!(found.subject.key().to_string(), "A minor");
    assert_eq!(found.entries[1].key.to_string(), "E minor");
    assert_eq!(two_voices("A minor", ANSWER).unwrap(), found);
}

#[test]
fn wrong_note_stays_in_the_entry_and_the_alignment_points_at_it() {
    let wrong = ANSWER.replace("B4", "D5");
    let score = Score::excerpt("A minor", "4/4", &[&format!("R:2 {wrong}"), SUBJECT]).unwrap();
    let Recognition { outline, evidence, .. } = recognize(&score).unwrap();
    assert_eq!((outline.entries[1].notes.clone(), evidence[1].right, evidence[1].notes), (0..7, 6, 7));
    let partners = Alignment::of(&score, &outline.entries[1], outline.subject.line());
    assert_eq!(partners.partners()[3], Some(3));
}

#[test]
fn evidence_has_one_value_for_each_entry() {
    let lines = [format!("R:2 {ANSWER}"), format!("{SUBJECT} G#4:1/4 A4 D4:1/2 C4:1/4 B3 A3:1/2")];
    let score = Score::excerpt("A minor", "4/4", &[&lines[0], &lines[1]]).unwrap();
    let recognition = recognize(&score).unwrap();
    assert_eq!(recognition.evidence.len(), recognition.outline.entries.len());
}

/// The link before the answer belongs to neither entry.
#[test]
fn codetta_is_what_lies_between_two_entries() {
    let found = outline("A minor", &[&format!("R:5/2 {ANSWER}"), &format!("{SUBJECT} R:1/4 B4:1/8 C5 D5:1")])
        .unwrap();
    let link = Link { onset: "2".parse().unwrap(), end: "5/2".parse().unwrap() };
    assert_eq!((found.codettas, found.end), (vec![link], "9/2".parse().unwrap()));
}

/// Equal notes all the way are the worst that the search can meet.
#[test]
fn long_and_monotonous_scores_end_soon() {
    let unit = "C4:1/8 D4 E4 F4 G4 F4 E4 D4 ".repeat(5000);
    let score =
        Score::excerpt("C major", "4/4", &[&format!("R:2 {}", unit.replace('4', "5")), &unit]).unwrap();
    let start = std::time::Instant::now();
    let _ = recognize(&score);
    assert!(start.elapsed().as_secs() < 10, "{:?}", start.elapsed());
}
