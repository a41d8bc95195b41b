//! What a review marks, so that two reviews can be held against each other.

use crate::rules::{Extent, Finding, RuleId, Severity};
use crate::time::Time;
use std::collections::BTreeMap;
use std::ops::Range;

/// Which rule marks which voices when.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Mark {
    onset: Time,
    rule: RuleId,
    voices: Vec<usize>,
}

impl Mark {
    /// The mark of a finding in music that begins at a time of the whole piece.
    pub(super) fn of(finding: &Finding, start: Time) -> Self {
        let onset = finding.place.onset.checked_add(start).unwrap_or(finding.place.onset);
        let mut voices = finding.voices.clone();
        voices.sort_unstable();
        Self { onset, rule: finding.rule, voices }
    }

    /// Whether it is about the same voices as another.
    pub(super) fn has_voices_of(&self, other: &Self) -> bool {
        self.voices == other.voices
    }

    /// Whether another mark is of its rule and its voices, and no farther from it than so much time.
    pub(super) fn is_beside(&self, other: &Self, within: Time) -> bool {
        let (first, last) = (self.onset.min(other.onset), self.onset.max(other.onset));
        let apart = || last.checked_sub(first).is_ok_and(|apart| apart <= within);
        self.rule == other.rule && self.voices == other.voices && apart()
    }

    /// Whether it lies in a stretch of time of the whole piece.
    pub(super) fn is_within(&self, within: &Range<Time>) -> bool {
        within.contains(&self.onset)
    }

    /// The rule that marks.
    pub(super) const fn rule(&self) -> RuleId {
        self.rule
    }
}

/// How often a mark is made, and of how much.
#[derive(Clone, Copy, Debug, Default)]
struct Tally {
    count: usize,
    extent: Extent,
}

impl Tally {
    /// How many of these marks others had not: if something is told of more than before, that one is new.
    fn beyond(self, known: Self) -> usize {
        let grown = usize::from(known.count > 0 && self.extent > known.extent);
        self.count.saturating_sub(known.count).max(grown)
    }
}

/// The marks of a review: how many there are of each weight.
#[derive(Clone, Debug, Default)]
pub(super) struct Ledger(BTreeMap<(Mark, Severity), Tally>);

/// What a change adds to a review: findings by weight, the gravest first. Less is better.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Burden {
    faults: usize,
    cautions: usize,
    remarks: usize,
}

impl Burden {
    /// Nothing is added.
    pub(super) const NONE: Self = Self { faults: 0, cautions: 0, remarks: 0 };

    /// With another burden.
    pub(super) const fn plus(self, other: Self) -> Self {
        Self {
            faults: self.faults + other.faults,
            cautions: self.cautions + other.cautions,
            remarks: self.remarks + other.remarks,
        }
    }

    fn add(&mut self, severity: Severity, count: usize) {
        match severity {
            Severity::Fault => self.faults += count,
            Severity::Caution => self.cautions += count,
            Severity::Remark => self.remarks += count,
        }
    }
}

impl Ledger {
    /// The marks of findings in music that begins at a time of the whole piece.
    pub(super) fn of<'f>(findings: impl IntoIterator<Item = &'f Finding>, start: Time) -> Self {
        let mut marks: BTreeMap<(Mark, Severity), Tally> = BTreeMap::new();
        for finding in findings {
            let tally = marks.entry((Mark::of(finding, start), finding.severity)).or_default();
            tally.count += 1;
            tally.extent = tally.extent.max(finding.evidence.extent());
        }
        Self(marks)
    }

    /// Whether a mark is there, whatever its weight.
    pub(super) fn holds(&self, mark: &Mark) -> bool {
        Severity::ALL.iter().any(|&severity| self.0.contains_key(&(mark.clone(), severity)))
    }

    /// Whether all marks of another are there.
    pub(super) fn includes(&self, other: &Self) -> bool {
        other.0.iter().all(|(key, tally)| tally.beyond(self.tally(key)) == 0)
    }

    /// The same without what they tell how much of.
    pub(super) fn of_any_extent(mut self) -> Self {
        self.0.values_mut().for_each(|tally| tally.extent = Extent::default());
        self
    }

    fn tally(&self, key: &(Mark, Severity)) -> Tally {
        self.0.get(key).copied().unwrap_or_default()
    }

    /// What marks are new that the same music has after a change; as an error the first that is of the weight or a
    /// greater one.
    pub(super) fn added<'m>(&self, after: &'m Self, weight: Severity) -> Result<Burden, &'m Mark> {
        let mut burden = Burden::NONE;
        for (key, tally) in &after.0 {
            let new = tally.beyond(self.tally(key));
            if new > 0 && key.1 >= weight {
                return Err(&key.0);
            }
            burden.add(key.1, new);
        }
        Ok(burden)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::RuleBook;
    use crate::score::Score;
    use crate::texture::Texture;

    /// What a line marks anew beside another, under an alto that stays.
    fn added(before: &str, after: &str) -> Result<usize, ()> {
        let marks = |soprano: &str| {
            let score = Score::excerpt("C major", "4/4", &[soprano, "C4:1 D4:1", "C3:1 B2:1"]).unwrap();
            let book = RuleBook::empty("spacing").with_rule(crate::rules::Spacing::default()).unwrap();
            Ledger::of(&book.review(&Texture::of(&score)), Time::ZERO)
        };
        let (known, new) = (marks(before), marks(after));
        known.added(&new, Severity::Remark).map(|burden| burden.remarks).map_err(|_| ())
    }

    /// A remedy once made the next gap wider, so that two passages became one.
    #[test]
    fn mark_that_grows_is_a_new_one() {
        assert_eq!(added("E5:1 F5:1", "E5:1 F5:1"), Ok(0));
        assert_eq!(added("E5:1 F5:1", "C5:1 F5:1"), Err(()));
        assert_eq!(added("G5:1 F5:1", "E5:1 F5:1"), Ok(0));
        assert_eq!(added("E5:1 F5:1", "G5:1 F5:1"), Err(()));
    }
}
