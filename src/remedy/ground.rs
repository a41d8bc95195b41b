//! The music on which changes are tried: the whole piece, or the bars around a place.

use super::guard::outline_after;
use super::ledger::{Burden, Ledger, Mark};
use crate::exposition::Outline;
use crate::line::{Line, Note};
use crate::recognize;
use crate::rules::{Change, RuleBook, Severity};
use crate::score::{Part, Score};
use crate::texture::Texture;
use crate::time::Time;
use std::borrow::Cow;

/// How many bars before and after a change are looked at: rules look no farther than from a note to
/// the next but one, and what passes is proven on the whole piece.
const MARGIN: i64 = 1;

/// Music with its review as it was.
#[derive(Debug)]
pub(super) struct Ground<'a> {
    score: Cow<'a, Score>,
    outline: Option<&'a Outline>,
    /// Whether the outline is what recognition finds, so that it may find another after a change.
    is_recognized: bool,
    book: &'a RuleBook,
    /// When it begins in the whole piece.
    start: Time,
    /// For each voice, the index of its first note in the whole piece.
    first: Vec<usize>,
    before: Ledger,
}

impl<'a> Ground<'a> {
    /// The whole piece.
    pub(super) fn whole(texture: &Texture<'a>, book: &'a RuleBook) -> Self {
        let (score, outline) = (texture.score(), texture.outline());
        let (start, first) = (Time::ZERO, vec![0; score.parts().len()]);
        let before = Ledger::of(texture, book, start);
        let is_recognized = recognize::outline(score).as_ref() == outline;
        Self { score: Cow::Borrowed(score), outline, is_recognized, book, start, first, before }
    }

    /// The bars around a stretch of a piece, without its outline; `None` where times run out.
    pub(super) fn around(score: &Score, from: Time, to: Time, book: &'a RuleBook) -> Option<Self> {
        let bar = |time| Some(score.place(time).ok()?.bar);
        let first_bar = (bar(from)? - MARGIN).max(score.first_bar());
        let start = score.bar_start(first_bar).ok()?;
        let end = score.bar_start(bar(to)? + MARGIN + 1).ok()?;
        let cut: Option<Vec<(usize, Part)>> =
            score.parts().iter().map(|part| excerpt(part, start, end)).collect();
        let (first, parts) = cut?.into_iter().unzip();
        let meters = score.meters().from_bar(first_bar).ok()?;
        let score = Score::over(score.key(), meters, parts).ok()?;
        let before = Ledger::of(&Texture::of(&score), book, start);
        let score = Cow::Owned(score);
        Some(Self { score, outline: None, is_recognized: false, book, start, first, before })
    }

    /// Whether its review had a mark.
    pub(super) fn holds(&self, mark: &Mark) -> bool {
        self.before.holds(mark)
    }

    /// What changes of the whole piece add to the review; `None` if they do not clear the mark, add
    /// something as grave, or cannot be made.
    pub(super) fn burden(&self, changes: &[Change], mark: &Mark, weight: Severity) -> Option<Burden> {
        let here: Option<Vec<Change>> = changes.iter().map(|change| self.localized(change)).collect();
        let here = here?;
        let score = Change::apply_all(&here, &self.score).ok()?;
        let kept = self.outline.map(|outline| outline_after(outline, &here));
        let burden = self.burden_of(&score, kept.as_ref(), mark, weight)?;
        if !self.is_recognized {
            return Some(burden);
        }
        match recognize::outline(&score) {
            anew if anew == kept => Some(burden),
            anew => self.burden_of(&score, anew.as_ref(), mark, weight),
        }
    }

    /// What a score with an outline has beyond this one.
    fn burden_of(
        &self,
        score: &Score,
        outline: Option<&Outline>,
        mark: &Mark,
        weight: Severity,
    ) -> Option<Burden> {
        let texture = Texture::of(score).with_outline(outline);
        self.before.burden_of(&texture, self.book, mark, weight)
    }

    /// A change of the whole piece as one of this music.
    fn localized(&self, change: &Change) -> Option<Change> {
        let shifted = |note: &Note| {
            Some(Note::new(note.pitch(), note.onset().checked_sub(self.start).ok()?, note.duration()))
        };
        let note = change.note.checked_sub(*self.first.get(change.voice)?)?;
        let to: Option<Vec<Note>> = change.to.iter().map(shifted).collect();
        Some(Change { voice: change.voice, note, from: shifted(&change.from)?, to: to? })
    }
}

/// What a part sounds from one time to another, timed from the first, with the index of its first
/// note. Notes are cut at both ends.
fn excerpt(part: &Part, start: Time, end: Time) -> Option<(usize, Part)> {
    let notes = part.line.notes();
    let first = notes.partition_point(|note| note.end() <= start);
    let inside = notes[first..].iter().take_while(|note| note.onset() < end);
    let cut = |note: &Note| {
        let (onset, stop) = (note.onset().max(start), note.end().min(end));
        let duration = stop.checked_sub(onset).ok()?;
        Some(Note::new(note.pitch(), onset.checked_sub(start).ok()?, duration))
    };
    let cut: Option<Vec<Note>> = inside.map(cut).collect();
    let length = part.line.length().min(end).checked_sub(start).ok()?.max(Time::ZERO);
    let line = Line::from_notes(cut?, length).ok()?;
    Some((first, Part { voice: part.voice.clone(), line }))
}
