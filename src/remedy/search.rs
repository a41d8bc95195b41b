//! The search for remedies.

use super::candidate::{Candidate, Subject, singles, subjects};
use super::ground::Ground;
use super::guard::{outline_after, touches_entry};
use super::hearing::{Heard, Hearing};
use super::ledger::{Burden, Mark};
use super::licence::{Licences, licences};
use super::pairs::pairs;
use super::scope::Scope;
use crate::exposition::Outline;
use crate::rules::{Change, Finding, Remedy, RuleBook, Severity};
use crate::score::Score;
use crate::texture::{Piece, Texture, span};
use crate::time::Time;
use std::cell::OnceCell;
use std::cmp::Reverse;
use std::sync::{Mutex, PoisonError};
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
    Search::of(texture, &scope).remedy(finding)
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
    let mut findings = book.review(&Texture::of(score).with_outline(outline));
    remedies(score, outline, book, &mut findings);
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
    if !is_short(score) {
        return;
    }
    let texture = Texture::of(score).with_outline(outline);
    let scope = Scope::of(&texture, book);
    let search = Search::of(&texture, &scope);
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
struct Search<'a> {
    texture: &'a Texture<'a>,
    scope: &'a Scope<'a>,
    piece: Piece,
    /// The whole piece with all rules, and with those alone that look all over it.
    whole: Ground<'a>,
    far: Ground<'a>,
    hearing: Hearing,
    licences: Licences,
}

impl<'a> Search<'a> {
    fn of(texture: &'a Texture<'a>, scope: &'a Scope<'a>) -> Self {
        let (whole, far) = (Ground::whole(texture, &scope.all), Ground::whole(texture, &scope.far));
        let hearing = Hearing::of(texture);
        let licences = licences(texture.outline(), texture.score());
        Self { texture, scope, piece: Piece::of(texture), whole, far, hearing, licences }
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
        let mark = Mark::of(finding, Time::ZERO);
        let singles = singles(self.texture, finding.place.onset, &subjects);
        let near = self.near(finding, &subjects).filter(|near| near.holds(&mark));
        let wide = OnceCell::new();
        let trial = Trial { search: self, near, wide, singles: &singles, weight: finding.severity, mark };
        let ones = |most| singles.iter().map(|single| single.changes.clone()).take(most);
        let changes = match trial.near {
            Some(_) => trial.best(ones(MAX_SINGLES)).or_else(|| trial.best(pairs(&singles))),
            None => trial.best(ones(MAX_WIDE)),
        };
        let changes = changes?;
        Some(Remedy::new(self.texture.score(), changes))
    }

    /// The bars around the finding and all notes that may change, without the outline.
    fn near(&self, finding: &Finding, subjects: &[Subject]) -> Option<Ground<'a>> {
        let onsets = subjects.iter().map(|subject| subject.note.onset()).chain([finding.place.onset]);
        let ends = subjects.iter().map(|subject| subject.note.end()).chain([finding.place.onset]);
        let score = self.texture.score();
        let bar = |time: Time| Some(score.place(time).ok()?.bar);
        let bars = bar(onsets.min()?)? - MARGIN..bar(ends.max()?)? + MARGIN + 1;
        Ground::bars(score, bars, &self.scope.all)
    }

    /// All that the rules must hear that look near by, if one of some changes is made; `None` if that is the
    /// whole piece.
    fn wide(&self, singles: &[Candidate]) -> Option<Ground<'a>> {
        let (score, grid) = (self.texture.score(), self.texture.grid());
        let changes = singles.iter().flat_map(|single| &single.changes);
        let notes = || changes.clone().flat_map(|change| change.to.iter().chain([&change.from]));
        let onset = notes().map(|note| grid.ticks(note.onset())).min()?;
        let end = notes().map(|note| grid.ticks(note.end())).max()?;
        let ticks = self.scope.around(onset..end);
        let bars = self.texture.place(ticks.start).bar..self.texture.place(ticks.end).bar;
        let is_whole = ticks.start <= 0 && ticks.end >= grid.ticks(score.length());
        let bars = Ground::bars(score, bars, &self.scope.near).filter(|_| !is_whole)?;
        bars.knowing(self.texture.outline(), &self.piece)
    }

    /// The piece after changes.
    fn after(&self, changes: &[Change]) -> Option<After> {
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
struct After {
    score: Score,
    outline: Option<Outline>,
    /// Whether rules that look near by may find something new elsewhere: an entry has changed, or the compass that a
    /// voice uses.
    is_heard_far: bool,
}

/// A finding with the music on which changes are tried, and that on which they are proven.
struct Trial<'a> {
    search: &'a Search<'a>,
    /// The bars around it, if they show the finding.
    near: Option<Ground<'a>>,
    /// What [`Search::wide`] says, once somebody has asked.
    wide: OnceCell<Option<Ground<'a>>>,
    singles: &'a [Candidate],
    weight: Severity,
    mark: Mark,
}

