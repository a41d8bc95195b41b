//! A countersubject, and how it goes with each entry.

use super::relation::Relation;
use super::uses::Use;
use crate::compose::plan::{Plan, octave_interval};
use crate::compose::strand::{Strand, Tone};
use crate::exposition::Role;

/// A countersubject, where it is first heard, and how it is moved to where it is heard again.
#[derive(Clone, Debug)]
pub(in crate::compose) struct Countersubject {
    /// Its tones in the place where it is first heard.
    pub(in crate::compose) strand: Strand,
    /// Its cost, what it falls short of included.
    pub(super) cost: i32,
    /// Whether it reaches the merits asked of every countersubject.
    pub(super) is_met: bool,
    pub(super) uses: Vec<Use>,
    pub(super) relation: Relation,
}

impl Countersubject {
    /// Whether it reaches the merits asked of every countersubject.
    pub(in crate::compose) const fn is_met(&self) -> bool {
        self.is_met
    }

    /// The tones with an entry: the voice that has them is the one that entered just before.
    /// `None` if the countersubject does not go with that entry.
    pub(in crate::compose) fn with_entry(&self, plan: &Plan, entry: usize) -> Option<Strand> {
        let used = self.uses.iter().find(|used| used.entry == entry)?;
        let planned = &plan.entries[entry];
        let home = plan.entries[1].onset;
        let octaves = octave_interval(used.octaves)?;
        let tones: Option<Vec<Tone>> = self
            .strand
            .tones()
            .iter()
            .map(|tone| {
                let mut pitch = tone.pitch.moved(octaves).ok()?;
                if planned.role == Role::Subject {
                    pitch = pitch.moved(-self.relation.at(tone.on - home)).ok()?;
                }
                let delay = planned.onset - home;
                Some(Tone { pitch, on: tone.on + delay, off: tone.off + delay })
            })
            .collect();
        tones.map(Strand::of_tones)
    }

    /// The tone of the first place that a tone with an entry comes from.
    pub(in crate::compose) fn origin(&self, plan: &Plan, entry: usize, on: i64) -> Option<Tone> {
        let delay = plan.entries[entry].onset - plan.entries[1].onset;
        self.strand.tones().iter().find(|tone| tone.on + delay == on).copied()
    }
}
