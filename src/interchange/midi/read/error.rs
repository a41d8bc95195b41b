//! Why a Standard MIDI File cannot be read.

use super::super::super::reading::MAX_READ_NOTES;
use crate::score::ScoreError;
use crate::time::TimeError;

/// Why a Standard MIDI File cannot be read. Tracks are named, or counted from 1.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// The bytes are damaged.
    #[error("the file is damaged: {message} (export it again)")]
    Damaged {
        /// What is wrong.
        message: String,
    },
    /// A file of type 2.
    #[error("the file is of type 2, whose tracks do not sound together (export it as type 1)")]
    Sequential,
    /// Times in frames of film.
    #[error("the file counts time in frames, not in notes (export it with ticks to the quarter note)")]
    Frames,
    /// No notes.
    #[error("the file has no notes (export a score with music)")]
    Empty,
    /// More notes than are read.
    #[error("the file has more than {MAX_READ_NOTES} notes (split the piece)")]
    Notes,
    /// A note beside the grid.
    #[error(
        "{part}, bar {bar}: a note lies between the note values, at {ticks} of {per_quarter} ticks a quarter (quantize the file first)"
    )]
    OffGrid {
        /// The track.
        part: String,
        /// The bar.
        bar: i64,
        /// The ticks after the last quarter.
        ticks: i64,
        /// Ticks a quarter note.
        per_quarter: i64,
    },
    /// A time out of range.
    #[error("{part}: {source} (split the piece)")]
    Time {
        /// The track.
        part: String,
        /// What is wrong.
        source: TimeError,
    },
    /// What was read is no score.
    #[error(transparent)]
    Score(#[from] ScoreError),
}

impl ReadError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Damaged { .. } => "midi-damaged",
            Self::Sequential => "midi-type",
            Self::Frames => "midi-frames",
            Self::Empty => "midi-empty",
            Self::Notes => "midi-too-many-notes",
            Self::OffGrid { .. } => "midi-off-grid",
            Self::Time { source, .. } => source.code(),
            Self::Score(source) => source.code(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The messages that no test of the reader quotes.
    #[test]
    fn messages_say_what_where_and_how_to_mend() {
        let rows = [
            (
                ReadError::Damaged { message: "a quarter note has no ticks".to_owned() },
                "the file is damaged: a quarter note has no ticks (export it again)",
            ),
            (
                ReadError::Frames,
                "the file counts time in frames, not in notes (export it with ticks to the quarter note)",
            ),
            (ReadError::Notes, "the file has more than 1000000 notes (split the piece)"),
            (
                ReadError::Time {
                    part: "Alto".to_owned(),
                    source: TimeError::ZeroDenominator { numerator: 1 },
                },
                "Alto: 1/0 is not a time: the denominator must be at least 1 (split the piece)",
            ),
            (ReadError::Score(ScoreError::Parts { count: 17 }), "a score has 1 to 16 parts, not 17"),
        ];
        for (error, message) in rows {
            assert_eq!(error.to_string(), message);
            assert!(!error.code().is_empty());
        }
    }
}
