//! A review as it is written: by [`super::json`], [`super::summary`] and [`super::markdown`].

use super::ReadRemark;
use crate::exposition::{Entry, Form, Outline, Role};
use crate::key::Key;
use crate::recognize::Transformed;
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
    /// Statements of the theme upside down or in other note values, in order of onset.
    pub transformed: &'a [Transformed],
    /// What reading the file left out or changed.
    pub remarks: &'a [ReadRemark],
    /// The findings, in order of onset.
    pub findings: &'a [Finding],
}

impl<'a> Review<'a> {
    /// The review of a score that is no fugue, without a title.
    pub const fn of(score: &'a Score, findings: &'a [Finding]) -> Self {
        Self { title: "", score, outline: None, transformed: &[], remarks: &[], findings }
    }

    /// The key: that of the subject if there is one, which knows better than the signature.
    pub fn key(&self) -> Key {
        self.outline.map_or(self.score.key(), |outline| outline.subject.key())
    }

    /// The entries in order of onset, but for those in other forms; none if it is no fugue.
    pub fn entries(&self) -> &'a [Entry] {
        self.outline.map_or(&[], |outline| outline.entries.as_slice())
    }

    /// All entries in order of onset, each with its form.
    pub fn statements(&self) -> Vec<(&'a Entry, Form)> {
        let straight = self.entries().iter().map(|entry| (entry, Form::Straight));
        let others = self.transformed.iter().map(|other| (&other.entry, other.form));
        let mut statements: Vec<(&Entry, Form)> = straight.chain(others).collect();
        statements.sort_by_key(|(entry, _)| entry.onset);
        statements
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

/// `answer`, or `answer, inverted`.
pub(super) fn stated((entry, form): (&Entry, Form)) -> String {
    match form {
        Form::Straight => entry.role.name().to_owned(),
        form => format!("{}, {}", entry.role.name(), form.name()),
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
