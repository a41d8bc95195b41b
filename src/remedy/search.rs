//! The search for remedies.

use super::candidate::{Candidate, Kind, Subject, singles, subjects};
use super::ground::{Aim, Ground, Shared};
use super::guard::{outline_after, touches_entry};
use super::hearing::Hearing;
use super::ledger::{Ledger, Mark};
use super::licence::{Licences, licences};
use super::pairs::pairs;
use super::scope::{Asked, Questions, Scope};
use super::trial::Trial;
use crate::exposition::Outline;
use crate::rules::{Change, Finding, Remedy, Rule, RuleBook};
use crate::score::Score;
use crate::texture::{Piece, Texture, span};
use crate::time::Time;
use std::cell::OnceCell;
use std::cmp::Reverse;
use std::ops::Range;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;

/// How many bars before and after a change are looked at where it is first tried.
const MARGIN: i64 = 1;

/// The most changes of one note that are tried for a finding.
pub const MAX_SINGLES: usize = 160;

/// The most changes that are tried for a finding which the bars around it alone do not show, as when
/// it is about the entries of a fugue: each is a review of the whole piece.
pub const MAX_WIDE: usize = 24;

/// The most reviews of the whole piece for a finding: what passes on the bars around nearly always
/// holds.
pub const MAX_PROOFS: usize = 6;

/// The most findings of a piece for which [`remedies`] seeks, the gravest first.
pub const MAX_FINDINGS: usize = 400;

/// The most notes of a piece in which a remedy is sought: each is proven by a review of the whole.
pub const MAX_NOTES: usize = 20_000;

/// The smallest change that clears a finding, proven by a review of the whole piece; `None` if
/// none is found within the limits of this module.
///
/// The finding must come from a review of this texture with this book. The notes of the entries of
/// its outline, if it has one, are left as they are.
pub fn search(texture: &Texture<'_>, finding: &Finding, book: &RuleBook) -> Option<Remedy> {
    if !is_short(texture.score()) {
        return None;
    }
    let scope = Scope::of(texture, book);
    let marks = Ledger::of(&book.review(texture), Time::ZERO);
    Search::of(texture, &scope, &marks).remedy(finding)
}

/// All findings of a review by a book, each with its remedy if one is found.
///
/// ```
/// use soggetto::{RuleBook, Score, remedy};
/// let score = Score::excerpt("C major", "4/4", &["G4:1/2 A4 G4:1", "C4:1/2 D4 E4:1"])?;
/// let findings = remedy::review(&score, None, &RuleBook::free_baroque());
/// assert!(findings.iter().all(|finding| finding.remedy.is_some()));
/// # Ok::<(), soggetto::Error>(())
/// ```
pub fn review(score: &Score, outline: Option<&Outline>, book: &RuleBook) -> Vec<Finding> {
    review_in_parallel(score, outline, book, 1)
}

/// The same, with remedies sought by several threads at once. They do not depend on their number.
pub fn review_in_parallel(
    score: &Score,
    outline: Option<&Outline>,
    book: &RuleBook,
    threads: usize,
) -> Vec<Finding> {
    let texture = Texture::of(score).with_outline(outline);
    let mut findings = book.review(&texture);
    if is_short(score) {
        let marks = Ledger::of(&findings, Time::ZERO);
        fill_in((&texture, &marks), book, &mut findings, threads);
    }
    findings
}

/// Seeks a remedy for each finding of a review of the score, and fills in its
/// [`remedy`](Finding::remedy).
///
/// In a piece of more than [`MAX_NOTES`] notes none is sought, and of more than [`MAX_FINDINGS`]
/// findings only the gravest and first have one.
pub fn remedies(score: &Score, outline: Option<&Outline>, book: &RuleBook, findings: &mut [Finding]) {
    remedies_in_parallel(score, outline, book, findings, 1);
}

/// The same, sought by several threads at once. The remedies do not depend on their number.
pub fn remedies_in_parallel(
    score: &Score,
    outline: Option<&Outline>,
    book: &RuleBook,
    findings: &mut [Finding],
    threads: usize,
) {
    if is_short(score) {
        let texture = Texture::of(score).with_outline(outline);
        let marks = Ledger::of(&book.review(&texture), Time::ZERO);
        fill_in((&texture, &marks), book, findings, threads);
    }
}

/// Fills in the remedies of findings in a texture, of which all marks are known.
fn fill_in(
    (texture, marks): (&Texture<'_>, &Ledger),
    book: &RuleBook,
    findings: &mut [Finding],
    threads: usize,
) {
    let scope = Scope::of(texture, book);
    let search = Search::of(texture, &scope, marks);
    let mut gravest: Vec<&mut Finding> = findings.iter_mut().collect();
    gravest.sort_by_key(|finding| Reverse(finding.severity));
    let helpers = threads.min(gravest.len()).saturating_sub(1);
    let queue = Mutex::new(gravest.into_iter().take(MAX_FINDINGS));
    thread::scope(|scope| {
        for _ in 0..helpers {
            scope.spawn(|| search.work_through(&queue));
        }
        search.work_through(&queue);
    });
}

fn is_short(score: &Score) -> bool {
    score.parts().iter().map(|part| part.line.notes().len()).sum::<usize>() <= MAX_NOTES
}

/// A review in which remedies are sought.
pub(super) struct Search<'a> {
    pub(super) texture: &'a Texture<'a>,
    scope: &'a Scope<'a>,
    piece: Piece,
    pub(super) whole: Ground<'a>,
    /// All rules.
    pub(super) everything: Vec<Asked>,
    /// Bars of it: what is around findings, and what the rules must hear that look near by.
    near: Shared<'a>,
    wide: Shared<'a>,
    pub(super) hearing: Hearing,
    pub(super) licences: Licences,
}

