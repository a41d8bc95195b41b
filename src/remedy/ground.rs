//! The music on which changes are tried: the whole piece, or the bars around a place.

use super::guard::outline_after;
use super::ledger::{Burden, Ledger, Mark};
use super::scope::{Asked, Weighed};
use crate::exposition::{Entry, Outline};
use crate::line::{Line, Note};
use crate::rules::{Change, Finding, Severity};
use crate::score::{Part, Score};
use crate::texture::{Piece, Texture};
use crate::time::Time;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Music, and what rules mark in it as it was.
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
    /// What is marked in the whole piece.
    marks: &'a Ledger,
    /// What each rule marks in these bars alone, where somebody asks.
    before: Vec<OnceLock<Ledger>>,
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

/// Why a change is no remedy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Refusal {
    /// The mark is still there.
    Uncleared,
    /// Another is new that is as grave: on these notes, each a voice and its index in the whole piece.
    Adds(Vec<(usize, usize)>),
    /// It cannot be made, or does not hold in the whole piece.
    Else,
}

/// What is to be known of a change: whether it clears a mark, and adds none of a weight or a greater one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Aim<'t> {
    pub(super) mark: &'t Mark,
    pub(super) weight: Severity,
}

impl<'a> Ground<'a> {
    /// The whole piece, with all its marks.
    pub(super) fn whole(texture: &Texture<'a>, rules: &'a [Weighed<'a>], marks: &'a Ledger) -> Self {
        let outline = texture.outline().map(Cow::Borrowed);
        let first = vec![0; texture.voices()];
        let (score, piece, start) = (Cow::Borrowed(texture.score()), None, Time::ZERO);
        let refuser = AtomicUsize::new(0);
        Self { score, outline, piece, rules, start, first, marks, before: Vec::new(), refuser }
    }

    /// Some bars of it, without its outline; `None` where times run out.
    pub(super) fn bars(&self, bars: Range<i64>) -> Option<Self> {
        let score = self.score.as_ref();
        let first_bar = bars.start.max(score.first_bar());
        let (start, end) = (score.bar_start(first_bar).ok()?, score.bar_start(bars.end).ok()?);
        let cut: Option<Vec<(usize, Part)>> =
            score.parts().iter().map(|part| excerpt(part, start, end)).collect();
        let (first, parts): (Vec<usize>, Vec<Part>) = cut?.into_iter().unzip();
        let meters = score.meters().from_bar(first_bar).ok()?;
        let score = Cow::Owned(Score::over(score.key(), meters, parts).ok()?);
        let before = self.rules.iter().map(|_| OnceLock::new()).collect();
        let (outline, piece, refuser) = (None, None, AtomicUsize::new(0));
        Some(Self { score, outline, piece, start, first, before, refuser, ..*self })
    }

    /// With what an outline of the piece says of these bars, and what is told of it besides.
    pub(super) fn knowing(self, outline: Option<&Outline>, piece: &Piece) -> Option<Self> {
        let of = |outline| Cow::Owned(outline_of(outline, &self.score, self.start, &self.first));
        let (outline, piece) = (outline.map(of), Some(piece.from(self.start)?));
        Some(Self { outline, piece, ..self })
    }

    /// The facts of this music, or of what has become of it.
    fn texture<'t>(&'t self, score: &'t Score, outline: Option<&'t Outline>) -> Texture<'t> {
        Texture::of(score).with_outline(outline).cut_from(self.piece.as_ref())
    }

    /// What a rule, by its place in the book, marks in it as it was: more than in the whole piece, for where it is
    /// cut things look otherwise.
    fn before(&self, rule: usize) -> &Ledger {
        let find = || {
            let texture = self.texture(&self.score, self.outline.as_deref());
            Ledger::of(&self.marks_of(&texture, rule), self.start)
        };
        self.before.get(rule).map_or(self.marks, |before| before.get_or_init(find))
    }

    /// The mark of a finding in this music.
    fn mark(&self, finding: &Finding) -> Mark {
        Mark::of(finding, self.start)
    }

    /// What a rule finds, by its place in the book.
    fn marks_of(&self, texture: &Texture<'_>, rule: usize) -> Vec<Finding> {
        self.rules.get(rule).map_or_else(Vec::new, |(rule, severity)| texture.tacit_marks(*rule, *severity))
    }

    /// Whether a review of it has a mark.
    pub(super) fn holds(&self, mark: &Mark) -> bool {
        self.place_of(mark).is_some_and(|rule| self.before(rule).holds(mark))
    }

    /// The place of the rule of a mark in the book.
    fn place_of(&self, mark: &Mark) -> Option<usize> {
        self.rules.iter().position(|(rule, _)| rule.info().id == mark.rule())
    }

    /// The rule of a mark, if it is asked.
    pub(super) fn own<'q>(&self, asked: &'q [Asked], mark: &Mark) -> Option<&'q Asked> {
        let place = self.place_of(mark)?;
        asked.iter().find(|it| it.rule == place)
    }

    /// What changes of the whole piece add to what is found by the rules that are asked, if they clear the mark and
    /// add nothing as grave.
    pub(super) fn burden(
        &self,
        changes: &[Change],
        asked: &[Asked],
        aim: Aim<'_>,
    ) -> Result<Burden, Refusal> {
        let here = self.localized(changes).ok_or(Refusal::Else)?;
        let score = Change::apply_all(&here, &self.score).map_err(|_| Refusal::Else)?;
        let outline = self.outline.as_deref().map(|outline| outline_after(outline, &here));
        self.burden_after((&score, outline.as_ref()), asked, aim)
    }

    /// The same if this is what has become of the music and its outline. The rule of the mark is asked first, for
    /// most changes fail there; then the rule that has refused the last one.
    pub(super) fn burden_after(
        &self,
        (score, outline): (&Score, Option<&Outline>),
        asked: &[Asked],
        aim: Aim<'_>,
    ) -> Result<Burden, Refusal> {
        let texture = self.texture(score, outline);
        let own = self.own(asked, aim.mark);
        let mut burden = match own {
            Some(own) => self.added(own, &texture, aim)?,
            None => Burden::NONE,
        };
        let refuser = self.refuser.load(Ordering::Relaxed);
        let (first, others): (Vec<&Asked>, Vec<&Asked>) =
            asked.iter().filter(|it| own != Some(*it)).partition(|it| it.rule == refuser);
        for it in first.into_iter().chain(others) {
            let added = self.added(it, &texture, aim);
            if added.is_err() {
                self.refuser.store(it.rule, Ordering::Relaxed);
            }
            burden = burden.plus(added?);
        }
        Ok(burden)
    }

    /// What a rule finds anew, if that is less grave, and not the mark itself. What the whole piece has is nothing
    /// new, and needs no look at these bars as they were; but the rule of the mark may not find more of it elsewhere
    /// instead.
    fn added(&self, asked: &Asked, texture: &Texture<'_>, aim: Aim<'_>) -> Result<Burden, Refusal> {
        let findings = self.marks_of(texture, asked.rule);
        let is_own = self.place_of(aim.mark) == Some(asked.rule);
        if is_own && findings.iter().any(|finding| self.is_still(texture, finding, aim.mark)) {
            return Err(Refusal::Uncleared);
        }
        let is_asked =
            |it: &&Finding| asked.within.as_ref().is_none_or(|within| self.mark(it).is_within(within));
        let after = Ledger::of(findings.iter().filter(is_asked), self.start);
        let after = if is_own { after } else { after.of_any_extent() };
        if self.marks.includes(&after) {
            return Ok(Burden::NONE);
        }
        let added = self.before(asked.rule).added(&after, aim.weight);
        added.map_err(|mark| Refusal::Adds(self.notes_of(&findings, mark)))
    }

    /// Whether a finding is a mark, or is made anew of the same voices no farther from it than a bar: then it has only
    /// moved.
    fn is_still(&self, texture: &Texture<'_>, finding: &Finding, mark: &Mark) -> bool {
        let now = self.mark(finding);
        let bar = || texture.accents().bar_at(texture.grid().ticks(finding.place.onset));
        let is_new = || {
            let before = self.place_of(mark).map_or(self.marks, |rule| self.before(rule));
            !self.marks.holds(&now) && !before.holds(&now)
        };
        now == *mark || (now.is_beside(mark, texture.time(bar())) && is_new())
    }

    /// The notes of the findings that make a mark, by their index in the whole piece.
    fn notes_of(&self, findings: &[Finding], mark: &Mark) -> Vec<(usize, usize)> {
        let notes = findings.iter().filter(|it| self.mark(it) == *mark).flat_map(|it| &it.notes);
        notes.map(|&(voice, note)| (voice, note + self.first.get(voice).copied().unwrap_or(0))).collect()
    }

    /// Whether the rule of a mark does not make it any more.
    pub(super) fn is_cleared(&self, texture: &Texture<'_>, mark: &Mark) -> bool {
        let own = self.place_of(mark).map_or_else(Vec::new, |rule| self.marks_of(texture, rule));
        !own.iter().any(|finding| self.is_still(texture, finding, mark))
    }

    /// Whether the rule of a mark marks its voices anew as gravely, or makes the mark still, after changes of the
    /// whole piece.
    pub(super) fn is_marked_anew(&self, changes: &[Change], Aim { mark, weight }: Aim<'_>) -> bool {
        let score = self.localized(changes).and_then(|here| Change::apply_all(&here, &self.score).ok());
        let (Some(rule), Some(score)) = (self.place_of(mark), score) else { return false };
        self.marks_of(&self.texture(&score, None), rule).iter().any(|finding| {
            let anew = self.mark(finding);
            let is_graver = finding.severity >= weight && !self.before(rule).holds(&anew);
            anew == *mark || (is_graver && anew.has_voices_of(mark))
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
