//! Fugues recognized in scores whose annotations have been taken away.
//!
//! Drafts of every demo subject know their entries by construction; recognition sees the notes alone.
//! What is found is compared with what is known, in the drafts as they are and with mistakes planted
//! in each entry in turn. The figures are printed.
#![expect(clippy::unwrap_used, clippy::print_stdout, reason = "a test may panic and print")]

mod common;

use common::subjects;
use soggetto::compose::{DraftOptions, draft};
use soggetto::exposition::{Alignment, Entry, Exposition, Form, Role};
use soggetto::recognize::{self, Recognition, recognize};
use soggetto::{Ensemble, Interval, Line, Note, Part, Score, Time};
use std::sync::LazyLock;

static DRAFTS: LazyLock<Vec<(String, Exposition)>> = LazyLock::new(drafts);

/// Drafts of the demo subjects in two to five voices.
fn drafts() -> Vec<(String, Exposition)> {
    let mut drafts = Vec::new();
    for (name, subject) in subjects() {
        for voices in 2..=5 {
            let ensemble = Ensemble::named("plain").unwrap().with_voices(voices).unwrap();
            let exposition = draft(&subject, &DraftOptions::new(ensemble).with_seed(3)).unwrap();
            drafts.push((format!("{name} in {voices}"), exposition));
        }
    }
    assert!(drafts.len() >= 64, "only {} drafts", drafts.len());
    drafts
}

/// How many of the known there are, how many were found, how many of these are known.
#[derive(Default)]
struct Figures {
    known: usize,
    found: usize,
    right: usize,
}

impl Figures {
    fn add<'a>(&mut self, known: impl Iterator<Item = &'a Entry>, found: &[&Entry]) {
        let same = |one: &Entry, other: &Entry| {
            (one.voice, one.onset, one.role) == (other.voice, other.onset, other.role)
        };
        self.found += found.len();
        for entry in known {
            self.known += 1;
            self.right += usize::from(found.iter().any(|other| same(entry, other)));
        }
    }

    /// Prints them and checks recall and precision, in thousandths.
    fn assert_at_least(&self, recall: usize, precision: usize, what: &str) {
        let thousandths = |of: usize| self.right * 1000 / of.max(1);
        let (known, found) = (thousandths(self.known), thousandths(self.found));
        println!("{what}: {} known, recall {known}, precision {found} of 1000", self.known);
        assert!(known >= recall && found >= precision, "{what}: recall {known}, precision {found}");
    }
}

fn themes(entries: &[Entry]) -> impl Iterator<Item = &Entry> {
    entries.iter().filter(|entry| entry.role != Role::Countersubject)
}

/// The score with the notes of a voice changed.
fn changed(score: &Score, voice: usize, change: impl FnOnce(&mut Vec<Note>)) -> Score {
    let mut parts = score.parts().to_vec();
    let mut notes = parts[voice].line.notes().to_vec();
    change(&mut notes);
    parts[voice].line = Line::from_notes(notes, parts[voice].line.length()).unwrap();
    Score::new(score.key(), score.meter(), score.pickup(), parts).unwrap()
}

/// The figures over all drafts, each entry in turn changed; `change` gets the voice's notes and the
/// range of the entry, and returns whether it could do anything.
fn planted(what: &str, change: impl Fn(&mut Vec<Note>, std::ops::Range<usize>) -> bool) -> Figures {
    let mut figures = Figures::default();
    for (_, exposition) in DRAFTS.iter() {
        for (index, entry) in themes(exposition.entries()).enumerate() {
            let mut did = false;
            let score =
                changed(exposition.score(), entry.voice, |notes| did = change(notes, entry.notes.clone()));
            if !did {
                continue;
            }
            let onset = score.parts()[entry.voice].line.notes()[entry.notes.start].onset();
            let mut known: Vec<Entry> = themes(exposition.entries()).cloned().collect();
            known[index].onset = onset;
            let recognition = recognize(&score);
            let found = recognition.iter().flat_map(|recognition| recognition.outline.themes());
            figures.add(known.iter(), &found.collect::<Vec<_>>());
        }
    }
    assert!(figures.known > 200, "{what}: only {} entries", figures.known);
    figures
}

