//! What the notes of a subject are, found once before the search.

use super::opening::{self, Opening};
use crate::line::Note;
use crate::meter::Strength;
use crate::pitch::Pitch;
use crate::scale::Degree;
use crate::subject::Subject;
use crate::time::Time;

/// How foreign a note is to the dominant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Foreign {
    /// It belongs to it, or does not contradict it.
    No,
    /// It does not, but is too short and light to count for much.
    Passing,
    /// It does not.
    Yes,
}

/// What one note is.
#[derive(Clone, Copy, Debug)]
pub(super) struct NoteFacts {
    /// Its pitch.
    pub(super) pitch: Pitch,
    /// Its degree in the key of the subject.
    pub(super) degree: Degree,
    /// Its duration.
    pub(super) duration: Time,
    /// Whether it is foreign to the dominant.
    pub(super) foreign: Foreign,
    /// Whether it is a leading note that may be the third of the dominant.
    pub(super) doubtful: bool,
    /// Whether it must be in the tonic chord at the opening, held as tonic harmony.
    pub(super) held: bool,
}

/// How a subject closes, as far as the answer cares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Close {
    /// In the dominant, with its leading note.
    Expressed,
    /// In the dominant, by its shape.
    Implied,
    /// In the tonic, or nowhere else.
    Home,
}

/// What a subject is.
#[derive(Debug)]
pub(super) struct Facts {
    pub(super) notes: Vec<NoteFacts>,
    /// The dominant at the opening, if it asks for an answer of its own.
    pub(super) opening: Option<Opening>,
    /// How it closes.
    pub(super) close: Close,
    /// The earliest note from which everything can be heard in the dominant.
    pub(super) earliest: usize,
    /// The leading note of the dominant, if it is heard as such.
    pub(super) expressed: Option<usize>,
    /// Whether the third above the tonic is minor.
    pub(super) minor: bool,
}

/// The seventh degree, raised in minor: the leading note.
pub(super) fn is_leading_note(degree: Degree, minor: bool) -> bool {
    degree.number() == 7 && degree.alteration() == i32::from(minor)
}

impl Facts {
    pub(super) fn of(subject: &Subject) -> Self {
        let minor = subject.key().mode().has_minor_third();
        let notes = subject.line().notes();
        let mut facts: Vec<NoteFacts> = notes
            .iter()
            .map(|note| NoteFacts {
                pitch: note.pitch(),
                degree: subject.key().degree(note.pitch().class()),
                duration: note.duration(),
                foreign: Foreign::No,
                doubtful: false,
                held: false,
            })
            .collect();
        for index in 0..facts.len() {
            facts[index].foreign = foreign(subject, &facts, notes, index, minor);
            if index > 0 && in_foreign_chord(&facts[index - 1], &facts[index], minor) {
                facts[index].foreign = Foreign::Yes;
            }
            facts[index].doubtful = !minor && is_doubtful(subject, &facts, index);
        }
        let opening = opening::find(subject, &facts);
        let hold = opening::tonic_hold(&facts);
        facts[..hold].iter_mut().for_each(|note| note.held = true);
        let expressed = expressed(&facts);
        let earliest = earliest(&facts).max(hold);
        let close = close(&facts, expressed, earliest, minor);
        Self { notes: facts, opening, close, earliest, expressed, minor }
    }
}

/// Whether a note contradicts the dominant: the subdominant in major; in minor the flat sixth, and
/// the leading note that resolves to the tonic (Prout §§126, 129, 169).
fn foreign(subject: &Subject, facts: &[NoteFacts], notes: &[Note], index: usize, minor: bool) -> Foreign {
    let degree = facts[index].degree;
    if minor && is_leading_note(degree, minor) {
        let resolves = facts.get(index + 1).is_some_and(|next| next.degree == Degree::TONIC);
        return if resolves { Foreign::Yes } else { Foreign::No };
    }
    if degree.alteration() != 0 || degree.number() != if minor { 6 } else { 4 } {
        return Foreign::No;
    }
    let heavy = notes[index].duration() >= subject.meter().unit()
        || strength(subject, notes[index]) >= Strength::Pulse;
    if heavy { Foreign::Yes } else { Foreign::Passing }
}

/// How heavy the place of a note is.
pub(super) fn strength(subject: &Subject, note: Note) -> Strength {
    match note.onset().checked_add(subject.offset()) {
        Ok(place) => subject.meter().strength(place),
        Err(_) => Strength::Subdivision,
    }
}

/// A leading note of weight that comes from the tonic and does not return to it, or the third to
/// which it leaps (Prout §§127, 131, 133).
fn is_doubtful(subject: &Subject, facts: &[NoteFacts], index: usize) -> bool {
    let note = &facts[index];
    if index > 0 && facts[index - 1].doubtful && is_leading_note(facts[index - 1].degree, false) {
        return note.degree == Degree::MEDIANT;
    }
    is_leading_note(note.degree, false)
        && note.duration >= subject.meter().unit()
        && index > 0
        && facts[index - 1].degree == Degree::TONIC
        && facts.get(index + 1).is_some_and(|next| matches!(next.degree.number(), 3 | 6))
}

/// The last raised fourth that leads to the dominant and is not taken back (Prout §118).
fn expressed(facts: &[NoteFacts]) -> Option<usize> {
    let natural = Degree::of_steps(3);
    let taken_back = facts.iter().rposition(|note| note.degree == natural).map_or(0, |index| index + 1);
    let raised = facts[taken_back..].iter().position(|note| note.degree == natural.altered(1))?;
    Some(taken_back + raised)
}

/// Whether a tonic or sixth is leapt to from the subdominant, whose chord it then belongs to.
fn in_foreign_chord(before: &NoteFacts, note: &NoteFacts, minor: bool) -> bool {
    !minor
        && before.foreign == Foreign::Yes
        && before.degree.number() == 4
        && note.degree.alteration() == 0
        && matches!(note.degree.number(), 1 | 6)
}

/// The note after the last that contradicts the dominant.
fn earliest(facts: &[NoteFacts]) -> usize {
    facts.iter().rposition(|note| note.foreign == Foreign::Yes).map_or(0, |index| index + 1)
}

/// How a subject closes (Prout §§118-119, 129).
fn close(facts: &[NoteFacts], expressed: Option<usize>, earliest: usize, minor: bool) -> Close {
    let Some(last) = facts.last() else { return Close::Home };
    if expressed.is_some() && matches!(last.degree.number(), 2 | 5 | 7) {
        return Close::Expressed;
    }
    let before = facts.len().checked_sub(2).map(|index| &facts[index]);
    let implied = match last.degree.number() {
        7 => last.degree.alteration() == 0,
        5 => before.is_some_and(|note| note.degree == Degree::of_steps(5).altered(i8::from(minor))),
        2 => facts.len() >= earliest + 4,
        _ => false,
    };
    if implied { Close::Implied } else { Close::Home }
}
