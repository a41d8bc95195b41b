//! What recognition returns.

use super::likeness::Likeness;
use super::opening::CERTAIN;
use crate::exposition::{Entry, Form, Outline};

/// A fugue as recognized.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recognition {
    /// Subject, entries, links, and where the exposition ends.
    pub outline: Outline,
    /// How sure each entry of the outline is, in the same order.
    pub evidence: Vec<Evidence>,
    /// Statements of the theme in other forms, which the outline leaves out: its entries can all be
    /// compared with subject or answer note by note.
    pub transformed: Vec<Transformed>,
}

/// A statement of the theme in another form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Transformed {
    /// Where it is.
    pub entry: Entry,
    /// In which form.
    pub form: Form,
    /// How sure it is.
    pub evidence: Evidence,
}

/// What speaks for an entry.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Evidence {
    /// The notes of the theme that is stated.
    pub notes: u32,
    /// Those that are there and right, or a step beside as in a tonal answer: a slip by a step counts
    /// as such, and the rules that know the answer tell the two apart.
    pub right: u32,
    /// What the right notes tell, less what the others cost, in bits: each bit halves the likelihood
    /// that the entry is there by chance.
    pub bits: i64,
}

impl Evidence {
    /// Whether every note is right and so much is told that chance is no matter: a few plain notes of any line are
    /// soon like a theme turned upside down or in other values.
    pub(super) fn is_certain(&self) -> bool {
        self.right == self.notes && self.bits >= i64::from(CERTAIN)
    }

    pub(super) fn of(likeness: &Likeness) -> Self {
        Self { notes: likeness.notes, right: likeness.right(), bits: likeness.score() }
    }
}
