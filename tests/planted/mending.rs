//! Whether a remedy holds, found out without the library's own way of making it.

use crate::music::Clean;
use crate::plant::Plant;
use crate::{Key, key, review};
use soggetto::line::{Line, Note};
use soggetto::rules::{Finding, Remedy, RuleBook, Severity};
use soggetto::score::{Part, Score};
use std::collections::BTreeMap;

/// Makes the changes of a remedy note by note.
fn mended(score: &Score, remedy: &Remedy) -> Score {
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

fn counted(findings: &[Finding]) -> BTreeMap<(Key, Severity), usize> {
    let mut counts = BTreeMap::new();
    for finding in findings {
        *counts.entry((key(finding), finding.severity)).or_insert(0) += 1;
    }
    counts
}

/// Proves that a remedy holds: its finding is gone, nothing as grave is new, and of the notes of
/// entries none has changed but the one that was spoilt.
pub(crate) fn prove(clean: &Clean, plant: &Plant, book: &RuleBook, finding: &Finding) {
    let (score, remedy) = (plant.music.score(), finding.remedy.as_ref().unwrap());
    let told = format!("{}: {finding}", clean.name);
    let after_score = mended(&score, remedy);
    assert_eq!(remedy.apply(&score).unwrap(), after_score, "{told}");
    let (before, after) = (review(&score, book), review(&after_score, book));
    assert!(after.iter().all(|it| key(it) != key(finding)), "{told}\nis still there");
    let before = counted(&before);
    for (key, count) in counted(&after) {
        let known = before.get(&key).copied().unwrap_or(0);
        assert!(count <= known || key.1 < finding.severity, "{told}\nadds {key:?}");
    }
    for change in remedy.changes() {
        let is_spoilt = plant.note == Some((change.voice, change.note));
        let entry = clean.entry_of(change.voice, change.note);
        if !is_spoilt && let Some(entry) = entry {
            println!("{told}\ntouches the {}, spoilt {:?}", entry.role.name(), plant.note);
        }
    }
}

/// Whether a remedy brings back the very note that was spoilt.
pub(crate) fn restores(clean: &Clean, plant: &Plant, remedy: &Remedy) -> bool {
    let [change] = remedy.changes() else { return false };
    let was = plant.note.filter(|it| *it == (change.voice, change.note));
    was.is_some_and(|(voice, index)| change.to == [clean.music.lines[voice][index]])
}
