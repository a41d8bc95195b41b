//! Expositions: a score that knows its subject, answer, countersubject and entries.

mod alignment;
mod entry;
mod form;
mod marked;
mod outline;
mod role;

pub use alignment::Alignment;
pub use entry::{Entry, Link};
pub use form::Form;
pub use outline::Outline;
pub(crate) use outline::PATIENCE;
pub use role::Role;

use crate::answer::Answer;
use crate::line::{Line, Note};
use crate::score::Score;
use crate::subject::Subject;
use crate::time::Time;

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

    /// Each appearance of the countersubject with the subject or answer against which it stands:
    /// theme first, in order of onset. The theme is the one with which it sounds longest.
    pub fn pairings(&self) -> Vec<(&Entry, &Entry)> {
        let is_countersubject = |entry: &&Entry| entry.role == Role::Countersubject;
        let pairing = |countersubject| {
            let themes = self.entries.iter().filter(|entry| !is_countersubject(entry));
            let shared = themes.map(|theme| (self.shared(theme, countersubject), theme));
            let (longest, theme) =
                shared.max_by_key(|(time, theme)| (*time, std::cmp::Reverse(theme.onset)))?;
            longest.is_positive().then_some((theme, countersubject))
        };
        self.entries.iter().filter(is_countersubject).filter_map(pairing).collect()
    }

    /// The notes of an entry.
    pub fn notes(&self, entry: &Entry) -> &[Note] {
        let part = self.score.parts().get(entry.voice);
        part.and_then(|part| part.line.notes().get(entry.notes.clone())).unwrap_or(&[])
    }

    /// The time that two entries in different voices have in common.
    fn shared(&self, one: &Entry, other: &Entry) -> Time {
        let end = |entry| self.notes(entry).last().map_or(Time::ZERO, |note| note.end());
        let (from, to) = (one.onset.max(other.onset), end(one).min(end(other)));
        if one.voice == other.voice { Time::ZERO } else { to.checked_sub(from).unwrap_or(Time::ZERO) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Score;

    const SUBJECT: &str = "C4:1/4 E4 G4 F4 E4:1/2";

    fn entry(role: Role, voice: usize, onset: &str, notes: std::ops::Range<usize>) -> Entry {
        Entry { role, voice, onset: onset.parse().unwrap(), notes, key: "C major".parse().unwrap() }
    }

    /// The third entry begins on the last note of the second; the first countersubject lasts into it.
    fn exposition() -> Exposition {
        let upper = "R:5/4 G4:1/4 B4 D5 C5 B4:1/2 C5:1/4 B4 C5:3/4";
        let middle = format!("{SUBJECT} D4:1/2 F4:1/2 D4:1/4 R:1");
        let lower = format!("R:9/4 {}", SUBJECT.replace('4', "3").replace("1/3", "1/4"));
        let score = Score::excerpt("C major", "4/4", &[upper, &middle, &lower]).unwrap();
        let subject = Subject::from_text("C major", "4/4", "0", SUBJECT).unwrap();
        Exposition {
            score,
            answer: subject.answers().unwrap().remove(0),
            subject,
            countersubject: Some("R:1/4 D4:1/2 F4 D4:1/4".parse().unwrap()),
            entries: vec![
                entry(Role::Subject, 1, "0", 0..5),
                entry(Role::Answer, 0, "5/4", 0..5),
                entry(Role::Countersubject, 1, "3/2", 5..8),
                entry(Role::Subject, 2, "9/4", 0..5),
                entry(Role::Countersubject, 0, "11/4", 5..8),
            ],
            codettas: Vec::new(),
        }
    }

    #[test]
    fn countersubject_belongs_to_the_theme_with_which_it_sounds_longest() {
        let exposition = exposition();
        let pairings: Vec<(usize, usize)> =
            exposition.pairings().iter().map(|(theme, against)| (theme.voice, against.voice)).collect();
        assert_eq!(pairings, [(0, 1), (2, 0)]);
    }

    #[test]
    fn notes_of_an_entry_are_those_of_its_voice() {
        let exposition = exposition();
        let notes = exposition.notes(&exposition.entries()[2]);
        assert_eq!(notes.first().map(|note| note.onset().to_string()), Some("3/2".to_owned()));
        assert!(exposition.notes(&entry(Role::Answer, 7, "0", 0..1)).is_empty());
        assert!(exposition.notes(&entry(Role::Answer, 0, "0", 0..99)).is_empty());
    }
}
