//! A draft under review: its voices, and what each stretch of them is.

use super::countersubject::Countersubject;
use super::plan::Plan;
use super::rhythm::Activity;
use super::strand::{Strand, Tone};

/// A draft under review: the voices, and where the countersubject stands.
#[derive(Debug)]
pub(super) struct Attempt {
    pub(super) strands: Vec<Strand>,
    pub(super) countersubject: Option<Countersubject>,
    /// Where the countersubject appears.
    pub(super) appearances: Vec<Appearance>,
    /// Where voices go on freely.
    pub(super) fillings: Vec<Stretch>,
}

impl Attempt {
    /// Whether a tone of a voice is of its own, neither theme nor countersubject.
    pub(super) fn is_filling(&self, voice: usize, tone: Tone) -> bool {
        self.fillings.iter().any(|at| at.voice == voice && (at.from..at.to).contains(&tone.on))
    }

    /// For a tone of the countersubject, the tone it comes from where it is first heard.
    pub(super) fn origin(&self, plan: &Plan, voice: usize, tone: Tone) -> Option<Tone> {
        let mut appearances = self.appearances.iter();
        let appearance = appearances.find(|at| at.voice == voice && (at.from..at.to).contains(&tone.on))?;
        self.countersubject.as_ref()?.origin(plan, appearance.entry, tone.on)
    }

    /// What the draft weighs beside its findings: a countersubject that falls short, or none.
    pub(super) fn weight(&self) -> usize {
        match &self.countersubject {
            Some(countersubject) if countersubject.is_met() => 0,
            Some(_) => 600,
            None => 1_200,
        }
    }
}

/// The countersubject with an entry, in ticks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Appearance {
    pub(super) entry: usize,
    pub(super) voice: usize,
    pub(super) from: i64,
    pub(super) to: i64,
}

/// A stretch of a voice to be filled.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    pub(super) voice: usize,
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) activity: Activity,
}
