//! The outline of a fugue: what a score states where, whoever wrote it.

use super::{Entry, Exposition, Form, Link, Role};
use crate::subject::Subject;
use crate::time::Time;

/// How many times as long as the subject the others wait for a voice before it is late: longer than any
/// codetta.
pub(crate) const PATIENCE: i64 = 3;

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
    /// Statements of the theme in other forms, each with its form, in order of onset: those that take part in
    /// the exposition where some voice has no entry in its turn, and no others.
    pub others: Vec<(Form, Entry)>,
    /// The links between statements of the exposition.
    pub codettas: Vec<Link>,
    /// When the exposition ends: when the last voice has first stated subject or answer, in whatever form.
    pub end: Time,
}

impl Outline {
    /// The entries of subject and answer.
    pub fn themes(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter().filter(|entry| entry.role != Role::Countersubject)
    }

    /// The statements of subject and answer in every form, each with its form, in order of onset.
    pub fn statements(&self) -> Vec<(Form, &Entry)> {
        let straight = self.themes().map(|entry| (Form::Straight, entry));
        let mut all: Vec<_> =
            straight.chain(self.others.iter().map(|(form, entry)| (*form, entry))).collect();
        all.sort_by_key(|(_, entry)| (entry.onset, entry.voice));
        all
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
            others: Vec::new(),
            codettas: self.codettas.clone(),
            end: ends.max().unwrap_or(Time::ZERO),
        }
    }
}