#[test]
fn all_entries_of_drafts_are_found() {
    let (mut themes_found, mut countersubjects) = (Figures::default(), Figures::default());
    let (mut subjects, mut ends, mut keys) = (0, 0, 0);
    for (name, exposition) in DRAFTS.iter() {
        let Some(Recognition { outline, .. }) = recognize(exposition.score()) else {
            themes_found.add(themes(exposition.entries()), &[]);
            println!("{name}: not taken for a fugue");
            continue;
        };
        themes_found.add(themes(exposition.entries()), &outline.themes().collect::<Vec<_>>());
        let against = exposition.entries().iter().filter(|entry| entry.role == Role::Countersubject);
        countersubjects.add(against, &outline.countersubjects().collect::<Vec<_>>());
        let known = exposition.outline();
        let same_notes = outline.subject.line().notes().len() == known.subject.line().notes().len();
        subjects += usize::from(same_notes && outline.subject.offset() == known.subject.offset());
        ends += usize::from(outline.end == known.end && outline.codettas == known.codettas);
        keys +=
            usize::from(outline.themes().map(|entry| entry.key).eq(known.themes().map(|entry| entry.key)));
    }
    let drafts = DRAFTS.len();
    println!("of {drafts} drafts: subject {subjects}, end and codettas {ends}, keys {keys}");
    themes_found.assert_at_least(1000, 1000, "entries");
    countersubjects.assert_at_least(980, 980, "countersubjects");
    assert!(subjects + 2 >= drafts && ends + 2 >= drafts && keys == drafts);
}

#[test]
fn wrong_note_does_not_hide_an_entry() {
    let step = |note: Note, name: &str| {
        let pitch = note.pitch().moved(name.parse().unwrap()).unwrap();
        Note::new(pitch, note.onset(), note.duration())
    };
    for (what, share) in
        [("wrong second note", 0), ("wrong note in the middle", 2), ("wrong note near the end", 3)]
    {
        for name in ["M2", "-m3"] {
            let figures = planted(what, |notes, range| {
                let at = range.start + 1 + (range.len() - 3) * share / 3;
                notes[at] = step(notes[at], name);
                true
            });
            figures.assert_at_least(990, 1000, &format!("{what} ({name})"));
        }
    }
    let last = planted("wrong last note", |notes, range| {
        notes[range.end - 1] = step(notes[range.end - 1], "M2");
        true
    });
    last.assert_at_least(980, 1000, "wrong last note");
}

#[test]
fn first_and_last_note_are_free_in_length() {
    let half = |note: Note| note.duration().scaled(1, 2).unwrap();
    let late = planted("late first note", |notes, range| {
        let note = notes[range.start];
        let onset = note.onset().checked_add(half(note)).unwrap();
        notes[range.start] = Note::new(note.pitch(), onset, half(note));
        true
    });
    late.assert_at_least(1000, 1000, "late first note");
    let long = planted("long last note", |notes, range| {
        let (at, last) = (range.end - 1, notes[range.end - 1]);
        let Some(next) = notes.get(range.end).copied().filter(|next| next.onset() == last.end()) else {
            return false;
        };
        notes[at] = Note::new(last.pitch(), last.onset(), next.end().checked_sub(last.onset()).unwrap());
        notes.remove(at + 1);
        true
    });
    long.assert_at_least(1000, 1000, "long last note");
}

#[test]
fn transposed_fugue_has_the_same_entries_in_other_keys() {
    let up: Interval = "m3".parse().unwrap();
    for (name, exposition) in DRAFTS.iter() {
        let score = exposition.score();
        let moved = |part: &Part| Part { voice: part.voice.clone(), line: part.line.moved(up).unwrap() };
        let parts = score.parts().iter().map(moved).collect();
        let moved = Score::new(score.key().moved(up).unwrap(), score.meter(), score.pickup(), parts).unwrap();
        let (here, there) = (recognize(score).unwrap().outline, recognize(&moved).unwrap().outline);
        assert_eq!(here.entries.len(), there.entries.len(), "{name}");
        for (one, other) in here.entries.iter().zip(&there.entries) {
            assert_eq!((one.role, one.voice, one.onset), (other.role, other.voice, other.onset), "{name}");
            assert_eq!(one.key.moved(up).unwrap(), other.key, "{name}");
        }
    }
}

