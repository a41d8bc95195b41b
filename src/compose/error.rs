//! Why a draft cannot be made.

use super::order::{FEWEST_VOICES, MOST_VOICES};
use crate::answer::AnswerError;
use crate::line::LineError;
use crate::score::ScoreError;
use crate::time::TimeError;
use crate::voice::Compass;

/// What stands in the way of a draft.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ComposeError {
    /// Too few or too many voices.
    #[error("an exposition has {FEWEST_VOICES} to {MOST_VOICES} voices, not {voices}")]
    Voices {
        /// How many were asked for.
        voices: usize,
    },
    /// The order does not name every voice once.
    #[error(
        "the order {order:?} is impossible: it must name each of the {voices} voices once, 0 being the top part"
    )]
    Order {
        /// The order given.
        order: Vec<usize>,
        /// How many voices there are.
        voices: usize,
    },
    /// A voice cannot reach the subject or its answer in any octave.
    #[error("the {voice} of the ensemble {ensemble} cannot reach the subject and its answer in any octave{}: choose another ensemble, or narrow the subject", compass.map(|compass| format!(" of its compass {compass}")).unwrap_or_default())]
    Compass {
        /// The voice.
        voice: String,
        /// Its compass.
        compass: Option<Compass>,
        /// The ensemble.
        ensemble: String,
    },
    /// The subject is too long to be composed with.
    #[error(
        "the subject has {notes} notes: a draft is made of subjects of at most {limit} (shorten it, or draft from its first phrase)"
    )]
    TooLong {
        /// Its notes.
        notes: usize,
        /// The limit.
        limit: usize,
    },
    /// No countersubject fits.
    #[error(
        "no countersubject was found: every line against this answer breaks a rule held absolute (try another seed or another answer)"
    )]
    Countersubject,
    /// The subject has no answer.
    #[error(transparent)]
    Answer(#[from] AnswerError),
    /// Times out of range.
    #[error(transparent)]
    Time(#[from] TimeError),
    /// A line that cannot be.
    #[error(transparent)]
    Line(#[from] LineError),
    /// A score that cannot be.
    #[error(transparent)]
    Score(#[from] ScoreError),
}

impl ComposeError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Voices { .. } => "compose-voices",
            Self::Order { .. } => "compose-order",
            Self::Compass { .. } => "compose-compass",
            Self::TooLong { .. } => "compose-too-long",
            Self::Countersubject => "compose-countersubject",
            Self::Answer(error) => error.code(),
            Self::Time(error) => error.code(),
            Self::Line(error) => error.code(),
            Self::Score(error) => error.code(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compose::fixtures::{ensemble, subject};
    use crate::compose::{DraftOptions, MAX_SUBJECT_NOTES, draft};
    use crate::ensemble::Ensemble;
    use crate::subject::Subject;
    use crate::voice::Voice;

    const THEME: &str = "C4:1/4 D4 E4 C4 F4 E4:1/8 D4 C4:1/2";

    fn refused(subject: &Subject, options: &DraftOptions) -> (String, &'static str) {
        let error = draft(subject, options).unwrap_err();
        (error.to_string(), error.code())
    }

    #[test]
    fn refuses_too_few_and_too_many_voices() {
        let subject = subject("C major", "4/4", THEME);
        let solo = Ensemble::new("solo", vec![Voice::new("flute")]).unwrap();
        assert_eq!(
            refused(&subject, &DraftOptions::new(solo)),
            ("an exposition has 2 to 5 voices, not 1".to_owned(), "compose-voices")
        );
        let six = Ensemble::new("six", (1..=6).map(|n| Voice::new(format!("viol {n}"))).collect()).unwrap();
        assert_eq!(refused(&subject, &DraftOptions::new(six)).0, "an exposition has 2 to 5 voices, not 6");
    }

    #[test]
    fn refuses_an_order_that_forgets_or_repeats_a_voice() {
        let subject = subject("C major", "4/4", THEME);
        let options = DraftOptions::new(ensemble("plain", 3));
        for order in [vec![0, 1, 1], vec![0, 1], vec![0, 1, 3], vec![0, 1, 2, 2], vec![]] {
            let expected = format!(
                "the order {order:?} is impossible: it must name each of the 3 voices once, 0 being the top part"
            );
            assert_eq!(refused(&subject, &options.clone().with_order(order)), (expected, "compose-order"));
        }
    }

    #[test]
    fn refuses_a_voice_that_cannot_reach_its_entry() {
        let subject = subject("C major", "4/4", THEME);
        let narrow = Voice::new("bell")
            .with_compass(Compass::new("C4".parse().unwrap(), "E4".parse().unwrap()).unwrap());
        let bells = Ensemble::new("bells", vec![Voice::new("flute"), narrow]).unwrap();
        assert_eq!(
            refused(&subject, &DraftOptions::new(bells)),
            (
                "the bell of the ensemble bells cannot reach the subject and its answer in any octave of its \
                 compass C4-E4: choose another ensemble, or narrow the subject"
                    .to_owned(),
                "compose-compass"
            )
        );
    }

    #[test]
    fn refuses_a_subject_of_too_many_notes() {
        let line = ["C4:1/32 D4 E4 D4 "; 101].concat();
        let subject = Subject::from_text("C major", "4/4", "0", &line).unwrap();
        assert_eq!(
            refused(&subject, &DraftOptions::new(ensemble("plain", 2))),
            (
                "the subject has 404 notes: a draft is made of subjects of at most 400 (shorten it, or draft \
                 from its first phrase)"
                    .to_owned(),
                "compose-too-long"
            )
        );
        assert_eq!(MAX_SUBJECT_NOTES, 400);
    }

    #[test]
    fn says_what_to_try_where_no_countersubject_is_found() {
        assert_eq!(
            ComposeError::Countersubject.to_string(),
            "no countersubject was found: every line against this answer breaks a rule held absolute (try \
             another seed or another answer)"
        );
        assert_eq!(ComposeError::Countersubject.code(), "compose-countersubject");
    }

    #[test]
    fn errors_of_lower_layers_keep_their_words_and_codes() {
        let time = TimeError::Range { numerator: 1, denominator: 0 };
        assert_eq!(ComposeError::from(time.clone()).to_string(), time.to_string());
        assert_eq!(ComposeError::from(time.clone()).code(), time.code());
    }
}
