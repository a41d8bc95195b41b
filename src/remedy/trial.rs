//! Changes under trial for a finding.

use super::candidate::Subject;
use super::ground::{Aim, Ground, Refusal};
use super::hearing::Heard;
use super::ledger::Burden;
use super::scope::{Asked, Questions};
use super::search::{After, MAX_PROOFS, Search};
use crate::exposition::Outline;
use crate::rules::Change;
use crate::texture::Texture;
use std::cell::OnceCell;
use std::sync::Arc;

/// A finding with the music on which changes are tried, and that on which they are proven.
pub(super) struct Trial<'t, 'a> {
    pub(super) search: &'t Search<'a>,
    /// The bars around it, if they show the finding.
    pub(super) near: Option<Arc<Ground<'a>>>,
    /// What is asked after any of the changes.
    pub(super) questions: &'t Questions,
    /// What [`Search::wide`] says of them, once somebody has asked.
    pub(super) wide: OnceCell<Option<Arc<Ground<'a>>>>,
    pub(super) aim: Aim<'t>,
}

impl Trial<'_, '_> {
    /// The first change that adds nothing; failing that, the first of those that add least; and why the others are
    /// none, as far as it went.
    pub(super) fn best(
        &self,
        candidates: impl IntoIterator<Item = Vec<Change>>,
    ) -> Result<Vec<Change>, Vec<Refusal>> {
        let (mut proofs, mut refusals) = (0, Vec::new());
        let mut burdened: Vec<(Burden, Vec<Change>)> = Vec::new();
        for changes in candidates {
            match self.tried(&changes) {
                Ok(Burden::NONE) if proofs < MAX_PROOFS => {
                    proofs += 1;
                    match self.proven(&changes) {
                        Ok(Burden::NONE) => return Ok(changes),
                        Ok(burden) => burdened.push((burden, changes)),
                        Err(_) => {}
                    }
                    refusals.push(Refusal::Else);
                }
                Ok(burden) => {
                    burdened.push((burden, changes));
                    refusals.push(Refusal::Else);
                }
                Err(refusal) => refusals.push(refusal),
            }
        }
        burdened.sort_by_key(|(burden, _)| *burden);
        let mut least = burdened.into_iter().map(|(_, changes)| changes).take(MAX_PROOFS);
        least.find(|changes| self.proven(changes).is_ok()).ok_or(refusals)
    }

    /// Whether it is vain to change two notes of a passage: its rule marks the voices anew even where all notes that
    /// may change fall silent, for there are others that cross, or lie apart, or keep one rhythm.
    pub(super) fn is_vain(&self, subjects: &[Subject]) -> bool {
        let mut silenced: Vec<Change> = subjects.iter().map(|it| it.into_notes(Vec::new())).collect();
        silenced.sort_by_key(|change| (change.voice, change.note));
        self.near.as_ref().is_some_and(|near| near.is_marked_anew(&silenced, self.aim))
    }

    /// What changes add to the review of the bars around; where those do not show the finding, of the piece.
    fn tried(&self, changes: &[Change]) -> Result<Burden, Refusal> {
        match &self.near {
            Some(near) => near.burden(changes, &self.questions.tried, self.aim),
            None => self.proven(changes),
        }
    }