/// The draft with a line added in its top voice, a bar after its end.
fn continued(exposition: &Exposition, line: &Line) -> (Score, Time) {
    let score = exposition.score();
    let onset = score.length().checked_add(score.meter().bar()).unwrap();
    let mut parts = score.parts().to_vec();
    let rested = parts[0].line.extended_to(onset).unwrap();
    parts[0].line = rested.then(line).unwrap();
    (Score::new(score.key(), score.meter(), score.pickup(), parts).unwrap(), onset)
}

#[test]
fn later_entries_are_found_in_other_keys() {
    let mut found = 0;
    for (_, exposition) in DRAFTS.iter() {
        let subject = exposition.subject();
        let (score, onset) = continued(exposition, &subject.line().moved("P4".parse().unwrap()).unwrap());
        let outline = recognize(&score).unwrap().outline;
        let key = subject.key().subdominant().unwrap();
        found += usize::from(outline.themes().any(|entry| (entry.onset, entry.key) == (onset, key)));
    }
    println!("entries in the subdominant: {found} of {}", DRAFTS.len());
    assert!(found * 100 >= DRAFTS.len() * 98);
}

#[test]
fn inverted_and_augmented_themes_are_found() {
    for form in [Form::Inverted, Form::Augmented, Form::Diminished] {
        let (mut found, mut others) = (0, 0);
        for (_, exposition) in DRAFTS.iter() {
            let (subject, axis) = (exposition.subject(), exposition.subject().line().notes()[0].pitch());
            let line = match form {
                Form::Inverted => subject.line().inverted_in(subject.key(), axis).unwrap(),
                Form::Augmented => subject.line().augmented(2).unwrap(),
                _ => subject.line().diminished(2).unwrap(),
            };
            let (score, onset) = continued(exposition, &line);
            let Recognition { outline, transformed, .. } = recognize(&score).unwrap();
            assert_eq!(recognize::outline(&score), Some(outline));
            let here =
                |found: &&soggetto::recognize::Transformed| (found.form, found.entry.onset) == (form, onset);
            found += transformed.iter().filter(here).count();
            others += transformed.iter().filter(|found| !here(found)).count();
        }
        println!("{}: {found} of {}, and {others} elsewhere", form.name(), DRAFTS.len());
        assert!(found * 100 >= DRAFTS.len() * 90 && others == 0, "{}", form.name());
    }
}

/// The worked answers of the handbooks (E. Prout, *Fugue*, 1891, and others), each played after its
/// subject by a second voice: whatever its alterations, it is an answer.
#[test]
fn printed_answers_are_recognized_as_answers() {
    let text = include_str!("../shared/handbook/answers.json");
    let examples: Vec<serde_json::Value> = serde_json::from_str(text).unwrap();
    let (mut all, mut right) = (0, 0);
    for example in &examples {
        let text = |field: &str| example[field].as_str().unwrap_or_default();
        let (Ok(subject), Ok(answer)) = (text("subject").parse::<Line>(), text("answer").parse::<Line>())
        else {
            continue;
        };
        let rest = Line::from_events([(None, subject.length())]).unwrap();
        let key = text("key");
        let Ok(score) = Score::excerpt(
            key,
            text("meter"),
            &[&rest.then(&answer).unwrap().to_string(), &subject.to_string()],
        ) else {
            continue;
        };
        all += 1;
        let found = recognize(&score).map(|recognition| recognition.outline);
        let is_right = found.is_some_and(|outline| {
            let answers: Vec<&Entry> =
                outline.entries.iter().filter(|entry| entry.role == Role::Answer).collect();
            outline.subject.line().notes().len() == subject.notes().len()
                && matches!(answers[..], [one] if (one.voice, one.onset) == (0, subject.length()))
        });
        right += usize::from(is_right);
        if !is_right {
            println!("{}: {subject} / {answer}", text("id"));
        }
    }
    println!("printed answers: {right} of {all}");
    assert!(all >= 60 && right * 100 >= all * 90, "{right} of {all}");
}

