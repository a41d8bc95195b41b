//! What several tests need: the demo subjects, and remedies made without the library's own way of it.
#![allow(dead_code, clippy::unwrap_used, reason = "each test takes what it needs, and may panic")]

use soggetto::interchange::json;
use soggetto::line::{Line, Note};
use soggetto::rules::Remedy;
use soggetto::score::{Part, Score};
use soggetto::subject::Subject;
use std::fs;

/// The subjects of `shared/subjects`, in the order of their names.
pub(crate) fn subjects() -> Vec<(String, Subject)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/shared/subjects");
    let mut paths: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|kind| kind == "json"));
    paths.sort();
    let subject = |path: &std::path::PathBuf| {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        (name, json::read_subject(&fs::read_to_string(path).unwrap()).unwrap())
    };
    let subjects: Vec<_> = paths.iter().map(subject).collect();
    assert!(subjects.len() >= 16, "only {} demo subjects", subjects.len());
    subjects
}

/// Makes the changes of a remedy note by note.
pub(crate) fn mended(score: &Score, remedy: &Remedy) -> Score {
    let mut parts: Vec<Part> = score.parts().to_vec();
    for (voice, part) in parts.iter_mut().enumerate() {
        let mut notes: Vec<Note> = Vec::new();
        for (index, note) in part.line.notes().iter().enumerate() {
            match remedy.changes().iter().find(|change| (change.voice, change.note) == (voice, index)) {
                Some(change) => {
                    assert_eq!(change.from, *note);
                    notes.extend(&change.to);
                }
                None => notes.push(*note),
            }
        }
        let length = notes.last().map_or(part.line.length(), |note| note.end().max(part.line.length()));
        part.line = Line::from_notes(notes, length).unwrap();
    }
    Score::new(score.key(), score.meter(), score.pickup(), parts).unwrap()
}
