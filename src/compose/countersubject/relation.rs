//! How a countersubject follows from the answer to the subject.
//!
//! Source: adaptation to a subject that modulates, Prout, *Fugue*, §170; Cherubini, *Treatise*, "On
//! counter-subject".

use crate::answer::{Answer, Reading};
use crate::compose::plan::{Plan, Planned};
use crate::interval::Interval;

/// At which interval the countersubject follows from answer to subject: one for all of it, or
/// the answer's own note by note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Relation {
    /// From which moment (ticks after the entry) which interval holds.
    pub(super) changes: Vec<(i64, Interval)>,
}

impl Relation {
    /// The interval that holds so many ticks after the entry.
    pub(super) fn at(&self, after_onset: i64) -> Interval {
        let change = self.changes.iter().rev().find(|(from, _)| *from <= after_onset);
        change.or(self.changes.first()).map_or(Interval::PERFECT_FIFTH, |(_, interval)| *interval)
    }
}

const fn interval_of(reading: Reading) -> Interval {
    match reading {
        Reading::Tonic => Interval::PERFECT_FIFTH,
        Reading::Dominant => Interval::PERFECT_FOURTH,
    }
}

/// The relations worth trying: the one that prevails, kept throughout, and the answer's own.
pub(super) fn relations(plan: &Plan, subject: &Planned, answer: &Answer) -> Vec<Relation> {
    let mut own: Vec<(i64, Interval)> = Vec::new();
    let mut weights = [(Interval::PERFECT_FIFTH, 0), (Interval::PERFECT_FOURTH, 0)];
    for (note, &reading) in subject.line.notes().iter().zip(answer.readings()) {
        let interval = interval_of(reading);
        if own.last().is_none_or(|(_, known)| *known != interval) {
            own.push((plan.frame.ticks(note.onset()), interval));
        }
        for (known, weight) in &mut weights {
            if *known == interval {
                *weight += plan.frame.ticks(note.duration());
            }
        }
    }
    let prevailing = if weights[1].1 > weights[0].1 { weights[1].0 } else { weights[0].0 };
    let mut relations = vec![Relation { changes: vec![(0, prevailing)] }];
    if own.len() > 1 {
        relations.push(Relation { changes: own });
    }
    relations
}
