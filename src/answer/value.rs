//! One answer, with all that speaks against it.

use super::{Alteration, AnswerKind, CostLine, Reading};
use crate::key::Key;
use crate::line::Line;

/// An answer to a subject.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    pub(super) kind: AnswerKind,
    pub(super) key: Key,
    pub(super) line: Line,
    pub(super) readings: Vec<Reading>,
    pub(super) costs: Vec<CostLine>,
    pub(super) alterations: Vec<Alteration>,
}

impl Answer {
    /// The kind.
    pub const fn kind(&self) -> AnswerKind {
        self.kind
    }

    /// The key: the dominant of the subject's, or the subdominant or tonic where it is answered there.
    pub const fn key(&self) -> Key {
        self.key
    }

    /// The notes.
    pub const fn line(&self) -> &Line {
        &self.line
    }

    /// How each note of the subject is read.
    pub fn readings(&self) -> &[Reading] {
        &self.readings
    }

    /// The cost: the sum of [`Answer::costs`]; the best answer has the smallest.
    pub fn cost(&self) -> u32 {
        self.costs.iter().map(|line| line.cost).sum()
    }

    /// The cost by lines of the table, in the order of the notes: what a teacher can show the class.
    pub fn costs(&self) -> &[CostLine] {
        &self.costs
    }

    /// The notes in which it differs from the real answer.
    pub fn alterations(&self) -> &[Alteration] {
        &self.alterations
    }
}
