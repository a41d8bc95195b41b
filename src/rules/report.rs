//! Where rules put what they find.

use super::{Evidence, Finding, Rule, RuleInfo, Severity};
use crate::texture::{Dissonance, Moment, Step, Texture};
use std::fmt;

/// Where a finding lies: its tick and the notes concerned, each a voice and an index in its line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spot {
    onset: i64,
    notes: Vec<(usize, usize)>,
    silent: Option<usize>,
}

impl Spot {
    /// A tick and the notes concerned.
    pub fn new(onset: i64, notes: Vec<(usize, usize)>) -> Self {
        Self { onset, notes, silent: None }
    }

    /// A tick at which a voice that is concerned has no note.
    pub const fn silent(onset: i64, voice: usize) -> Self {
        Self { onset, notes: Vec::new(), silent: Some(voice) }
    }

    /// The tick.
    pub const fn onset(&self) -> i64 {
        self.onset
    }

    /// The notes.
    pub fn notes(&self) -> &[(usize, usize)] {
        &self.notes
    }

    /// The voices of the notes, each once, in the order of the notes; the silent one where there are
    /// no notes.
    pub fn voices(&self) -> Vec<usize> {
        let mut voices: Vec<usize> = self.silent.into_iter().collect();
        for &(voice, _) in &self.notes {
            if !voices.contains(&voice) {
                voices.push(voice);
            }
        }
        voices
    }
}

impl From<&Moment<'_>> for Spot {
    fn from(moment: &Moment<'_>) -> Self {
        let voices = [moment.pair().upper(), moment.pair().lower()];
        let notes = voices.into_iter().zip(moment.notes()).filter_map(|(voice, note)| Some((voice, note?)));
        Self::new(moment.onset(), notes.collect())
    }
}

impl From<&Step<'_>> for Spot {
    /// The place reached, with all four notes.
    fn from(step: &Step<'_>) -> Self {
        let (mut before, after) = (Self::from(&step.before()), Self::from(&step.after()));
        before.notes.extend(after.notes);
        Self { onset: after.onset, ..before }
    }
}

impl From<&Dissonance> for Spot {
    fn from(dissonance: &Dissonance) -> Self {
        Self::new(dissonance.onset, vec![dissonance.note, dissonance.against])
    }
}

/// Collects the findings of a rule.
#[derive(Debug)]
pub struct Report<'a> {
    texture: &'a Texture<'a>,
    info: &'a RuleInfo,
    severity: Severity,
    /// Whether messages are left out.
    is_tacit: bool,
    findings: Vec<Finding>,
}

impl<'a> Report<'a> {
    /// An empty report on a texture for a rule, whose findings shall have this weight.
    pub fn new(texture: &'a Texture<'a>, info: &'a RuleInfo, severity: Severity) -> Self {
        Self { texture, info, severity, is_tacit: false, findings: Vec::new() }
    }

    /// Adds a finding of the rule's weight: where, one clause without a full stop, what was seen.
    pub fn add(&mut self, spot: impl Into<Spot>, message: fmt::Arguments<'_>, evidence: Evidence) {
        self.push(self.severity, spot.into(), message, evidence);
    }

    /// Adds a finding one step lighter than the rule's weight: a mild case.
    pub fn add_lighter(&mut self, spot: impl Into<Spot>, message: fmt::Arguments<'_>, evidence: Evidence) {
        self.push(self.severity.lighter(), spot.into(), message, evidence);
    }

    /// Adds a finding that is only worth knowing, whatever the weight of the rule.
    pub fn add_remark(&mut self, spot: impl Into<Spot>, message: fmt::Arguments<'_>, evidence: Evidence) {
        self.push(Severity::Remark, spot.into(), message, evidence);
    }

    fn push(&mut self, severity: Severity, spot: Spot, message: fmt::Arguments<'_>, evidence: Evidence) {
        self.findings.push(Finding {
            rule: self.info.id,
            severity,
            place: self.texture.place(spot.onset),
            voices: spot.voices(),
            notes: spot.notes,
            message: if self.is_tacit { String::new() } else { message.to_string() },
            evidence,
            source: self.info.source,
            remedy: None,
        });
    }

    fn checked_by(mut self, rule: &dyn Rule) -> Vec<Finding> {
        rule.check(self.texture, &mut self);
        self.into_findings()
    }

    /// What was found, in order of onset.
    pub fn into_findings(mut self) -> Vec<Finding> {
        self.findings.sort_by_key(|finding| finding.place.onset);
        self.findings
    }
}

impl Texture<'_> {
    /// What one rule finds, with its own weight, in order of onset.
    pub fn marks(&self, rule: &dyn Rule) -> Vec<Finding> {
        self.marks_of_weight(rule, rule.info().severity)
    }

    /// What one rule finds, with a weight, in order of onset.
    pub(crate) fn marks_of_weight(&self, rule: &dyn Rule, severity: Severity) -> Vec<Finding> {
        Report::new(self, rule.info(), severity).checked_by(rule)
    }

    /// The same without messages: who only asks what is there need not be told in words.
    pub(crate) fn tacit_marks(&self, rule: &dyn Rule, severity: Severity) -> Vec<Finding> {
        Report { is_tacit: true, ..Report::new(self, rule.info(), severity) }.checked_by(rule)
    }
}
