//! What a harmony given by the composer says of how notes are heard.

use super::Reading;
use crate::chord::Numeral;
use crate::subject::Subject;

/// How the notes of a subject are heard by the harmony that its composer gave; nothing where it
/// leaves the ear free.
///
/// A chord that belongs to the dominant (V of V and the like) puts its notes in the dominant, a
/// chord on the fourth degree or the second leaves them in the tonic, which alone has it. Tonic and
/// dominant chords decide nothing: the one is fourth, the other first in the dominant key (Prout,
/// *Fugue*, §§120-122).
pub(super) fn of(subject: &Subject) -> Vec<Option<Reading>> {
    let Some(harmony) = subject.harmony() else { return Vec::new() };
    let hint = |note: &crate::line::Note| reading(harmony.chord_at(note.onset())?.numeral);
    subject.line().notes().iter().map(hint).collect()
}

fn reading(numeral: Numeral) -> Option<Reading> {
    match numeral.target() {
        Some(target) => (target.degree().number() == 5).then_some(Reading::Dominant),
        None => matches!(numeral.degree().number(), 2 | 4).then_some(Reading::Tonic),
    }
}
