//! The music on which changes are tried: the whole piece, or the bars around a place.

use super::guard::outline_after;
use super::ledger::{Burden, Ledger, Mark};
use super::scope::Weighed;
use crate::exposition::{Entry, Outline};
use crate::line::{Line, Note};
use crate::rules::{Change, Rule, Severity};
use crate::score::{Part, Score};
use crate::texture::{Piece, Texture};
use crate::time::Time;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Music, some rules, and what they mark in it as it was.
#[derive(Debug)]
pub(super) struct Ground<'a> {
    score: Cow<'a, Score>,
    outline: Option<Cow<'a, Outline>>,
    /// What it is cut from, if that is known.
    piece: Option<Piece>,
    rules: &'a [Weighed<'a>],
    /// When it begins in the whole piece.
    start: Time,
    /// For each voice, the index of its first note in the whole piece.
    first: Vec<usize>,
    before: Before<'a>,
    /// The rule that has refused a change last: it is likely to refuse the next.
    refuser: AtomicUsize,
}

/// Bars of a piece, cut out and reviewed once for all findings that lie there.
#[derive(Debug, Default)]
pub(super) struct Shared<'a>(Mutex<BTreeMap<(i64, i64), Cut<'a>>>);

/// Bars that are cut out, if they can be.
type Cut<'a> = Option<Arc<Ground<'a>>>;

impl<'a> Shared<'a> {
    /// The ground of some bars; `None` if it cannot be cut.
    pub(super) fn get(
        &self,
        bars: Range<i64>,
        cut: impl FnOnce(Range<i64>) -> Option<Ground<'a>>,
    ) -> Cut<'a> {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        known.entry((bars.start, bars.end)).or_insert_with(|| cut(bars).map(Arc::new)).clone()
    }
}

/// What rules mark in music as it was.
#[derive(Debug)]
enum Before<'a> {
    /// Known, with what other rules mark.
    Known(&'a Ledger),
    /// Found when somebody asks.
    Sought(OnceLock<Ledger>),
}

impl<'a> Ground<'a> {
    /// The whole piece, of which all marks are known.
    pub(super) fn whole(texture: &Texture<'a>, rules: &'a [Weighed<'a>], marks: &'a Ledger) -> Self {
        let outline = texture.outline().map(Cow::Borrowed);
        let first = vec![0; texture.voices()];
        let new = Self::new(Cow::Borrowed(texture.score()), rules, (Time::ZERO, first));
        Self { outline, before: Before::Known(marks), ..new }
    }

    fn new(score: Cow<'a, Score>, rules: &'a [Weighed<'a>], (start, first): (Time, Vec<usize>)) -> Self {
        let (before, refuser) = (Before::Sought(OnceLock::new()), AtomicUsize::new(0));
        Self { score, outline: None, piece: None, rules, start, first, before, refuser }
    }

    /// Some bars of a piece; `None` where times run out.
    pub(super) fn bars(score: &Score, bars: Range<i64>, rules: &'a [Weighed<'a>]) -> Option<Self> {
        let first_bar = bars.start.max(score.first_bar());
        let (start, end) = (score.bar_start(first_bar).ok()?, score.bar_start(bars.end).ok()?);
        let cut: Option<Vec<(usize, Part)>> =
            score.parts().iter().map(|part| excerpt(part, start, end)).collect();
        let (first, parts): (Vec<usize>, Vec<Part>) = cut?.into_iter().unzip();
        let meters = score.meters().from_bar(first_bar).ok()?;
        let score = Score::over(score.key(), meters, parts).ok()?;
        Some(Self::new(Cow::Owned(score), rules, (start, first)))
    }

    /// With what an outline of the piece says of these bars, and what is told of it besides.
    pub(super) fn knowing(self, outline: Option<&Outline>, piece: &Piece) -> Option<Self> {
        let of = |outline| Cow::Owned(outline_of(outline, &self.score, self.start, &self.first));
        let (outline, piece) = (outline.map(of), Some(piece.from(self.start)?));
        Some(Self { outline, piece, ..self })
    }

    /// What the rules mark in it as it was.
    fn before(&self) -> &Ledger {
        let texture = || self.texture(&self.score, self.outline.as_deref());
        match &self.before {
            Before::Known(ledger) => ledger,
            Before::Sought(ledger) => ledger.get_or_init(|| Ledger::of(&texture(), self.rules, self.start)),
        }
    }

    /// The facts of this music, or of what has become of it.
    fn texture<'t>(&'t self, score: &'t Score, outline: Option<&'t Outline>) -> Texture<'t> {
        Texture::of(score).with_outline(outline).cut_from(self.piece.as_ref())
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
    /// something as grave, or cannot be made.
    pub(super) fn burden(&self, changes: &[Change], mark: &Mark, weight: Severity) -> Option<Burden> {
        let here = self.localized(changes)?;
        let score = Change::apply_all(&here, &self.score).ok()?;
        let outline = self.outline.as_deref().map(|outline| outline_after(outline, &here));
        self.burden_after(&score, outline.as_ref(), mark, weight)
    }

    /// The same if this is what has become of the music and its outline. The rule of the mark is asked first, for
    /// most changes fail there; then the rule that has refused the last one.
    pub(super) fn burden_after(
        &self,
        score: &Score,
        outline: Option<&Outline>,
        mark: &Mark,
        weight: Severity,
    ) -> Option<Burden> {
        let texture = self.texture(score, outline);
        if !self.is_cleared(&texture, mark) {
            return None;
        }
        let (mut burden, first) = (Burden::NONE, self.refuser.load(Ordering::Relaxed));
        let others = (0..self.rules.len()).filter(|index| *index != first);
        for index in (first..self.rules.len()).take(1).chain(others) {
            let (rule, severity) = self.rules[index];
            let added = self.before().added(&texture.marks_of_weight(rule, severity), weight);
            if added.is_none() {
                self.refuser.store(index, Ordering::Relaxed);
            }
            burden = burden.plus(added?);
        }
        Some(burden)
    }

    /// Whether the rule of a mark does not make it any more.
    pub(super) fn is_cleared(&self, texture: &Texture<'_>, mark: &Mark) -> bool {
        let own = self.rule_of(mark).map_or_else(Vec::new, |rule| texture.marks(rule));
        !own.iter().any(|finding| Mark::of(finding, self.start) == *mark)
    }

    /// Whether the rule of a mark marks its voices anew as gravely, or makes the mark still, after changes of the
    /// whole piece.
    pub(super) fn is_marked_anew(&self, changes: &[Change], mark: &Mark, weight: Severity) -> bool {
        let own: Vec<Weighed<'_>> =
            self.rules.iter().copied().filter(|(rule, _)| rule.info().id == mark.rule()).collect();
        let score = self.localized(changes).and_then(|here| Change::apply_all(&here, &self.score).ok());
        score.is_some_and(|score| {
            let texture = self.texture(&score, None);
            let marks = || own.iter().flat_map(|(rule, severity)| texture.marks_of_weight(*rule, *severity));
            marks().any(|finding| {
                let anew = Mark::of(&finding, self.start);
                let is_graver = finding.severity >= weight && !self.before().holds(&anew);
                anew == *mark || (is_graver && anew.has_voices_of(mark))
            })
        })
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
