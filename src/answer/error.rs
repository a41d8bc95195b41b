//! What makes a subject unanswerable.

use crate::key::Key;
use crate::line::LineError;
use crate::pitch::PitchError;

/// What makes a subject unanswerable: only the limits of notation do. Notes are counted from 1 in
/// messages and from 0 in the fields.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum AnswerError {
    /// A note of the answer cannot be written.
    #[error("the answer to note {} cannot be written: {source}", note + 1)]
    Note {
        /// Index of the note, rests left out.
        note: usize,
        /// What is wrong.
        source: PitchError,
    },
    /// The key of the answer cannot be named.
    #[error("the key of the answer to a subject in {key} cannot be written: {source}")]
    Key {
        /// The key of the subject.
        key: Key,
        /// What is wrong.
        source: PitchError,
    },
    /// The subject's times cannot be copied.
    #[error("the answer cannot be written: {source}")]
    Line {
        /// What is wrong.
        source: LineError,
    },
}

impl AnswerError {
    /// A stable name for scripts.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Note { .. } => "answer-note",
            Self::Key { .. } => "answer-key",
            Self::Line { .. } => "answer-line",
        }
    }
}
