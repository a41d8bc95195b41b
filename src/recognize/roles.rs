//! What an entry states: subject or answer, and in which key.

use super::entries::Found;
use super::keys;
use super::opening::is_answer;
use crate::answer::Answer;
use crate::exposition::{Alignment, Entry, Role};
use crate::line::{Line, Note};
use crate::score::Score;
use crate::subject::Subject;
use crate::time::Time;

/// Tells subject from answer.
pub(super) struct Judge<'a> {
    pub(super) score: &'a Score,
    pub(super) subject: &'a Subject,
    pub(super) answers: Vec<Answer>,
}

impl Judge<'_> {
    /// The entry that was found; `is_first` tells that it is the first of its voice.
    pub(super) fn entry(&self, found: &Found, onset: Time, is_first: bool) -> Entry {
        let likeness = &found.likeness;
        let notes = likeness.first..likeness.end;
        let role = self.role(found, is_first);
        let mut entry = Entry { role, voice: found.voice, onset, notes, key: self.subject.key() };
        entry.key = self.key(&entry, likeness.distance);
        entry
    }

    /// At the octave it is the subject, at the fifth the answer; at the fourth too if it mixes both,
    /// or if its voice answers so for the first time (a subdominant answer). Elsewhere it is what it is
    /// more like.
    fn role(&self, found: &Found, is_first: bool) -> Role {
        let likeness = &found.likeness;
        match likeness.distance.rem_euclid(7) {
            0 => Role::Subject,
            4 => Role::Answer,
            3 if is_first || likeness.beside > 0 => Role::Answer,
            _ => Role::Subject,
        }
    }

    fn key(&self, entry: &Entry, distance: i32) -> crate::key::Key {
        let notes = self.notes(entry.voice);
        let stated = |line: &Line| Alignment::of(self.score, entry, line);
        if entry.role == Role::Answer && is_answer(distance) {
            let best = self.answers.iter().rev().max_by_key(|answer| {
                let alignment = stated(answer.line());
                let partners = answer.line().notes().iter().zip(alignment.partners());
                let same = |(note, partner): &(&Note, &Option<usize>)| {
                    partner
                        .and_then(|index| notes.get(index))
                        .is_some_and(|to| to.pitch().class() == note.pitch().class())
                };
                partners.filter(same).count()
            });
            return best.map_or(entry.key, Answer::key);
        }
        let line = self.subject.line();
        keys::of_entry(self.subject.key(), line.notes(), &stated(line), notes, distance)
    }

    fn notes(&self, voice: usize) -> &[Note] {
        self.score.parts().get(voice).map_or(&[], |part| part.line.notes())
    }
}
