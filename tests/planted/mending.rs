//! Whether a remedy holds, found out without the library's own way of making it.

use crate::common::mended;
use crate::music::Clean;
use crate::plant::Plant;
use crate::{Key, key, review};
use soggetto::exposition::{Entry, Role};
use soggetto::recognize::recognize;
use soggetto::rules::{Change, Finding, Remedy, RuleBook, Severity};
use std::collections::BTreeMap;

fn counted(findings: &[Finding]) -> BTreeMap<(Key, Severity), usize> {
    let mut counts = BTreeMap::new();
    for finding in findings {
        *counts.entry((key(finding), finding.severity)).or_insert(0) += 1;
    }
    counts
}

/// Why a remedy does not hold, if it does not: its finding must be gone, nothing as grave new, and no note of subject
/// or answer changed but the one that was spoilt, nor any of a countersubject that was not spoilt.
pub(crate) fn objection(clean: &Clean, plant: &Plant, book: &RuleBook, finding: &Finding) -> Option<String> {
    let (score, remedy) = (plant.music.score(), finding.remedy.as_ref().unwrap());
    let after_score = mended(&score, remedy);
    assert_eq!(remedy.apply(&score).unwrap(), after_score, "{finding}");
    let (before, after) = (review(&score, book), review(&after_score, book));
    let is_left = after.iter().any(|it| key(it) == key(finding));
    let before = counted(&before);
    let is_new = |((key, severity), count): &((Key, Severity), usize)| {
        let known = before.get(&(key.clone(), *severity)).copied().unwrap_or(0);
        *count > known && *severity >= finding.severity
    };
    let outline = recognize(&score).map(|it| it.outline);
    let touches = |change: &Change| {
        let place = (change.voice, change.note);
        let touched = outline.iter().flat_map(|it| &it.entries).find(|entry| holds(entry, place));
        let is_its_own = touched.is_some_and(|entry| plant.note.is_some_and(|note| holds(entry, note)));
        let is_theme =
            clean.entry_of(change.voice, change.note).is_some_and(|it| it.role != Role::Countersubject);
        (touched.is_some() && !is_its_own) || (is_theme && plant.note != Some(place))
    };
    let told = |what: String| format!("{}: {finding} {remedy}: {what}", clean.name);
    match counted(&after).into_iter().find(is_new) {
        _ if is_left => Some(told("is still there".to_owned())),
        Some(new) => Some(told(format!("adds {new:?}"))),
        None if remedy.changes().iter().any(touches) => Some(told("touches an entry".to_owned())),
        None => None,
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
