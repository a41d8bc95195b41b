//! The draft: all steps of composing in their order.

use super::error::ComposeError;
use super::order::{FEWEST_VOICES, MOST_VOICES};
use super::workshop::Workshop;
use crate::ensemble::Ensemble;
use crate::exposition::Exposition;
use crate::subject::Subject;

/// The longest subject, in notes, that is composed with.
pub const MAX_SUBJECT_NOTES: usize = 400;

/// What a draft is made for.
#[derive(Clone, Debug)]
pub struct DraftOptions {
    pub(super) ensemble: Ensemble,
    pub(super) order: Option<Vec<usize>>,
    answer: usize,
    pub(super) seed: u64,
}

impl DraftOptions {
    /// A draft for an ensemble of two to five voices, entering in a recommended order.
    pub const fn new(ensemble: Ensemble) -> Self {
        Self { ensemble, order: None, answer: 0, seed: 0 }
    }

    /// With an order of entries: indices of voices, 0 being the top part.
    #[must_use]
    pub fn with_order(self, order: Vec<usize>) -> Self {
        Self { order: Some(order), ..self }
    }

    /// With another answer than the first choice: its place among [`Subject::answers`], the last of
    /// them if there are not so many.
    #[must_use]
    pub fn with_answer(self, answer: usize) -> Self {
        Self { answer, ..self }
    }

    /// With a seed: the same seed gives the same draft, another seed may give another.
    #[must_use]
    pub fn with_seed(self, seed: u64) -> Self {
        Self { seed, ..self }
    }
}

/// Drafts an exposition.
///
/// # Errors
/// If there are too few or too many voices, the order is incomplete, a voice cannot reach the
/// subject or the answer, or nothing lawful can be found.
pub fn draft(subject: &Subject, options: &DraftOptions) -> Result<Exposition, ComposeError> {
    let voices = options.ensemble.voices().len();
    if !(FEWEST_VOICES..=MOST_VOICES).contains(&voices) {
        return Err(ComposeError::Voices { voices });
    }
    let notes = subject.line().notes().len();
    if notes > MAX_SUBJECT_NOTES {
        return Err(ComposeError::TooLong { notes, limit: MAX_SUBJECT_NOTES });
    }
    let mut answers = subject.answers()?;
    let answer = answers.swap_remove(options.answer.min(answers.len() - 1));
    Workshop::new(subject, answer, options)?.run()
}

#[cfg(test)]
mod tests;
