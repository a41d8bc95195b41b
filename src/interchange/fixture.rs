//! Music for the tests of this layer.

use crate::exposition::{Entry, Exposition, Form, Link, Role};
use crate::key::Key;
use crate::line::Line;
use crate::recognize::{Evidence, Transformed};
use crate::score::{Part, Score};
use crate::subject::Subject;
use crate::time::Time;
use crate::voice::{Clef, Voice};
use std::ops::Range;

fn time(text: &str) -> Time {
    text.parse().unwrap()
}

fn line(text: &str) -> Line {
    text.parse().unwrap()
}

fn key(text: &str) -> Key {
    text.parse().unwrap()
}

/// A score of voices called `part 1`, `part 2` and so on.
pub(super) fn score(key_text: &str, meter: &str, pickup: &str, lines: &[&str]) -> Score {
    let part = |(index, text): (usize, &&str)| Part {
        voice: Voice::new(format!("part {}", index + 1)),
        line: line(text),
    };
    let parts = lines.iter().enumerate().map(part).collect();
    Score::new(key(key_text), meter.parse().unwrap(), time(pickup), parts).unwrap()
}

const SUBJECT: &str = "D4:1/4 A4 F4:1/8 E4 D4 E4 F4:1/4 G4:1/8 F4 E4:1/4 D4";
const ANSWER: &str = "A4:1/4 D5 C5:1/8 B4 A4 B4 C5:1/4 D5:1/8 C5 B4:1/4 A4";
const COUNTERSUBJECT: &str = "F4:1/2 E4:1/4 G4:1/8 F4 E4:3/8 D4:1/8 G#4:1/4 F4";

/// A three-voice exposition of our own: alto, soprano, then after a codetta of one bar the bass.
pub(super) fn exposition() -> Exposition {
    let soprano =
        format!("R:2 {ANSWER} C#5:1/2 D5:1/4 E5 Bb4:1/2 A4:1/4 C5:1/8 Bb4 A4:3/8 G4:1/8 C#5:1/4 Bb4");
    let alto = format!("{SUBJECT} {COUNTERSUBJECT} E4:1/2 F4:1/4 G4 F4:1/2 F4:1/4 E4 F4:1/2 E4:1/4 D4");
    let bass = "R:5 D3:1/4 A3 F3:1/8 E3 D3 E3 F3:1/4 G3:1/8 F3 E3:1/4 D3".to_owned();
    let voice = |name: &str, clef, text: &str| Part {
        voice: Voice::new(name).with_clef(clef).with_sound(20),
        line: line(text),
    };
    let parts = vec![
        voice("Soprano", Clef::Treble, &soprano),
        voice("Alto", Clef::Treble, &alto),
        voice("Bass", Clef::Bass, &bass),
    ];
    let meter = "4/4".parse().unwrap();
    let subject = Subject::new(key("D minor"), meter, Time::ZERO, line(SUBJECT))
        .unwrap()
        .with_id("fughetta")
        .with_title("Fughetta in D minor");
    Exposition {
        score: Score::new(key("D minor"), meter, Time::ZERO, parts).unwrap(),
        answer: subject.answers().unwrap().remove(0),
        subject,
        countersubject: Some(line(COUNTERSUBJECT)),
        entries: vec![
            entry(Role::Subject, 1, "0", 0..11, "D minor"),
            entry(Role::Answer, 0, "2", 0..11, "A minor"),
            entry(Role::Countersubject, 1, "2", 11..19, "A minor"),
            entry(Role::Countersubject, 0, "5", 14..22, "D minor"),
            entry(Role::Subject, 2, "5", 0..11, "D minor"),
        ],
        codettas: vec![Link { onset: time("4"), end: time("5") }],
    }
}

fn entry(role: Role, voice: usize, onset: &str, notes: Range<usize>, in_key: &str) -> Entry {
    Entry { role, voice, onset: time(onset), notes, key: key(in_key) }
}

/// A finding at the second beat of the third bar.
pub(super) fn finding() -> crate::rules::Finding {
    use crate::rules::{Evidence, Finding, RuleId, Severity};
    let pitch = |text: &str| text.parse().unwrap();
    Finding {
        rule: RuleId::new("parallel-perfects"),
        severity: Severity::Fault,
        place: exposition().score().place(time("9/4")).unwrap(),
        voices: vec![0, 1],
        notes: vec![(0, 1), (1, 12)],
        message: "Soprano and Alto move in parallel fifths".to_owned(),
        evidence: Evidence::Motion { upper: [pitch("A4"), pitch("D5")], lower: [pitch("D4"), pitch("G4")] },
        source: crate::source::Source::CommonPractice,
        remedy: None,
    }
}

/// A statement of the theme upside down, as if its last entry were one.
pub(super) fn inverted(exposition: &Exposition) -> Transformed {
    let last = exposition.entries().iter().max_by_key(|entry| entry.onset).unwrap();
    let entry = Entry { role: Role::Answer, onset: time("6"), ..last.clone() };
    Transformed { entry, form: Form::Inverted, evidence: Evidence::default() }
}
