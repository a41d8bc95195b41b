//! Whether a subject goes to the dominant.
//!
//! A modulation is *expressed* if the leading note of the dominant, the raised fourth, appears; it
//! is *implied* if the last notes put the ear in the dominant, as an end 6-5 or on 7 does (Prout,
//! *Fugue*, §§118-119, 129). It begins with the earliest note from which on all can be read in the
//! dominant (§§121, 126). This is the reading of the melody alone; whether the answer follows it is
//! the answer's business.

use crate::key::{Key, Mode};
use crate::line::Note;
use crate::scale::Degree;

/// How the dominant is reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ModulationKind {
    /// The raised fourth sounds.
    Expressed,
    /// The last notes imply it.
    Implied,
}

/// A subject's way to the dominant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Modulation {
    /// Expressed or implied.
    pub kind: ModulationKind,
    /// Index of the earliest note from which on all can be read in the dominant.
    pub from: usize,
}

/// The way to the dominant, if there is one.
pub(super) fn find(key: Key, notes: &[Note]) -> Option<Modulation> {
    let degrees: Vec<Degree> = notes.iter().map(|note| key.degree(note.pitch().class())).collect();
    let kind = if is_expressed(&degrees) {
        ModulationKind::Expressed
    } else if is_implied(key, notes, &degrees) {
        ModulationKind::Implied
    } else {
        return None;
    };
    Some(Modulation { kind, from: first_in_dominant(key, &degrees) })
}

/// The raised fourth sounds, no natural one takes it back, and the end is the root, the third or
/// the fifth of the dominant.
fn is_expressed(degrees: &[Degree]) -> bool {
    let fourth = degrees.iter().rfind(|degree| degree.number() == 4);
    fourth.is_some_and(|degree| degree.alteration() == 1)
        && degrees.last().is_some_and(|last| matches!(last.number(), 5 | 7 | 2))
}

/// The end is 6-5 by step, with the sixth that the dominant key has, or 7.
fn is_implied(key: Key, notes: &[Note], degrees: &[Degree]) -> bool {
    let [.., before, last] = degrees else { return false };
    let step = notes.windows(2).last().is_some_and(|pair| (pair[1].pitch() - pair[0].pitch()).steps() == -1);
    match (before.number(), last.number()) {
        (6, 5) => step && !is_foreign_to_dominant(key, *before) && last.alteration() == 0,
        (_, 7) => last.alteration() == 0,
        _ => false,
    }
}

/// The notes that show the tonic: the fourth in major, the natural sixth and the leading note in
/// minor (§§126, 129, 169).
fn is_foreign_to_dominant(key: Key, degree: Degree) -> bool {
    match (degree.number(), degree.alteration()) {
        (4, 0) => !key.mode().has_minor_third(),
        (6, 0) | (7, 1) => key.mode() == Mode::Minor,
        _ => false,
    }
}

/// The earliest note from which on none is foreign to the dominant. The opening tonic, repeated or
/// not, stays in the tonic, and so does the tonic into which a leading note resolves.
fn first_in_dominant(key: Key, degrees: &[Degree]) -> usize {
    let opening = degrees.iter().take_while(|degree| **degree == Degree::TONIC).count();
    let Some(foreign) = degrees.iter().rposition(|degree| is_foreign_to_dominant(key, *degree)) else {
        return opening;
    };
    let leading = degrees[foreign] == Degree::of_steps(6).altered(1);
    let resolved = leading && degrees.get(foreign + 1) == Some(&Degree::TONIC);
    (foreign + 1 + usize::from(resolved)).max(opening).min(degrees.len() - 1)
}
