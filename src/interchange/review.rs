//! A review as it is written: by [`super::json`], [`super::summary`] and [`super::markdown`].

use super::ReadRemark;
use crate::exposition::{Entry, Outline, Role};
use crate::rules::{Finding, RuleId, Severity};
use crate::score::Score;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// A score, what was recognized in it, and what a review found.
#[derive(Clone, Copy, Debug)]
pub struct Review<'a> {
    /// What it is called; the file's name, say.
    pub title: &'a str,
    /// The score.
    pub score: &'a Score,
    /// The subject and the entries; `None` if it is no fugue.
    pub outline: Option<&'a Outline>,
    /// What reading the file left out or changed.
    pub remarks: &'a [ReadRemark],
    /// The findings, in order of onset.
    pub findings: &'a [Finding],
}

impl<'a> Review<'a> {
    /// The review of a score that is no fugue, without a title.
    pub const fn of(score: &'a Score, findings: &'a [Finding]) -> Self {
        Self { title: "", score, outline: None, remarks: &[], findings }
    }

    /// The entries in order of onset; none if it is no fugue.
    pub fn entries(&self) -> &'a [Entry] {
        self.outline.map_or(&[], |outline| outline.entries.as_slice())
    }

    /// The first entry of the subject.
    pub fn first_entry(&self) -> Option<&'a Entry> {
        self.entries().iter().find(|entry| entry.role == Role::Subject)
    }

    /// The rules that found something, each with the number of its Faults, Cautions and Remarks; the
    /// gravest first, then the most frequent.
    pub fn by_rule(&self) -> Vec<(RuleId, [usize; 3])> {
        let mut counts: BTreeMap<RuleId, [usize; 3]> = BTreeMap::new();
        for finding in self.findings {
            let column = match finding.severity {
                Severity::Fault => 0,
                Severity::Caution => 1,
                Severity::Remark => 2,
            };
            counts.entry(finding.rule).or_default()[column] += 1;
        }
        let mut counts: Vec<(RuleId, [usize; 3])> = counts.into_iter().collect();
        counts.sort_by_key(|(_, counts)| Reverse(*counts));
        counts
    }

    /// How many findings have a weight.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|finding| finding.severity == severity).count()
    }
}

/// So many findings are too many to see at a glance which rules they belong to.
pub(super) const MANY: usize = 12;

/// `1 Fault, 2 Cautions, no Remark`.
pub(super) fn counts(findings: &[Finding]) -> String {
    let counted = Severity::ALL.iter().rev().map(|&severity| {
        match findings.iter().filter(|finding| finding.severity == severity).count() {
            0 => format!("no {severity}"),
            1 => format!("1 {severity}"),
            many => format!("{many} {severity}s"),
        }
    });
    counted.collect::<Vec<_>>().join(", ")
}
