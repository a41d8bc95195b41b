//! What a review marks, so that two reviews can be held against each other.

use crate::rules::{Finding, RuleId, Severity};
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

    /// Whether it lies in a stretch of time of the whole piece.
    pub(super) fn is_within(&self, within: &Range<Time>) -> bool {
        within.contains(&self.onset)
    }

    /// The rule that marks.
    pub(super) const fn rule(&self) -> RuleId {
        self.rule
    }
}

/// The marks of a review: how many there are of each weight.
#[derive(Clone, Debug, Default)]
pub(super) struct Ledger(BTreeMap<(Mark, Severity), usize>);

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
        let mut marks = BTreeMap::new();
        for finding in findings {
            *marks.entry((Mark::of(finding, start), finding.severity)).or_insert(0) += 1;
        }
        Self(marks)
    }

    /// Whether a mark is there, whatever its weight.
    pub(super) fn holds(&self, mark: &Mark) -> bool {
        Severity::ALL.iter().any(|&severity| self.0.contains_key(&(mark.clone(), severity)))
    }

    /// Whether all marks of another are there.
    pub(super) fn includes(&self, other: &Self) -> bool {
        other.0.iter().all(|(key, count)| self.0.get(key).is_some_and(|known| known >= count))
    }

    /// What marks are new that the same music has after a change; as an error the first that is of the weight or a
    /// greater one.
    pub(super) fn added<'m>(&self, after: &'m Self, weight: Severity) -> Result<Burden, &'m Mark> {
        let mut burden = Burden::NONE;
        for (key, count) in &after.0 {
            let known = self.0.get(key).copied().unwrap_or(0);
            if *count > known {
                if key.1 >= weight {
                    return Err(&key.0);
                }
                burden.add(key.1, count - known);
            }
        }
        Ok(burden)
    }
}