impl Trial<'_> {
    /// The first change that adds nothing; failing that, the first of those that add least.
    fn best(&self, candidates: impl IntoIterator<Item = Vec<Change>>) -> Option<Vec<Change>> {
        let mut proofs = 0;
        let mut burdened: Vec<(Burden, Vec<Change>)> = Vec::new();
        for changes in candidates {
            match self.tried(&changes) {
                Some(Burden::NONE) if proofs < MAX_PROOFS => {
                    proofs += 1;
                    match self.proven(&changes) {
                        Some(Burden::NONE) => return Some(changes),
                        Some(burden) => burdened.push((burden, changes)),
                        None => {}
                    }
                }
                Some(burden) => burdened.push((burden, changes)),
                None => {}
            }
        }
        burdened.sort_by_key(|(burden, _)| *burden);
        let mut least = burdened.into_iter().map(|(_, changes)| changes).take(MAX_PROOFS);
        least.find(|changes| self.proven(changes).is_some())
    }

    /// What changes add to the review of the bars around; where those do not show the finding, of the piece.
    fn tried(&self, changes: &[Change]) -> Option<Burden> {
        match &self.near {
            Some(near) => near.burden(changes, &self.mark, self.weight),
            None => self.proven(changes),
        }
    }

    /// What changes add to the review of the whole piece, if they hold there. What looks near by alone has
    /// nothing new to say elsewhere.
    fn proven(&self, changes: &[Change]) -> Option<Burden> {
        let Search { whole, hearing, .. } = self.search;
        let after = self.search.after(changes)?;
        let wide = self.wide.get_or_init(|| self.search.wide(self.singles));
        let burden = match wide.as_ref().filter(|_| !after.is_heard_far) {
            Some(wide) => self.in_parts(wide, changes, &after)?,
            None => whole.burden_after(&after.score, after.outline.as_ref(), &self.mark, self.weight)?,
        };
        match hearing.after(&after.score, after.outline.as_ref()) {
            Heard::Same => Some(burden),
            Heard::Anew(outline) => {
                whole.burden_after(&after.score, (*outline).as_ref(), &self.mark, self.weight)
            }
        }
    }

    /// What changes add to the bars that the rules must hear that look near by, and to the piece for those that
    /// look all over it; the rule of the finding is asked first. No change touches an entry: `None` if the
    /// finding is about them alone.
    fn in_parts(&self, wide: &Ground<'_>, changes: &[Change], after: &After) -> Option<Burden> {
        let far = &self.search.far;
        let near_by = || wide.burden(changes, &self.mark, self.weight);
        let all_over = || far.burden_after(&after.score, after.outline.as_ref(), &self.mark, self.weight);
        match (wide.asks(&self.mark), far.asks(&self.mark)) {
            (true, _) => Some(near_by()?.plus(all_over()?)),
            (false, true) => Some(all_over()?.plus(near_by()?)),
            (false, false) => None,
        }
    }
}

#[cfg(test)]
mod proofs {
    use super::*;
    use crate::compose::{DraftOptions, draft};
    use crate::ensemble::Ensemble;
    use crate::subject::Subject as Theme;

    /// Every change that is tried for any finding, proven in parts and by a review of the whole piece.
    fn proofs_agree(book: &RuleBook) -> usize {
        let theme = "G4:1/4 D5 E5:1/8 D5 C5 B4 | C5:1/4 A4:1/8 F#4 G4:1/4 R:1/4";
        let theme = Theme::from_text("G major", "4/4", "0", theme).unwrap();
        let exposition = draft(&theme, &DraftOptions::new(Ensemble::named("choir").unwrap())).unwrap();
        let (score, outline) = (exposition.score(), exposition.outline());
        let texture = Texture::of(score).with_outline(&outline);
        let scope = Scope::of(&texture, book);
        let (search, mut compared) = (Search::of(&texture, &scope), 0);
        for finding in book.review(&texture) {
            let subjects = subjects(&texture, &finding, &search.licences);
            let singles = singles(&texture, finding.place.onset, &subjects);
            let mark = Mark::of(&finding, Time::ZERO);
            let Some(wide) = search.wide(&singles) else { continue };
            let (near, weight) = (None, finding.severity);
            let trial =
                Trial { search: &search, near, wide: OnceCell::new(), singles: &singles, weight, mark };
            for Candidate { changes, .. } in &singles {
                let Some(after) = search.after(changes).filter(|after| !after.is_heard_far) else { continue };
                let whole =
                    search.whole.burden_after(&after.score, after.outline.as_ref(), &trial.mark, weight);
                assert_eq!(trial.in_parts(&wide, changes, &after), whole, "{finding}\n{changes:?}");
                compared += 1;
            }
        }
        compared
    }

    #[test]
    fn proof_in_parts_agrees_with_a_review_of_the_whole_piece() {
        let books = [RuleBook::strict_school(), RuleBook::free_baroque(), RuleBook::every_rule()];
        let compared: usize = books.iter().map(proofs_agree).sum();
        assert!(compared > 100, "only {compared} changes were compared");
    }
}
