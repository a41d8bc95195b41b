//! From the voices of a draft to an exposition that knows its entries.

use super::attempt::Attempt;
use super::error::ComposeError;
use super::plan::Plan;
use crate::answer::Answer;
use crate::ensemble::Ensemble;
use crate::exposition::{Entry, Exposition, Link, Role};
use crate::line::Line;
use crate::score::{Part, Score};
use crate::subject::Subject;

/// All that an exposition is put together from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Assembly<'a> {
    pub(super) subject: &'a Subject,
    pub(super) answer: &'a Answer,
    pub(super) ensemble: &'a Ensemble,
    pub(super) plan: &'a Plan,
    pub(super) attempt: &'a Attempt,
}

impl Assembly<'_> {
    /// The exposition, all voices as long as its last bar.
    pub(super) fn exposition(&self) -> Result<Exposition, ComposeError> {
        let frame = &self.plan.frame;
        let end = self.plan.end();
        let length = end + (frame.bar - frame.place(end)) % frame.bar;
        let lines: Result<Vec<Line>, _> =
            self.attempt.strands.iter().map(|strand| strand.to_line(length, frame)).collect();
        let voices = self.ensemble.voices().iter().cloned();
        let parts = voices.zip(lines?).map(|(voice, line)| Part { voice, line }).collect();
        let score = Score::new(self.subject.key(), self.subject.meter(), self.plan.pickup, parts)?;
        let entries = self.entries()?;
        let first = self.plan.entries[1].onset;
        let countersubject = self
            .attempt
            .countersubject
            .as_ref()
            .map(|found| found.strand.moved_in_time(-first).to_line(self.plan.span, frame));
        Ok(Exposition {
            score,
            subject: self.subject.clone(),
            answer: self.answer.clone(),
            countersubject: countersubject.transpose()?,
            entries,
            codettas: self.codettas()?,
        })
    }

    fn entries(&self) -> Result<Vec<Entry>, ComposeError> {
        let planned =
            self.plan.entries.iter().enumerate().map(|(index, entry)| {
                (entry.role, entry.voice, entry.onset, self.plan.end_of(index), entry.key)
            });
        let appearances = self
            .attempt
            .appearances
            .iter()
            .map(|at| (Role::Countersubject, at.voice, at.from, at.to, self.plan.entries[at.entry].key));
        let mut entries = Vec::new();
        for (role, voice, from, to, key) in planned.chain(appearances) {
            let notes = self.attempt.strands[voice].within(from, to);
            entries.push(Entry { role, voice, onset: self.plan.frame.time(from)?, notes, key });
        }
        entries.sort_by_key(|entry| (entry.onset, entry.role));
        Ok(entries)
    }

    fn codettas(&self) -> Result<Vec<Link>, ComposeError> {
        let mut codettas = Vec::new();
        for (index, next) in self.plan.entries.iter().enumerate().skip(1) {
            let end = self.plan.end_of(index - 1);
            if end < next.onset {
                codettas
                    .push(Link { onset: self.plan.frame.time(end)?, end: self.plan.frame.time(next.onset)? });
            }
        }
        Ok(codettas)
    }
}
