//! Whether a remedy holds, found out without the library's own way of making it.

use crate::common::mended;
use crate::music::Clean;
use crate::plant::Plant;
use crate::{Key, key, review};
use soggetto::exposition::{Entry, Role};
use soggetto::recognize::recognize;
use soggetto::rules::{Finding, Remedy, RuleBook, Severity};
use std::collections::BTreeMap;

fn counted(findings: &[Finding]) -> BTreeMap<(Key, Severity), usize> {
    let mut counts = BTreeMap::new();
    for finding in findings {
        *counts.entry((key(finding), finding.severity)).or_insert(0) += 1;
    }
    counts
}

/// Proves that a remedy holds: its finding is gone, nothing as grave is new, and no note of subject or
/// answer has changed but the one that was spoilt, nor any of a countersubject that was not spoilt.
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
    let outline = recognize(&score).map(|it| it.outline);
    for change in remedy.changes() {
        let place = (change.voice, change.note);
        let touched = outline.iter().flat_map(|it| &it.entries).find(|entry| holds(entry, place));
        let is_its_own = touched.is_some_and(|entry| plant.note.is_some_and(|note| holds(entry, note)));
        let is_theme =
            clean.entry_of(change.voice, change.note).is_some_and(|it| it.role != Role::Countersubject);
        assert!(touched.is_none() || is_its_own, "{told}\ntouches the {}", touched.unwrap().role.name());
        assert!(!is_theme || plant.note == Some(place), "{told}\ntouches the theme");
    }
}

fn holds(entry: &Entry, (voice, note): (usize, usize)) -> bool {
    entry.voice == voice && entry.notes.contains(&note)
}

/// Whether a remedy brings back the very note that was spoilt.
pub(crate) fn restores(clean: &Clean, plant: &Plant, remedy: &Remedy) -> bool {
    let [change] = remedy.changes() else { return false };
    let was = plant.note.filter(|it| *it == (change.voice, change.note));
    was.is_some_and(|(voice, index)| change.to == [clean.music.lines[voice][index]])
}
