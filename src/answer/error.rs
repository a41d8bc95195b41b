//! What makes a subject unanswerable.

use crate::key::Key;
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
}

impl AnswerError {
    /// A stable name for scripts.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Note { .. } => "answer-note",
            Self::Key { .. } => "answer-key",
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::subject::Subject;

    fn refused(key: &str, line: &str) -> (&'static str, String) {
        let error = Subject::from_text(key, "4/4", "0", line).unwrap().answers().unwrap_err();
        (error.code(), error.to_string())
    }

    #[test]
    fn errors_name_the_note_or_the_key() {
        assert_eq!(
            refused("E### major", "E###4:1/4 B###4 E###4"),
            (
                "answer-note",
                "the answer to note 2 cannot be written: B###4 moved by -P4 needs 4 sharps: notation has at most 3 \
                 (respell the music in a nearer key)"
                    .to_owned()
            )
        );
        assert_eq!(
            refused("B### major", "B###4:1/4 B###4"),
            (
                "answer-key",
                "the key of the answer to a subject in B### major cannot be written: B### moved by P5 needs 4 \
                 sharps: notation has at most 3 (respell the music in a nearer key)"
                    .to_owned()
            )
        );
    }

    #[test]
    fn answer_lies_on_the_other_side_where_octaves_end() {
        let low = Subject::from_text("C major", "4/4", "0", "C-1:1/4 E-1 D-1 C-1").unwrap();
        assert_eq!(low.answers().unwrap()[0].line().to_string(), "G-1:1/4 B-1:1/4 A-1:1/4 G-1:1/4");
    }

    #[test]
    fn answers_beyond_notation_are_left_out_if_the_best_is_not() {
        let flat = Subject::from_text("Fbbb major", "4/4", "0", "Fbbb4:1/4 Gbbb4 Abbb4 Fbbb4").unwrap();
        let answers = flat.answers().unwrap();
        assert_eq!(answers[0].line().to_string(), "Cbbb4:1/4 Dbbb4:1/4 Ebbb4:1/4 Cbbb4:1/4");
    }
}
