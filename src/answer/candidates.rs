//! The answers to a subject, best first.

use super::draft::{Draft, closing_thirds};
use super::facts::Facts;
use super::search::Search;
use super::{Answer, AnswerError, Charge, Hearing, Reading, hints};
use crate::subject::Subject;

/// The most answers offered: what a teacher would still compare.
pub const MAX_ANSWERS: usize = 5;

impl Subject {
    /// The answers, best first: distinct, sorted by cost, at least three (and at most
    /// [`MAX_ANSWERS`]), or as many as there are.
    ///
    /// An answer has the durations and rests of the subject. It lies where it is nearest to it:
    /// below, if at least half of the notes are answered at the fifth (so at the fourth below), and
    /// else above; on the other side only where the octaves of this library end. Choosing the octave for a voice is the caller's affair: move the whole line.
    ///
    /// Of answers that cost the same, the one with fewer altered notes comes first, then the one
    /// whose first difference is a note read in the tonic.
    ///
    /// If the subject has its composer's harmony, that is heard too.
    ///
    /// ```
    /// use soggetto::subject::Subject;
    /// let subject = Subject::from_text("C major", "4/4", "0", "C4:1/2 G4:1/4 E4:1/4 C4:1/2")?;
    /// let answers = subject.answers()?;
    /// assert_eq!(answers[0].line().to_string(), "G3:1/2 C4:1/4 B3:1/4 G3:1/2");
    /// let altered = answers[0].alterations()[0];
    /// assert_eq!(altered.reason.to_string(), "the dominant at the opening is answered by the tonic");
    /// assert_eq!(altered.source().to_string(), "Prout, Fugue, §§86-88, 102");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If a note or the key of the best answer lies beyond the limits of notation; lesser ones that
    /// do are left out.
    pub fn answers(&self) -> Result<Vec<Answer>, AnswerError> {
        self.answers_heard(&hints::of(self))
    }

    /// The answers if some notes are known to be heard in the tonic or in the dominant, note by
    /// note; notes beyond the hints are left to the ear. The composer's harmony is not asked.
    ///
    /// # Errors
    /// As [`Subject::answers`].
    pub fn answers_heard(&self, hints: &[Option<Reading>]) -> Result<Vec<Answer>, AnswerError> {
        let facts = Facts::of(self, hints);
        let paths = Search { facts: &facts, hints, weigh: Charge::weight }.best();
        let mut answers: Vec<Answer> = Vec::with_capacity(2 * MAX_ANSWERS);
        let mut readings = 0;
        for path in paths {
            if readings >= MAX_ANSWERS || answers.iter().any(|answer| reads_like(answer, &path.hearings)) {
                continue;
            }
            readings += 1;
            let draft = Draft { facts: &facts, hints, hearings: &path.hearings, raised: &[] };
            match draft.answer() {
                Ok(answer) => answers.push(answer),
                Err(error) if answers.is_empty() => return Err(error),
                Err(_) => continue,
            }
            let raised = closing_thirds(&facts, &path.hearings);
            if !raised.is_empty() {
                answers.extend(Draft { raised: &raised, ..draft }.answer());
            }
        }
        answers
            .sort_by_cached_key(|answer| (answer.cost(), answer.alterations.len(), answer.readings.clone()));
        answers.truncate(MAX_ANSWERS);
        Ok(answers)
    }
}

/// Whether an answer has these readings, for whatever reasons.
fn reads_like(answer: &Answer, hearings: &[Hearing]) -> bool {
    hearings.iter().map(|hearing| hearing.reading()).eq(answer.readings.iter().copied())
}
