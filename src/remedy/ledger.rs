//! What a review marks, so that two reviews can be held against each other.

use crate::rules::{Finding, RuleId, Severity};
use crate::time::Time;
use std::collections::BTreeMap;

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
}

impl Mark {
    /// The rule that marks.
    pub(super) const fn rule(&self) -> RuleId {
        self.rule
    }
}

/// The marks of a review, with how many of each weight there are.
#[derive(Clone, Debug, Default)]
pub(super) struct Ledger {
    marks: BTreeMap<(Mark, Severity), usize>,
}

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
    pub(super) fn of(findings: &[Finding], start: Time) -> Self {
        let mut marks = BTreeMap::new();
        for finding in findings {
            *marks.entry((Mark::of(finding, start), finding.severity)).or_insert(0) += 1;
        }
        Self { marks }
    }

    /// Whether a mark is there, whatever its weight.
    pub(super) fn holds(&self, mark: &Mark) -> bool {
        Severity::ALL.iter().any(|&severity| self.marks.contains_key(&(mark.clone(), severity)))
    }

    /// What is here beyond what was there before; `None` if the mark is still here, or anything as
    /// grave as it was is added.
    pub(super) fn burden(&self, before: &Self, mark: &Mark, weight: Severity) -> Option<Burden> {
        if self.holds(mark) {
            return None;
        }
        let mut burden = Burden::NONE;
        for (key, &count) in &self.marks {
            let known = before.marks.get(key).copied().unwrap_or(0);
            if count > known {
                if key.1 >= weight {
                    return None;
                }
                burden.add(key.1, count - known);
            }
        }
        Some(burden)
    }
}
