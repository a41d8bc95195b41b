//! The notes that no remedy touches.

use crate::exposition::{Entry, Outline};
use crate::rules::Change;

/// Whether a note belongs to an entry.
pub(super) fn is_guarded(outline: Option<&Outline>, voice: usize, note: usize) -> bool {
    let owns = |entry: &Entry| entry.voice == voice && entry.notes.contains(&note);
    let others = |outline: &Outline| outline.others.iter().any(|(_, entry)| owns(entry));
    outline.is_some_and(|outline| outline.entries.iter().any(owns) || others(outline))
}

/// Whether changes touch the notes of an entry.
pub(super) fn touches_entry(outline: Option<&Outline>, changes: &[Change]) -> bool {
    changes.iter().any(|change| is_guarded(outline, change.voice, change.note))
}

/// The outline after changes that touch no entry: where notes are added or taken away, the notes of
/// later entries of the voice have other indices.
pub(super) fn outline_after(outline: &Outline, changes: &[Change]) -> Outline {
    let mut after = outline.clone();
    let others = after.others.iter_mut().map(|(_, entry)| entry);
    for entry in after.entries.iter_mut().chain(others) {
        let before = |change: &&Change| change.voice == entry.voice && change.note < entry.notes.start;
        let (mut added, mut taken) = (0, 0);
        for change in changes.iter().filter(before) {
            added += change.to.len();
            taken += 1;
        }
        let moved = |index: usize| (index + added).saturating_sub(taken);
        entry.notes = moved(entry.notes.start)..moved(entry.notes.end);
    }
    after
}
