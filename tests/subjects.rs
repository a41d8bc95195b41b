//! The subjects of `shared/subjects`, held to the table of its README.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic: that is how it fails")]

use soggetto::ensemble::Ensemble;
use soggetto::harmony::Harmony;
use soggetto::subject::{ModulationKind, Profile, Subject};
use std::collections::BTreeMap;
use std::path::Path;

/// A subject with the harmony of its file, unchecked.
struct Read {
    subject: Subject,
    harmony: Option<Harmony>,
}

fn folder() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/shared/subjects"))
}

fn read(path: &Path) -> Read {
    let text = std::fs::read_to_string(path).unwrap();
    let file: serde_json::Value = serde_json::from_str(&text).unwrap();
    let field = |name: &str| file[name].as_str().unwrap_or_else(|| panic!("{}: no {name}", path.display()));
    assert_eq!(field("id"), path.file_stem().unwrap().to_str().unwrap());
    let subject = Subject::from_text(field("key"), field("meter"), field("offset"), field("subject"))
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let harmony = file.get("harmony").map(|text| text.as_str().unwrap().parse().unwrap());
    Read { subject: subject.with_title(field("title")), harmony }
}

fn all() -> BTreeMap<String, Read> {
    let files = std::fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path());
    let subjects = files.filter(|path| path.extension().is_some_and(|extension| extension == "json"));
    subjects.map(|path| (path.file_stem().unwrap().to_str().unwrap().to_owned(), read(&path))).collect()
}

/// The rows of the README's table, cells trimmed.
fn table() -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(folder().join("README.md")).unwrap();
    let rows = text.lines().filter(|line| line.starts_with("| ")).skip(1);
    rows.map(|row| row.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect()).collect()
}

fn dominant(profile: &Profile) -> &'static str {
    match profile.modulation().map(|modulation| modulation.kind) {
        Some(ModulationKind::Expressed) => "expressed",
        Some(ModulationKind::Implied) => "implied",
        None => "-",
    }
}

#[test]
fn table_says_what_the_subjects_are() {
    let (subjects, table) = (all(), table());
    assert!(subjects.len() >= 14);
    assert_eq!(subjects.keys().collect::<Vec<_>>().len(), table.len());
    for row in &table {
        let read = subjects.get(&row[0]).unwrap_or_else(|| panic!("no file for {}", row[0]));
        let (subject, profile) = (&read.subject, read.subject.profile());
        let facts = [
            row[0].clone(),
            subject.key().to_string(),
            subject.meter().to_string(),
            profile.bars().to_string(),
            profile.first().to_string(),
            profile.ending().degree.to_string(),
            dominant(&profile).to_owned(),
            if read.harmony.is_some() { "given" } else { "-" }.to_owned(),
        ];
        assert_eq!(facts.as_slice(), &row[..8]);
    }
}

#[test]
fn all_given_harmonies_fit_their_subjects() {
    let given: Vec<Read> = all().into_values().filter(|read| read.harmony.is_some()).collect();
    assert!(given.len() * 2 >= all().len());
    for read in given {
        let title = read.subject.title().unwrap().to_owned();
        let fitted = read.subject.with_harmony(read.harmony.unwrap());
        assert!(fitted.is_ok(), "{title}: {fitted:?}");
    }
}

/// Inference is a reader, not an oracle: under most notes it finds the root that was written by hand.
#[test]
fn inferred_harmony_agrees_with_the_given_one_under_most_notes() {
    let (mut same, mut notes) = (0, 0);
    for read in all().into_values() {
        let Some(given) = read.harmony else { continue };
        let (subject, key) = (&read.subject, read.subject.key());
        let inferred = Harmony::infer(subject.line(), key, subject.meter(), subject.offset());
        for note in subject.line().notes() {
            let root = |plan: &Harmony| {
                let span = plan.chord_at(note.onset()).unwrap();
                span.numeral.in_key(key).unwrap().root()
            };
            notes += 1;
            same += usize::from(root(&given) == root(&inferred));
        }
    }
    assert!(same * 10 >= notes * 8, "{same} of {notes} notes stand over the root written by hand");
}

#[test]
fn subjects_end_on_an_accent_as_the_craft_asks() {
    for (name, read) in all() {
        assert!(read.subject.profile().ending().accented, "{name}");
    }
}

#[test]
fn every_recorder_can_play_every_subject_in_some_octave() {
    let consort = Ensemble::named("recorder-consort").unwrap();
    for (name, read) in all() {
        let players = read.subject.profile().singers(&consort).len();
        assert_eq!(players, consort.voices().len(), "{name}");
    }
}
