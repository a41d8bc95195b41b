//! What a review marks, so that two reviews can be held against each other.

use super::scope::Weighed;
use crate::rules::{Finding, RuleId, Severity};
use crate::texture::Texture;
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

    /// Whether it is about the same voices as another.
    pub(super) fn has_voices_of(&self, other: &Self) -> bool {
        self.voices == other.voices
    }

    /// The rule that marks.
    pub(super) const fn rule(&self) -> RuleId {
        self.rule
    }
}

/// How many marks of each weight there are.
type Tally = BTreeMap<(Mark, Severity), usize>;

fn tally(findings: &[Finding], start: Time) -> Tally {
    let mut marks = Tally::new();
    for finding in findings {
        *marks.entry((Mark::of(finding, start), finding.severity)).or_insert(0) += 1;
    }
    marks
}

/// The marks of a review in music that begins at a time of the whole piece.
#[derive(Clone, Debug)]
pub(super) struct Ledger {
    start: Time,
    marks: Tally,
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
    /// The marks of some rules on a texture that begins at a time of the whole piece.
    pub(super) fn of(texture: &Texture<'_>, rules: &[Weighed<'_>], start: Time) -> Self {
        let mut marks = Tally::new();
        for (rule, severity) in rules {
            marks.extend(tally(&texture.marks_of_weight(*rule, *severity), start));
        }
        Self { start, marks }
    }

    /// Whether a mark is there, whatever its weight.
    pub(super) fn holds(&self, mark: &Mark) -> bool {
        Severity::ALL.iter().any(|&severity| self.marks.contains_key(&(mark.clone(), severity)))
    }

    /// What findings of a rule in the same music after a change are new; `None` if one is of the weight or a
    /// greater one.
    pub(super) fn added(&self, findings: &[Finding], weight: Severity) -> Option<Burden> {
        let mut burden = Burden::NONE;
        for (key, count) in tally(findings, self.start) {
            let known = self.marks.get(&key).copied().unwrap_or(0);
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
