//! Expositions: a score that knows its subject, answer, countersubject and entries.

mod entry;
mod role;

pub use entry::{Entry, Link};
pub use role::Role;

use crate::answer::Answer;
use crate::line::Line;
use crate::score::Score;
use crate::subject::Subject;

/// A fugal exposition.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exposition {
    pub(crate) score: Score,
    pub(crate) subject: Subject,
    pub(crate) answer: Answer,
    pub(crate) countersubject: Option<Line>,
    pub(crate) entries: Vec<Entry>,
    pub(crate) codettas: Vec<Link>,
}

impl Exposition {
    /// The music.
    pub const fn score(&self) -> &Score {
        &self.score
    }

    /// The subject.
    pub const fn subject(&self) -> &Subject {
        &self.subject
    }

    /// The answer.
    pub const fn answer(&self) -> &Answer {
        &self.answer
    }

    /// The countersubject as first heard, against the answer, timed from the answer's first note.
    pub const fn countersubject(&self) -> Option<&Line> {
        self.countersubject.as_ref()
    }

    /// The entries of subject, answer and countersubject in order of onset.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The links between entries.
    pub fn codettas(&self) -> &[Link] {
        &self.codettas
    }
}