    /// What changes add to the review of the whole piece, if they hold there. What looks near by alone has
    /// nothing new to say elsewhere.
    fn proven(&self, changes: &[Change]) -> Result<Burden, Refusal> {
        let Search { whole, hearing, everything, .. } = self.search;
        let after = self.search.after(changes).ok_or(Refusal::Else)?;
        let of_whole =
            |outline: Option<&Outline>| whole.burden_after((&after.score, outline), everything, self.aim);
        let heard = || hearing.after(&after.score, after.outline.as_ref());
        let wide = self.wide.get_or_init(|| self.search.wide(self.questions.bars.clone()));
        let Some(wide) = wide.as_ref().filter(|_| !after.is_heard_far) else {
            let texture = Texture::of(&after.score).with_outline(after.outline.as_ref());
            let is_cleared = whole.is_cleared(&texture, self.aim.mark);
            return match is_cleared.then(heard).ok_or(Refusal::Uncleared)? {
                Heard::Same => of_whole(after.outline.as_ref()),
                Heard::Anew(outline) => of_whole(Some(&outline)),
                Heard::Lost => Err(Refusal::Else),
            };
        };
        let burden = self.in_parts(wide, changes, &after)?;
        match heard() {
            Heard::Same => Ok(burden),
            Heard::Anew(outline) => of_whole(Some(&outline)),
            Heard::Lost => Err(Refusal::Else),
        }
    }

    /// What changes add to the bars that the rules must hear that look near by, and to the piece for those that
    /// look all over it; the rule of the finding is asked first. No change touches an entry, so that none clears
    /// a finding that is about them alone.
    fn in_parts(&self, wide: &Ground<'_>, changes: &[Change], after: &After) -> Result<Burden, Refusal> {
        let (whole, Questions { near, far, .. }) = (&self.search.whole, self.questions);
        let is_own = |asked: &[Asked]| whole.own(asked, self.aim.mark).is_some();
        let near_by = || wide.burden(changes, near, self.aim);
        let all_over = || whole.burden_after((&after.score, after.outline.as_ref()), far, self.aim);
        match (is_own(near), is_own(far)) {
            (true, _) => Ok(near_by()?.plus(all_over()?)),
            (false, true) => Ok(all_over()?.plus(near_by()?)),
            (false, false) => Err(Refusal::Uncleared),
        }
    }
}

#[cfg(test)]
mod proofs {
    use super::*;
    use crate::compose::{DraftOptions, draft};
    use crate::ensemble::Ensemble;
    use crate::remedy::candidate::{Candidate, singles, subjects};
    use crate::remedy::ledger::{Ledger, Mark};
    use crate::remedy::scope::Scope;
    use crate::rules::RuleBook;
    use crate::subject::Subject as Theme;
    use crate::time::Time;

    /// Every change that is tried for any finding, proven in parts and by a review of the whole piece.
    fn proofs_agree(book: &RuleBook) -> usize {
        let theme = "G4:1/4 D5 E5:1/8 D5 C5 B4 | C5:1/4 A4:1/8 F#4 G4:1/4 R:1/4";
        let theme = Theme::from_text("G major", "4/4", "0", theme).unwrap();
        let exposition = draft(&theme, &DraftOptions::new(Ensemble::named("choir").unwrap())).unwrap();
        let (score, outline) = (exposition.score(), exposition.outline());
        let texture = Texture::of(score).with_outline(&outline);
        let scope = Scope::of(&texture, book);
        let findings = book.review(&texture);
        let marks = Ledger::of(&findings, Time::ZERO);
        let (search, mut compared) = (Search::of(&texture, &scope, &marks), 0);
        for finding in &findings {
            let subjects = subjects(&texture, finding, &search.licences);
            let singles = singles(&texture, finding.place.onset, &subjects);
            let mark = Mark::of(finding, Time::ZERO);
            let aim = Aim { mark: &mark, weight: finding.severity };
            let Some(questions) = search.questions(finding, &singles) else { continue };
            let Some(wide) = search.wide(questions.bars.clone()) else { continue };
            let trial =
                Trial { search: &search, near: None, questions: &questions, wide: OnceCell::new(), aim };
            for Candidate { changes, .. } in &singles {
                let Some(after) = search.after(changes).filter(|after| !after.is_heard_far) else { continue };
                let all = (&after.score, after.outline.as_ref());
                let whole = search.whole.burden_after(all, &search.everything, aim);
                assert_eq!(trial.in_parts(&wide, changes, &after).ok(), whole.ok(), "{finding}\n{changes:?}");
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