impl<'a> Search<'a> {
    pub(super) fn of(texture: &'a Texture<'a>, scope: &'a Scope<'a>, marks: &'a Ledger) -> Self {
        let (whole, everything) = (Ground::whole(texture, &scope.rules, marks), scope.everything());
        let hearing = Hearing::of(texture);
        let licences = licences(texture.outline(), texture.score());
        let (piece, [near, wide]) = (Piece::of(texture), [Shared::default(), Shared::default()]);
        Self { texture, scope, piece, whole, everything, near, wide, hearing, licences }
    }

    /// Takes one finding after another and seeks its remedy, until there is none left.
    fn work_through<'f>(&self, queue: &Mutex<impl Iterator<Item = &'f mut Finding>>) {
        let next = || queue.lock().unwrap_or_else(PoisonError::into_inner).next();
        while let Some(finding) = next() {
            finding.remedy = self.remedy(finding);
        }
    }

    fn remedy(&self, finding: &Finding) -> Option<Remedy> {
        let subjects = subjects(self.texture, finding, &self.licences);
        let mut singles = singles(self.texture, finding.place.onset, &subjects);
        let is_of_rhythm = self.scope.rule(finding).is_some_and(Rule::is_of_rhythm);
        singles.retain(|single| !is_of_rhythm || single.size.kind > Kind::Pitch);
        let questions = self.questions(finding, &singles)?;
        let mark = Mark::of(finding, Time::ZERO);
        let near = self.near(finding, &subjects).filter(|near| near.holds(&mark));
        let aim = Aim { mark: &mark, weight: finding.severity };
        let trial = Trial { search: self, near, questions: &questions, wide: OnceCell::new(), aim };
        let ones = |most| singles.iter().map(|single| single.changes.clone()).take(most);
        let changes = match trial.near {
            Some(_) => trial.best(ones(MAX_SINGLES)).or_else(|refusals| {
                let is_vain = self.scope.lasts_beyond(&subjects, finding) && trial.is_vain(&subjects);
                trial.best(if is_vain { Vec::new() } else { pairs(&singles, &refusals) })
            }),
            None => trial.best(ones(MAX_WIDE)),
        };
        let changes = changes.ok()?;
        Some(Remedy::new(self.texture.score(), changes))
    }

    /// The bars around the finding and all notes that may change, without the outline.
    fn near(&self, finding: &Finding, subjects: &[Subject]) -> Option<Arc<Ground<'a>>> {
        let onsets = subjects.iter().map(|subject| subject.note.onset()).chain([finding.place.onset]);
        let ends = subjects.iter().map(|subject| subject.note.end()).chain([finding.place.onset]);
        let score = self.texture.score();
        let bar = |time: Time| Some(score.place(time).ok()?.bar);
        let bars = bar(onsets.min()?)? - MARGIN..bar(ends.max()?)? + MARGIN + 1;
        self.near.get(bars, |bars| self.whole.bars(bars))
    }

    /// What is asked if one of some changes is made because of a finding, which may lie beyond a rest from them;
    /// `None` if there is none.
    pub(super) fn questions(&self, finding: &Finding, singles: &[Candidate]) -> Option<Questions> {
        let grid = self.texture.grid();
        let changes = singles.iter().flat_map(|single| &single.changes);
        let notes = || changes.clone().flat_map(|change| change.to.iter().chain([&change.from]));
        let place = grid.ticks(finding.place.onset);
        let onset = notes().map(|note| grid.ticks(note.onset())).min()?.min(place);
        let end = notes().map(|note| grid.ticks(note.end())).max()?.max(place + 1);
        Some(self.scope.questions(onset..end))
    }

    /// Some bars, with what is known of them in the piece; `None` if they are the whole piece.
    pub(super) fn wide(&self, bars: Range<i64>) -> Option<Arc<Ground<'a>>> {
        let score = self.texture.score();
        let is_whole = bars.start <= score.first_bar() && score.bar_start(bars.end).ok()? >= score.length();
        let cut = |bars| self.whole.bars(bars)?.knowing(self.texture.outline(), &self.piece);
        (!is_whole).then(|| self.wide.get(bars, cut)).flatten()
    }

    /// The piece after changes.
    pub(super) fn after(&self, changes: &[Change]) -> Option<After> {
        let score = Change::apply_all(changes, self.texture.score()).ok()?;
        let outline = self.texture.outline().map(|outline| outline_after(outline, changes));
        let span_of = |voice: usize| {
            let notes = score.parts().get(voice).map_or(&[][..], |part| part.line.notes());
            span(notes.iter().map(|note| note.pitch()))
        };
        let is_wider = changes.iter().any(|it| span_of(it.voice) != self.piece.span(it.voice));
        let is_heard_far = is_wider || touches_entry(self.texture.outline(), changes);
        Some(After { score, outline, is_heard_far })
    }
}

/// A piece after changes, with the outline that it had.
pub(super) struct After {
    pub(super) score: Score,
    pub(super) outline: Option<Outline>,
    /// Whether rules that look near by may find something new elsewhere: an entry has changed, or the compass that a
    /// voice uses.
    pub(super) is_heard_far: bool,
}
