//! Findings: what a rule marks, and where.

use super::{Evidence, RuleId, Severity};
use crate::line::Line;
use crate::score::Place;
use crate::source::Source;
use std::fmt;

/// A mark in the margin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Which rule found it.
    pub rule: RuleId,
    /// Its weight.
    pub severity: Severity,
    /// Where it is.
    pub place: Place,
    /// The voices concerned, 0 being the top part.
    pub voices: Vec<usize>,
    /// The notes concerned: voice and index of the note in its line, from 0.
    pub notes: Vec<(usize, usize)>,
    /// One clause, as a teacher would write it.
    pub message: String,
    /// What was seen.
    pub evidence: Evidence,
    /// Where the rule comes from.
    pub source: Source,
    /// A proven repair, if one was sought and found.
    pub remedy: Option<Remedy>,
}

/// A proven repair: one voice's line with the smallest change that clears a finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remedy {
    /// The voice that changes.
    pub voice: usize,
    /// Its new line.
    pub line: Line,
    /// What changes, in one clause.
    pub message: String,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = self.place.to_string();
        writeln!(f, "{place:<16} {:<8} {}", self.severity, self.rule)?;
        writeln!(f, "    {}", self.message)?;
        writeln!(f, "    evidence: {}", self.evidence)?;
        write!(f, "    source: {}", self.source)
    }
}
