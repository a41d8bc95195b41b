//! Whether a subject goes to the dominant, and from where on it can be heard there.
//!
//! Unlike the modulation that a [profile](crate::subject::Profile) names, this weighs a note's
//! length and place in the bar: a passing note does not hold a key.

use super::facts::{Facts, Foreign, NoteFacts};
use crate::key::{Key, Mode};
use crate::meter::Strength;
use crate::scale::Degree;

/// How a subject closes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Close {
    /// In the dominant, whose leading note has been heard.
    Expressed,
    /// In the dominant, by the shape of its end.
    Implied,
    /// In the tonic, or at least in no other key.
    Tonic,
}

/// A close on the fifth of the dominant implies it only after so many notes without a sign of the
/// tonic: fewer make a half close in the tonic.
const HALF_CLOSE: usize = 4;

/// Marks what contradicts the dominant: notes of the tonic's scale outside the dominant's (the
/// fourth in major, the flat sixth in minor), tonic and sixth where they are leapt to from the
/// fourth, in whose chord they then stand, and in minor the leading note that resolves to the
/// tonic (Prout, *Fugue*, §§126, 129, 131, 169).
pub(super) fn mark_foreign_notes(facts: &mut Facts<'_>) {
    let key = facts.subject.key();
    let outside = outside_dominant(key);
    for index in 0..facts.notes.len() {
        let note = facts.notes[index];
        let before = index.checked_sub(1).map(|before| facts.notes[before]);
        let resolves = facts.notes.get(index + 1).is_some_and(|next| next.degree == Degree::TONIC);
        let stays = before.is_some_and(|before| {
            before.foreign == Foreign::Yes && before.is_any(&[4]) && note.is_any(&[1, 6])
        });
        let foreign = if stays || (key.mode() == Mode::Minor && is_leading_note(key, note.degree) && resolves)
        {
            Foreign::Yes
        } else if note.degree.alteration() != 0 || !outside.contains(&note.degree.number()) {
            Foreign::No
        } else if is_heavy(facts, index) {
            Foreign::Yes
        } else {
            Foreign::Passing
        };
        facts.notes[index].foreign = foreign;
    }
}

/// The degree of a key that its dominant in the same mode does not have, where it is none of the
/// tonic chord and so tells the keys apart.
const fn outside_dominant(key: Key) -> &'static [u8] {
    match key.mode() {
        Mode::Major => &[4],
        Mode::Minor => &[6],
        Mode::Phrygian => &[2],
        Mode::Dorian | Mode::Lydian | Mode::Mixolydian => &[],
    }
}

/// A semitone below the tonic.
fn is_leading_note(key: Key, degree: Degree) -> bool {
    degree.number() == 7 && key.mode().semitones()[6] + degree.alteration() == 11
}

fn is_heavy(facts: &Facts<'_>, index: usize) -> bool {
    facts.notes[index].duration >= facts.subject.meter().unit() || facts.strength(index) >= Strength::Pulse
}

/// Marks leading notes of weight that come from the tonic and leap to its third or fall by step to
/// the dominant, and the thirds they leap to: without any modulation these may be heard as third
/// and sixth of the dominant. In minor the dominant has another third (Prout, *Fugue*, §§127, 131,
/// 133).
pub(super) fn mark_doubtful_notes(facts: &mut Facts<'_>) {
    if facts.is_minor() {
        return;
    }
    let key = facts.subject.key();
    let unit = facts.subject.meter().unit();
    for index in 1..facts.notes.len().saturating_sub(1) {
        let [before, note, next] = [index - 1, index, index + 1].map(|index| facts.notes[index]);
        facts.notes[index].doubtful = if before.doubtful {
            note.is_any(&[3]) && before.is_any(&[7])
        } else {
            is_leading_note(key, note.degree)
                && note.duration >= unit
                && before.is_any(&[1])
                && (next.is_any(&[3]) || falls_to_dominant(&facts.notes[index..]))
        };
    }
}

/// Whether 7-6-5 begins here.
fn falls_to_dominant(notes: &[NoteFacts]) -> bool {
    notes.get(1).is_some_and(|note| note.is_any(&[6])) && notes.get(2).is_some_and(|note| note.is_any(&[5]))
}

/// The first raised fourth after the last natural one (Prout, *Fugue*, §118).
pub(super) fn raised_fourth(notes: &[NoteFacts]) -> Option<usize> {
    let natural = Degree::of_steps(3);
    let taken_back = notes.iter().rposition(|note| note.degree == natural).map_or(0, |index| index + 1);
    let raised = notes[taken_back..].iter().position(|note| note.degree == natural.altered(1))?;
    Some(taken_back + raised)
}

/// The note after the last that contradicts the dominant (Prout, *Fugue*, §§121, 126).
pub(super) fn earliest(notes: &[NoteFacts]) -> usize {
    notes.iter().rposition(|note| note.foreign == Foreign::Yes).map_or(0, |index| index + 1)
}

/// How a subject closes: in the dominant if it ends on root, third or fifth of it after a raised
/// fourth, on its third, or 6-5, or on its fifth without a sign of the tonic for some time
/// (Prout, *Fugue*, §§97, 118-119, 129).
pub(super) fn close(facts: &Facts<'_>) -> Close {
    let [.., before, last] = facts.notes.as_slice() else { return Close::Tonic };
    let number = last.degree.number();
    if facts.raised_fourth.is_some() && matches!(number, 2 | 5 | 7) {
        return Close::Expressed;
    }
    let implied = match number {
        7 => last.degree.alteration() == 0,
        5 => before.degree.number() == 6 && is_major_sixth(facts.subject.key(), before.degree),
        2 => facts.notes.len() >= facts.earliest + HALF_CLOSE,
        _ => false,
    };
    if implied { Close::Implied } else { Close::Tonic }
}

/// A whole tone above the dominant.
fn is_major_sixth(key: Key, degree: Degree) -> bool {
    key.mode().semitones()[5] + degree.alteration() == 9
}
