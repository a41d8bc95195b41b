//! The music on which changes are tried: the whole piece, or the bars around a place.

use super::guard::outline_after;
use super::ledger::{Burden, Ledger, Mark};
use super::scope::Weighed;
use crate::exposition::{Entry, Outline};
use crate::line::{Line, Note};
use crate::rules::{Change, Rule, Severity};
use crate::score::{Part, Score};
use crate::texture::Texture;
use crate::time::Time;
use std::borrow::Cow;
use std::ops::Range;
use std::sync::OnceLock;

/// Music, some rules, and what they mark in it as it was.
#[derive(Debug)]
pub(super) struct Ground<'a> {
    score: Cow<'a, Score>,
    outline: Option<Cow<'a, Outline>>,
    rules: &'a [Weighed<'a>],
    /// When it begins in the whole piece.
    start: Time,
    /// For each voice, the index of its first note in the whole piece.
    first: Vec<usize>,
    /// Found when somebody asks.
    before: OnceLock<Ledger>,
}

impl<'a> Ground<'a> {
    /// The whole piece.
    pub(super) fn whole(texture: &Texture<'a>, rules: &'a [Weighed<'a>]) -> Self {
        let (score, outline) = (texture.score(), texture.outline().map(Cow::Borrowed));
        let (start, first) = (Time::ZERO, vec![0; score.parts().len()]);
        Self { score: Cow::Borrowed(score), outline, rules, start, first, before: OnceLock::new() }
    }

    /// Some bars of a piece, with what its outline says of them, if there is one; `None` where times run out.
    pub(super) fn bars(
        score: &Score,
        outline: Option<&Outline>,
        bars: Range<i64>,
        rules: &'a [Weighed<'a>],
    ) -> Option<Self> {
        let first_bar = bars.start.max(score.first_bar());
        let (start, end) = (score.bar_start(first_bar).ok()?, score.bar_start(bars.end).ok()?);
        let cut: Option<Vec<(usize, Part)>> =
            score.parts().iter().map(|part| excerpt(part, start, end)).collect();
        let (first, parts): (Vec<usize>, Vec<Part>) = cut?.into_iter().unzip();
        let meters = score.meters().from_bar(first_bar).ok()?;
        let score = Score::over(score.key(), meters, parts).ok()?;
        let outline = outline.map(|outline| Cow::Owned(outline_of(outline, &score, start, &first)));
        Some(Self { score: Cow::Owned(score), outline, rules, start, first, before: OnceLock::new() })
    }

    /// What the rules mark in it as it was.
    fn before(&self) -> &Ledger {
        let texture = || Texture::of(&self.score).with_outline(self.outline.as_deref());
        self.before.get_or_init(|| Ledger::of(&texture(), self.rules, self.start))
    }

    /// Whether its review had a mark.
    pub(super) fn holds(&self, mark: &Mark) -> bool {
        self.before().holds(mark)
    }

    /// The rule of a mark, if it is asked here.
    fn rule_of(&self, mark: &Mark) -> Option<&'a dyn Rule> {
        self.rules.iter().map(|(rule, _)| *rule).find(|rule| rule.info().id == mark.rule())
    }

    /// Whether the rule of a mark is asked here.
    pub(super) fn asks(&self, mark: &Mark) -> bool {
        self.rule_of(mark).is_some()
    }

    /// What changes of the whole piece add to the review; `None` if they do not clear the mark, add
    /// something as grave, or cannot be made. The rule of the mark is asked first, for most changes fail
    /// there.
    pub(super) fn burden(&self, changes: &[Change], mark: &Mark, weight: Severity) -> Option<Burden> {
        let here = self.localized(changes)?;
        let outline = self.outline.as_deref().map(|outline| outline_after(outline, &here));
        self.burden_with(outline.as_ref(), changes, mark, weight)
    }

    /// The same if this is the outline after the changes.
    pub(super) fn burden_with(
        &self,
        outline: Option<&Outline>,
        changes: &[Change],
        mark: &Mark,
        weight: Severity,
    ) -> Option<Burden> {
        let score = Change::apply_all(&self.localized(changes)?, &self.score).ok()?;
        let texture = Texture::of(&score).with_outline(outline);
        let own = self.rule_of(mark).map_or_else(Vec::new, |rule| texture.marks(rule));
        if own.iter().any(|finding| Mark::of(finding, self.start) == *mark) {
            return None;
        }
        self.before().burden_of(&texture, self.rules, weight)
    }

    /// Changes of the whole piece as such of this music.
    fn localized(&self, changes: &[Change]) -> Option<Vec<Change>> {
        changes.iter().map(|change| self.localized_one(change)).collect()
    }

    fn localized_one(&self, change: &Change) -> Option<Change> {
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

/// What an outline says of an excerpt from a time on, the notes of each voice counted from its first one
/// there: which notes belong to entries, and in which key.
fn outline_of(outline: &Outline, excerpt: &Score, start: Time, first: &[usize]) -> Outline {
    let within = |entry: &Entry| {
        let (first, part) = (*first.get(entry.voice)?, excerpt.parts().get(entry.voice)?);
        let here = |note: usize| note.saturating_sub(first).min(part.line.notes().len());
        let notes = here(entry.notes.start)..here(entry.notes.end);
        let onset = entry.onset.checked_sub(start).ok()?.max(Time::ZERO);
        (!notes.is_empty()).then(|| Entry { onset, notes, ..entry.clone() })
    };
    let entries = outline.entries.iter().filter_map(within).collect();
    let others = outline.others.iter().filter_map(|(form, entry)| Some((*form, within(entry)?))).collect();
    Outline { subject: outline.subject.clone(), entries, others, codettas: Vec::new(), end: outline.end }
}
