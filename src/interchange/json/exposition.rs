//! The exposition file.

use super::answers::AnswerFile;
use super::subject::SubjectFile;
use super::{line, page};
use crate::exposition::{Entry, Exposition, Form, Link};
use crate::key::Key;
use crate::line::Line;
use crate::score::Score;
use crate::time::Time;
use serde::Serialize;

/// An exposition as it stands in a file.
#[derive(Serialize)]
struct ExpositionFile<'a> {
    score: &'a Score,
    subject: SubjectFile<'a>,
    answer: AnswerFile<'a>,
    countersubject: Option<&'a Line>,
    entries: Vec<EntryFile>,
    codettas: Vec<LinkFile>,
}

/// An entry as it stands in a file: where it is, and how many notes it has.
#[derive(Serialize)]
pub(super) struct EntryFile {
    role: &'static str,
    voice: usize,
    onset: Time,
    bar: i64,
    beat: Time,
    notes: usize,
    key: Key,
    #[serde(skip_serializing_if = "Option::is_none")]
    form: Option<&'static str>,
}

#[derive(Serialize)]
struct LinkFile {
    onset: Time,
    end: Time,
}

impl EntryFile {
    /// An entry with its place in a score.
    pub(super) fn of(entry: &Entry, score: &Score) -> Self {
        let place = score.place(entry.onset);
        Self {
            role: entry.role.name(),
            voice: entry.voice,
            onset: entry.onset,
            bar: place.as_ref().map_or(0, |place| place.bar),
            beat: place.map_or(Time::ZERO, |place| place.beat),
            notes: entry.notes.len(),
            key: entry.key,
            form: None,
        }
    }

    /// In a form, which is left out if it is the usual one.
    pub(super) fn in_form(self, form: Form) -> Self {
        Self { form: (form != Form::Straight).then(|| form.name()), ..self }
    }
}

impl<'a> From<&'a Exposition> for ExpositionFile<'a> {
    fn from(exposition: &'a Exposition) -> Self {
        let score = exposition.score();
        Self {
            score,
            subject: exposition.subject().into(),
            answer: exposition.answer().into(),
            countersubject: exposition.countersubject(),
            entries: exposition.entries().iter().map(|entry| EntryFile::of(entry, score)).collect(),
            codettas: exposition.codettas().iter().map(LinkFile::from).collect(),
        }
    }
}

impl From<&Link> for LinkFile {
    fn from(link: &Link) -> Self {
        Self { onset: link.onset, end: link.end }
    }
}

/// Writes an exposition as a page of JSON that [`super::read_exposition`] reads back.
///
/// `{"score": {"key", "meter", "pickup", "voices": [{"name", "compass"?, "clef", "transposition",
/// "sound", "line"}]}, "subject": subject file, "answer": {"kind", "key", "line", "cost",
/// "alterations"}, "countersubject": line or null, "entries": [{"role", "voice", "onset", "bar",
/// "beat", "notes", "key"}], "codettas": [{"onset", "end"}]}`. `notes` is how many notes of the
/// voice's line the entry has, from its onset on.
pub fn write_exposition(exposition: &Exposition) -> String {
    page(&ExpositionFile::from(exposition))
}

/// Writes an exposition as one line of JSON, for JSON Lines.
pub fn write_exposition_line(exposition: &Exposition) -> String {
    line(&ExpositionFile::from(exposition))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;

    #[test]
    fn page_and_line_hold_the_same() {
        let exposition = fixture::exposition();
        let (page, line) = (write_exposition(&exposition), write_exposition_line(&exposition));
        assert_eq!(line.lines().count(), 1);
        let value = |text: &str| serde_json::from_str::<serde_json::Value>(text).unwrap();
        assert_eq!(value(&page), value(&line));
    }
}
