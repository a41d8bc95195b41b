//! Findings: what a rule marks, and where.

use super::{Evidence, Remedy, RuleId, Severity};
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

impl fmt::Display for Finding {
    /// A note in the margin: place, weight and rule; then, indented, what is wrong, what was seen,
    /// and where the rule comes from.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}   {}   {}", self.place, self.severity, self.rule)?;
        writeln!(f, "    {}", self.message)?;
        writeln!(f, "    evidence: {}", self.evidence)?;
        write!(f, "    source: {}", self.source)?;
        match &self.remedy {
            Some(remedy) => write!(f, "\n    remedy: {remedy}"),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Note;
    use crate::rules::{Change, ParallelPerfects};
    use crate::score::Score;
    use crate::texture::Texture;

    #[test]
    fn finding_reads_as_a_note_in_the_margin() {
        let lines = ["R:4/4", "R:1/4 E4 D4 R", "R:1/4 A3 G3 R"];
        let score = Score::excerpt("C major", "4/4", &lines).unwrap();
        let mut finding = Texture::of(&score).marks(&ParallelPerfects::default()).remove(0);
        let text = "bar 1, beat 3   Fault   parallel-perfects
    alto and tenor move in parallel fifths
    evidence: E4 over A3, then D4 over G3; both fall a major second
    source: Grove 3, \"Strict Counterpoint\", First Order";
        assert_eq!(finding.to_string(), text);
        let from = score.parts()[1].line.notes()[1];
        let to = vec![Note::new("E4".parse().unwrap(), from.onset(), from.duration())];
        finding.remedy = Some(Remedy::new(&score, vec![Change { voice: 1, note: 1, from, to }]));
        assert_eq!(finding.to_string(), format!("{text}\n    remedy: alto: E4 for D4 at bar 1, beat 3"));
    }
}
