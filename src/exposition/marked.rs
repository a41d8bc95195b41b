//! The outline of a score whose entries somebody has marked.

use super::{Entry, Link, Outline, Role};
use crate::line::{Line, Note};
use crate::score::Score;
use crate::subject::{Subject, SubjectError};
use crate::time::Time;
use std::ops::Range;

impl Outline {
    /// The outline of a score whose entries are known: each a role, a voice and the notes of its line.
    ///
    /// The first statement of the subject is the subject. Subjects count as in the key of the score,
    /// the rest as in its dominant; whatever lies between two themes is a link, and the exposition
    /// ends with the last theme. Entries without notes are left out.
    ///
    /// ```
    /// use soggetto::exposition::{Outline, Role};
    /// use soggetto::score::Score;
    /// let lines = ["R:1 G4:1/4 A4 B4 G4", "C4:1/4 D4 E4 C4 B3:1/2 G3"];
    /// let score = Score::excerpt("C major", "4/4", &lines)?;
    /// let outline = Outline::marked(&score, &[(Role::Subject, 1, 0..4), (Role::Answer, 0, 0..4)])?;
    /// assert_eq!(outline.subject.line().to_string(), "C4:1/4 D4:1/4 E4:1/4 C4:1/4");
    /// assert_eq!(outline.end.to_string(), "2");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If no subject is marked, or its notes make none.
    pub fn marked(score: &Score, marks: &[(Role, usize, Range<usize>)]) -> Result<Self, SubjectError> {
        let marked = marks.iter().filter_map(|mark| entry(score, mark));
        let mut marked: Vec<(Entry, Time)> = marked.collect();
        marked.sort_by_key(|(entry, _)| (entry.onset, entry.voice));
        let first = marked.iter().find(|(entry, _)| entry.role == Role::Subject);
        let (first, _) = first.ok_or(SubjectError::Empty)?;
        let subject = subject(score, first)?;
        let themes: Vec<&(Entry, Time)> =
            marked.iter().filter(|(entry, _)| entry.role != Role::Countersubject).collect();
        let pairs = themes.iter().zip(themes.iter().skip(1));
        let links = pairs.map(|(one, next)| Link { onset: one.1, end: next.0.onset });
        let codettas = links.filter(|link| link.end > link.onset).collect();
        let end = themes.iter().map(|(_, end)| *end).max().unwrap_or(Time::ZERO);
        let entries = marked.into_iter().map(|(entry, _)| entry).collect();
        Ok(Self { subject, entries, others: Vec::new(), codettas, end })
    }
}

fn notes<'s>(score: &'s Score, voice: usize, notes: &Range<usize>) -> &'s [Note] {
    score.parts().get(voice).and_then(|part| part.line.notes().get(notes.clone())).unwrap_or(&[])
}

/// The entry of a mark, and when it ends.
fn entry(score: &Score, (role, voice, range): &(Role, usize, Range<usize>)) -> Option<(Entry, Time)> {
    let marked = notes(score, *voice, range);
    let (onset, end) = (marked.first()?.onset(), marked.last()?.end());
    let key = match role {
        Role::Subject => score.key(),
        Role::Answer | Role::Countersubject => score.key().dominant().ok()?,
    };
    Some((Entry { role: *role, voice: *voice, onset, notes: range.clone(), key }, end))
}

fn subject(score: &Score, entry: &Entry) -> Result<Subject, SubjectError> {
    let notes = notes(score, entry.voice, &entry.notes);
    let moved = notes.iter().map(|note| {
        let onset = note.onset().checked_sub(entry.onset).unwrap_or(Time::ZERO);
        Note::new(note.pitch(), onset, note.duration())
    });
    let end = notes.last().map_or(entry.onset, |note| note.end());
    let line = Line::from_notes(moved, end.checked_sub(entry.onset)?)?;
    let (meter, offset) = score.meters().place(entry.onset)?;
    Subject::new(score.key(), meter, offset, line)
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINES: [&str; 2] = ["R:3/2 G4:1/4 A4 B4 G4", "R:1/4 C4:1/4 D4 E4 C4 B3:1/4 G3:1"];

    fn marked(marks: &[(Role, usize, Range<usize>)]) -> Result<Outline, SubjectError> {
        Outline::marked(&Score::excerpt("C major", "4/4", &LINES).unwrap(), marks)
    }

    #[test]
    fn outline_has_subject_place_links_and_end() {
        let outline = marked(&[(Role::Answer, 0, 0..4), (Role::Subject, 1, 0..4)]).unwrap();
        assert_eq!(outline.subject.line().to_string(), "C4:1/4 D4:1/4 E4:1/4 C4:1/4");
        assert_eq!(outline.subject.offset().to_string(), "1/4");
        assert_eq!(outline.entries[0].role, Role::Subject);
        assert_eq!(outline.entries[1].key, "G major".parse().unwrap());
        let link = outline.codettas[0];
        assert_eq!([link.onset, link.end, outline.end].map(|time| time.to_string()), ["5/4", "3/2", "5/2"]);
    }

    #[test]
    fn without_a_subject_there_is_no_outline() {
        assert_eq!(marked(&[(Role::Answer, 0, 0..4)]), Err(SubjectError::Empty));
        assert_eq!(marked(&[(Role::Subject, 7, 0..4), (Role::Subject, 0, 2..9)]), Err(SubjectError::Empty));
        assert!(marked(&[(Role::Subject, 0, 0..1)]).is_err());
    }
}
