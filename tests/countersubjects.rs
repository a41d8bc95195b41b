//! The countersubjects printed in the handbooks, and every interval they make with the answer.
//!
//! Each row of `shared/handbook/countersubjects.json` is taken from the printed music; the table of
//! the library must have the same rows and no other.
#![expect(clippy::unwrap_used, reason = "a test may panic: that is how it fails")]

use serde_json::Value;
use soggetto::exposition::{Entry, Role};
use soggetto::line::Line;
use soggetto::score::{Part, Score};
use soggetto::texture::{Meeting, Texture};
use soggetto::time::Time;
use soggetto::voice::Voice;

const COUNTERSUBJECTS: &str = include_str!("../shared/handbook/countersubjects.json");

fn text<'a>(value: &'a Value, field: &str) -> &'a str {
    value[field].as_str().unwrap()
}

/// A line begun later.
fn delayed(line: &str, by: Time) -> Line {
    if by.is_positive() { format!("R:{by} {line}").parse().unwrap() } else { line.parse().unwrap() }
}

/// The table of answer over countersubject as printed, and the onset of the answer.
fn table(example: &Value) -> (Vec<Meeting>, Time) {
    let later: Time = text(example, "countersubject_starts_after_answer_by").parse().unwrap();
    let answer_at = Time::ZERO.checked_sub(later).unwrap().max(Time::ZERO);
    let lines =
        [delayed(text(example, "answer"), answer_at), delayed(text(example, "countersubject"), later)];
    let part = |line: &Line| Part { voice: Voice::new("voice"), line: line.clone() };
    let key = text(example, "key").parse().unwrap();
    let score =
        Score::new(key, "4/4".parse().unwrap(), Time::ZERO, lines.iter().map(part).collect()).unwrap();
    let entry = |role, voice: usize| {
        let notes = 0..lines[voice].notes().len();
        Entry { role, voice, onset: Time::ZERO, notes, key }
    };
    let (answer, countersubject) = (entry(Role::Answer, 0), entry(Role::Countersubject, 1));
    (Texture::of(&score).meetings(&answer, &countersubject), answer_at)
}

/// A row as both sides can write it: onset from the answer's, upper and lower note, number, semitones.
fn row(meeting: &Meeting, answer_at: Time) -> String {
    let onset = meeting.place.onset.checked_sub(answer_at).unwrap();
    let interval = meeting.interval();
    let (number, semitones) = (interval.number(), interval.semitones());
    format!("{onset} {} {} {number} {semitones}", meeting.upper, meeting.lower)
}

fn printed(vertical: &Value) -> String {
    let (answer, countersubject) = (text(vertical, "answer"), text(vertical, "cs"));
    let above = vertical["cs_above"].as_bool().unwrap();
    let (upper, lower) = if above { (countersubject, answer) } else { (answer, countersubject) };
    format!("{} {upper} {lower} {} {}", text(vertical, "t"), vertical["interval"], vertical["semitones"])
}

#[test]
fn all_intervals_between_printed_answer_and_countersubject_are_found() {
    let examples: Vec<Value> = serde_json::from_str(COUNTERSUBJECTS).unwrap();
    let mut rows = 0;
    for example in examples.iter().filter(|example| example["verticals"].is_array()) {
        let (meetings, answer_at) = table(example);
        let found: Vec<String> = meetings.iter().map(|meeting| row(meeting, answer_at)).collect();
        let expected: Vec<String> = example["verticals"].as_array().unwrap().iter().map(printed).collect();
        assert_eq!(found, expected, "{}", text(example, "id"));
        rows += found.len();
    }
    assert_eq!(rows, 79);
}
