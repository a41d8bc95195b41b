//! The outline of a fugue: what a score states where, whoever wrote it.

use super::{Entry, Exposition, Link, Role};
use crate::subject::Subject;
use crate::time::Time;

/// What is known of a score as a fugue: its subject, every entry, the links, and where the
/// exposition ends.
///
/// A draft of ours has one by construction ([`Exposition::outline`]); a score that somebody else
/// wrote gets one by recognition. Rules that ask for entries read it from the texture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outline {
    /// The subject as first stated.
    pub subject: Subject,
    /// The entries of subject, answer and countersubject in order of onset.
    pub entries: Vec<Entry>,
    /// The links between entries of the exposition.
    pub codettas: Vec<Link>,
    /// When the exposition ends: when the last voice has first stated subject or answer.
    pub end: Time,
}

impl Outline {
    /// The entries of subject and answer.
    pub fn themes(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter().filter(|entry| entry.role != Role::Countersubject)
    }

    /// The entries of the countersubject.
    pub fn countersubjects(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter().filter(|entry| entry.role == Role::Countersubject)
    }
}

impl Exposition {
    /// Its outline.
    pub fn outline(&self) -> Outline {
        let themes = self.entries.iter().filter(|entry| entry.role != Role::Countersubject);
        let ends = themes.filter_map(|entry| self.notes(entry).last().map(|note| note.end()));
        Outline {
            subject: self.subject.clone(),
            entries: self.entries.clone(),
            codettas: self.codettas.clone(),
            end: ends.max().unwrap_or(Time::ZERO),
        }
    }
}
