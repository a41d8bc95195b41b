//! One answer, with all that speaks against it.

use super::{Alteration, AnswerKind, CostLine, Reading};
use crate::harmony::Harmony;
use crate::key::Key;
use crate::line::Line;
use crate::subject::Subject;
use std::borrow::Cow;

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

    /// Whether it is led back from the dominant to the tonic, as a subject that modulates asks (Prout,
    /// *Fugue*, §§114-117): it begins at the fifth and ends at the fourth.
    pub fn is_led_back(&self) -> bool {
        self.readings.contains(&Reading::Tonic) && self.readings.last() == Some(&Reading::Dominant)
    }

    /// The harmony of the answer, named in its [key](Answer::key): the subject's own plan, or, if the
    /// answer is led back to the tonic, one heard anew, since the subject's plan would carry the
    /// modulation on into a third key.
    ///
    /// ```
    /// use soggetto::Subject;
    /// let subject = Subject::from_text("C major", "4/4", "0", "C5:1/4 E5 D5 B4 | C5:1/2")?;
    /// let answer = &subject.answers()?[0];
    /// assert_eq!(subject.plan().spelled(subject.key())?, "I (C E G):1/2 V (G B D):1/2 I (C E G):1/2");
    /// assert_eq!(answer.plan(&subject).spelled(answer.key())?, "I (G B D):1/2 V (D F# A):1/2 I (G B D):1/2");
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    pub fn plan<'s>(&self, subject: &'s Subject) -> Cow<'s, Harmony> {
        if self.is_led_back() {
            Cow::Owned(Harmony::infer(&self.line, self.key, subject.meter(), subject.offset()))
        } else {
            subject.plan()
        }
    }
}
