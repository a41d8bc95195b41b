//! Slips: notes of an entry that depart from its theme, and what the theme has there.

use crate::exposition::{Entry, Outline, Role};
use crate::interval::Interval;
use crate::line::Line;
use crate::pitch::Pitch;
use crate::score::Score;
use crate::time::Time;
use std::collections::BTreeMap;

/// What a theme has in place of the notes that depart from it, by voice and index.
pub(super) type Slips = BTreeMap<(usize, usize), Pitch>;

/// An entry is a statement of a theme with slips if at least three notes in four agree with it.
const AGREEING: (usize, usize) = (3, 4);

/// The slips of all entries.
///
/// A subject is held to the subject, an answer to the answers that the library derives, each to the
/// other entries of its role. A countersubject may differ lawfully between subject and answer, and is
/// held to its other entries against the same of the two. The theme with which most notes agree
/// counts, the one named first among equals.
pub(super) fn slips(outline: Option<&Outline>, score: &Score) -> Slips {
    let Some(outline) = outline else { return Slips::new() };
    let derived = Derived::of(outline);
    outline.entries.iter().flat_map(|entry| departures(entry, &derived, outline, score)).collect()
}

/// The pitches of the themes that follow from the subject.
struct Derived {
    subject: Vec<Pitch>,
    answers: Vec<Vec<Pitch>>,
}

impl Derived {
    fn of(outline: &Outline) -> Self {
        let pitches = |line: &Line| line.notes().iter().map(|note| note.pitch()).collect();
        let answers = outline.subject.answers().unwrap_or_default();
        let answers = answers.iter().map(|answer| pitches(answer.line())).collect();
        Self { subject: pitches(outline.subject.line()), answers }
    }

    fn of_role(&self, role: Role) -> Vec<Vec<Pitch>> {
        match role {
            Role::Subject => vec![self.subject.clone()],
            Role::Answer => self.answers.clone(),
            Role::Countersubject => Vec::new(),
        }
    }
}

fn pitches(entry: &Entry, score: &Score) -> Vec<Pitch> {
    let line = score.parts().get(entry.voice).map(|part| &part.line);
    let notes = line.and_then(|line| line.notes().get(entry.notes.clone())).unwrap_or(&[]);
    notes.iter().map(|note| note.pitch()).collect()
}

/// Whether two entries state the same theme, countersubjects against the same theme.
fn is_alike(one: &Entry, other: &Entry, outline: &Outline) -> bool {
    one.role == other.role
        && (one.role != Role::Countersubject || partner(one, outline) == partner(other, outline))
}

/// What a countersubject stands against: the theme in another voice that begins nearest to it.
fn partner(countersubject: &Entry, outline: &Outline) -> Option<Role> {
    let apart = |theme: &&Entry| {
        let (one, other) = (theme.onset, countersubject.onset);
        one.max(other).checked_sub(one.min(other)).unwrap_or(Time::WHOLE)
    };
    let others = outline.themes().filter(|theme| theme.voice != countersubject.voice);
    Some(others.min_by_key(apart)?.role)
}

/// Where an entry departs from the theme that it states.
fn departures(
    entry: &Entry,
    derived: &Derived,
    outline: &Outline,
    score: &Score,
) -> Vec<((usize, usize), Pitch)> {
    let own = pitches(entry, score);
    let mut themes = derived.of_role(entry.role);
    let others = outline.entries.iter().filter(|&other| other != entry && is_alike(other, entry, outline));
    themes.extend(others.map(|other| pitches(other, score)));
    themes.retain(|theme| theme.len() == own.len());
    let fits = themes.iter().map(|theme| (usual_interval(theme, &own), theme));
    let best = fits.rev().max_by_key(|((_, agreeing), _)| *agreeing);
    let Some(((interval, agreeing), theme)) = best else { return Vec::new() };
    if agreeing * AGREEING.1 < own.len() * AGREEING.0 {
        return Vec::new();
    }
    let right = theme.iter().zip(&own).enumerate().filter_map(|(index, (model, note))| {
        let right = model.moved(interval).ok()?;
        (right != *note).then_some(((entry.voice, entry.notes.start + index), right))
    });
    right.collect()
}

/// The interval by which most notes of a theme have been moved, the first among equals, and how
/// many they are.
fn usual_interval(theme: &[Pitch], own: &[Pitch]) -> (Interval, usize) {
    let mut counts: Vec<(Interval, usize)> = Vec::new();
    for (model, note) in theme.iter().zip(own) {
        let interval = *note - *model;
        match counts.iter_mut().find(|(known, _)| *known == interval) {
            Some((_, count)) => *count += 1,
            None => counts.push((interval, 1)),
        }
    }
    counts.into_iter().rev().max_by_key(|(_, count)| *count).unwrap_or((Interval::UNISON, 0))
}