#[test]
fn alignment_finds_the_wrong_note() {
    let (_, exposition) = &DRAFTS[0];
    let entry = &exposition.entries()[1];
    let answer = exposition.answer().line();
    let alignment = Alignment::of(exposition.score(), entry, answer);
    let expected: Vec<Option<usize>> = entry.notes.clone().map(Some).collect();
    assert_eq!(alignment.partners(), expected);
}

#[test]
fn other_textures_are_no_fugues() {
    let scores: [(&str, &str, &[&str]); 7] = [
        // Common practice: a chorale phrase in four voices.
        ("C major", "4/4", &["G4:1/4 A4 B4 C5", "E4:1/4 F4 G4 G4", "C4:1/4 C4 D4 E4", "C3:1/4 F3 G3 C3"]),
        // The same with an upbeat in the tenor alone.
        (
            "C major",
            "4/4",
            &[
                "R:1/4 G4 A4 B4 C5:1",
                "R:1/4 E4 F4 G4 G4:1",
                "C4:1/8 B3 C4:1/4 C4 D4 E4:1",
                "R:1/4 C3 F3 G3 C3:1",
            ],
        ),
        // A melody, and an accompaniment that enters later.
        (
            "G major",
            "3/4",
            &["D5:1/4 G4:1/8 A4 B4 C5 D5:1/4 G4 G4 E5 C5:1/8 D5 E5 F#5 G5:1/4 G4 G4", "R:3/4 B3:3/4 C4 B3"],
        ),
        // A round: everybody at the unison, so nobody answers.
        (
            "C major",
            "4/4",
            &[
                "C5:1/4 D5 E5 C5 C5 D5 E5 C5 E5 F5 G5:1/2",
                "R:1 C5:1/4 D5 E5 C5 C5 D5 E5 C5",
                "R:2 C5:1/4 D5 E5 C5",
            ],
        ),
        // One voice alone, and silence.
        ("C major", "4/4", &["C5:1/4 D5 E5 F5 G5:1"]),
        ("C major", "4/4", &["R:1", "R:1"]),
        // Repeated notes in all voices, one after the other.
        ("C major", "4/4", &["C5:1/4 C5 C5 C5 C5 C5 C5 C5", "R:1 C4:1/4 C4 C4 C4"]),
    ];
    for (key, meter, lines) in scores {
        assert_eq!(recognize(&Score::excerpt(key, meter, lines).unwrap()), None, "{lines:?}");
    }
}

/// E. Prout, *Fugue* (1891), §162 (a), the opening of the second fugue of the Well-Tempered Clavier;
/// the subject from memory.
#[test]
fn opening_of_a_keyboard_fugue_is_heard_as_printed() {
    let upper = "R:17/8 G5:1/16 F#5 G5:1/8 C5 Eb5 G5:1/16 F#5 G5:1/8 A5 D5 G5:1/16 F#5 G5:1/8 A5 C5:1/16 D5 \
                 Eb5:1/4 D5:1/16 C5 Bb4:1/8";
    let lower = "R:1/8 C5:1/16 B4 C5:1/8 G4 Ab4 C5:1/16 B4 C5:1/8 D5 G4 C5:1/16 B4 C5:1/8 D5 F4:1/16 G4 Ab4:1/4 \
                 G4:1/16 F4 Eb4:1/16 C5 B4 A4 G4 F4 Eb4 D4 C4:1/8 Eb5 D5 C5 Bb4 A4 Bb4 C5 F#4 G4 A4 F#4 G4:1/4";
    let outline = recognize(&Score::excerpt("C minor", "4/4", &[upper, lower]).unwrap()).unwrap().outline;
    assert_eq!(outline.subject.line().notes().len(), 20);
    assert_eq!(outline.subject.offset().to_string(), "1/8");
    let seen: Vec<(Role, usize, String, String)> = outline
        .entries
        .iter()
        .map(|entry| (entry.role, entry.voice, entry.onset.to_string(), entry.key.to_string()))
        .collect();
    let row = |role, voice, onset: &str, key: &str| (role, voice, onset.to_owned(), key.to_owned());
    assert_eq!(seen[..2], [row(Role::Subject, 1, "1/8", "C minor"), row(Role::Answer, 0, "17/8", "G minor")]);
    assert_eq!(outline.countersubjects().count(), 1);
}
