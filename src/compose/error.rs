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
