//! Other durations for a note.

use super::candidate::{Kind, Subject};
use super::guard::is_guarded;
use crate::line::Note;
use crate::rules::Change;
use crate::texture::Texture;
use crate::time::Time;

/// The changes of rhythm that a note admits, smaller ones first within a kind. None leaves a note
/// shorter than half the meter's unit, or of a length that takes more than a note with a dot: a remedy
/// is no trick.
pub(super) fn changes(texture: &Texture<'_>, subject: Subject, place: Time) -> Vec<(Kind, Vec<Change>)> {
    let meter = texture.score().meters().at(subject.note.onset());
    let shortest = meter.unit().scaled(1, 2).unwrap_or(Time::WHOLE);
    let is_plain = |change: &Change| {
        let durations = change.to.iter().map(|note| note.duration());
        durations.into_iter().all(|it| it >= shortest && matches!(it.numerator(), 1..=4 | 6))
    };
    let mut changes = all(texture, subject, place);
    changes.retain(|(_, changes)| changes.iter().all(is_plain));
    changes
}

fn all(texture: &Texture<'_>, subject: Subject, place: Time) -> Vec<(Kind, Vec<Change>)> {
    let Some(part) = texture.score().parts().get(subject.voice) else { return Vec::new() };
    let notes = part.line.notes();
    let at = |index: Option<usize>| index.and_then(|index| notes.get(index)).copied();
    let (before, after) = (at(subject.index.checked_sub(1)), at(subject.index.checked_add(1)));
    let next_is_free = !is_guarded(texture.outline(), subject.voice, subject.index + 1);
    let last_is_free =
        subject.index.checked_sub(1).is_some_and(|i| !is_guarded(texture.outline(), subject.voice, i));
    let until = after.map_or(part.line.length(), Note::onset);
    let durations = [longer(subject, until), struck_again(subject, place)];
    let durations = durations.into_iter().flatten().map(|change| (Kind::Duration, vec![change]));
    let next = after.filter(|_| next_is_free);
    let shifts = next.into_iter().flat_map(|next| [later(subject, next), earlier(subject, next)]);
    let shifts = shifts.flatten().map(|changes| (Kind::Shift, changes));
    let repeated = before.filter(|before| before.pitch() == subject.note.pitch());
    let rests = repeated.into_iter().flat_map(|before| without(subject, before, last_is_free));
    let rests = shorter(subject).map(|change| vec![change]).into_iter().chain(rests);
    durations.chain(shifts).chain(rests.map(|changes| (Kind::Rest, changes))).collect()
}

/// With another onset and end.
fn lasting(note: Note, onset: Time, end: Time) -> Option<Note> {
    let duration = end.checked_sub(onset).ok().filter(|duration| duration.is_positive())?;
    Some(Note::new(note.pitch(), onset, duration))
}

/// Held through the rest that follows.
fn longer(subject: Subject, until: Time) -> Option<Change> {
    let note = lasting(subject.note, subject.note.onset(), until)?;
    (until > subject.note.end()).then(|| subject.into_notes(vec![note]))
}

/// The middle of a note.
fn middle(note: Note) -> Option<Time> {
    note.onset().checked_add(note.duration().scaled(1, 2).ok()?).ok()
}

/// Half as long, and a rest.
fn shorter(subject: Subject) -> Option<Change> {
    let note = lasting(subject.note, subject.note.onset(), middle(subject.note)?)?;
    Some(subject.into_notes(vec![note]))
}

/// Struck again at the place of the finding, or in its middle if that lies outside.
fn struck_again(subject: Subject, place: Time) -> Option<Change> {
    let note = subject.note;
    let is_inside = note.onset() < place && place < note.end();
    let again = if is_inside { place } else { middle(note)? };
    let halves = vec![lasting(note, note.onset(), again)?, lasting(note, again, note.end())?];
    Some(subject.into_notes(halves))
}

/// Dotted: held through the first half of the next note.
fn later(subject: Subject, next: Note) -> Option<Vec<Change>> {
    let border = middle(next)?;
    moved_border(subject, next, border)
}

/// The next note comes earlier, by half of this one.
fn earlier(subject: Subject, next: Note) -> Option<Vec<Change>> {
    let border = middle(subject.note)?;
    moved_border(subject, next, border)
}

/// The border between a note and the next, which follow each other without a rest, elsewhere.
fn moved_border(subject: Subject, next: Note, border: Time) -> Option<Vec<Change>> {
    if subject.note.end() != next.onset() {
        return None;
    }
    let own = subject.into_notes(vec![lasting(subject.note, subject.note.onset(), border)?]);
    let to = vec![lasting(next, border, next.end())?];
    Some(vec![own, Change { voice: subject.voice, note: subject.index + 1, from: next, to }])
}

/// Without a repeated note: a rest in its place, or the note before held through it.
fn without(subject: Subject, before: Note, may_hold: bool) -> Vec<Vec<Change>> {
    let silent = subject.into_notes(Vec::new());
    let held = lasting(before, before.onset(), subject.note.end()).filter(|_| may_hold);
    let held = held.map(|to| {
        let note = subject.index.saturating_sub(1);
        vec![Change { voice: subject.voice, note, from: before, to: vec![to] }, silent.clone()]
    });
    [vec![silent.clone()]].into_iter().chain(held).collect()
}
