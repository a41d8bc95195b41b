//! Answers: the subject as the second voice takes it up.

use crate::key::Key;
use crate::line::Line;
use crate::pitch::Pitch;

use crate::scale::Degree;
use crate::source::Source;

/// How a note of the subject is heard, and so at which interval it is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Reading {
    /// In the tonic: answered at the fifth above (or the fourth below).
    Tonic,
    /// In the dominant: answered at the fourth above (or the fifth below).
    Dominant,
}

/// The kinds of answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum AnswerKind {
    /// An exact transposition into the dominant (or, for a subject wholly in the dominant, into the tonic).
    Real,
    /// Some notes at the fifth, some at the fourth.
    Tonal,
    /// A transposition into the subdominant.
    Subdominant,
}

/// One note in which an answer differs from the real one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alteration {
    /// Index of the note, from 0, rests left out.
    pub note: usize,
    /// The degree of the subject's note in the subject's key.
    pub degree: Degree,
    /// What the real answer would have.
    pub real: Pitch,
    /// What the answer has.
    pub chosen: Pitch,
    /// Why, in a teacher's words.
    pub reason: String,
    /// Where the handbooks say so.
    pub source: Source,
}

/// An answer to a subject.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    pub(crate) kind: AnswerKind,
    pub(crate) key: Key,
    pub(crate) line: Line,
    pub(crate) readings: Vec<Reading>,
    pub(crate) cost: u32,
    pub(crate) alterations: Vec<Alteration>,
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

    /// The cost: the sum of the lines of the cost table; the best answer has the smallest.
    pub const fn cost(&self) -> u32 {
        self.cost
    }

    /// The notes in which it differs from the real answer.
    pub fn alterations(&self) -> &[Alteration] {
        &self.alterations
    }
}
