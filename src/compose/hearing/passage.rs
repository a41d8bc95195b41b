//! The figures that explain a dissonance: passing note, neighbour note, suspension.

use super::encounter::Encounter;
use super::point::{Point, class, is_consonant};
use crate::interval::Consonance;

/// A note of the line between its neighbours.
pub(super) struct Passage {
    pub(super) before: Option<Point>,
    pub(super) note: Point,
    pub(super) after: Option<Point>,
}

impl Passage {
    /// Staff steps by which the note is reached.
    fn into(&self) -> Option<i32> {
        self.before.map(|before| self.note.step - before.step)
    }

    /// Staff steps by which it is left.
    pub(super) fn out(&self) -> Option<i32> {
        self.after.map(|after| after.step - self.note.step)
    }

    /// What the two sound when the first of them moves on.
    pub(super) fn resolution(&self, encounter: &Encounter) -> Option<Consonance> {
        let line = if encounter.left.is_le() { self.after? } else { self.note };
        let other = if encounter.left.is_ge() { encounter.other_after? } else { encounter.other };
        Some(class(line, other))
    }

    /// Struck not before the companion, reached and left by step: passing or neighbour note.
    pub(super) fn is_ornament(&self, encounter: &Encounter) -> bool {
        encounter.struck.is_le() && is_step(self.into()) && is_step(self.out())
    }

    /// Held (or struck again) from a consonance into a dissonance on the beat, and falling by step.
    pub(super) fn is_suspended(&self, encounter: &Encounter) -> bool {
        let held = encounter.struck.is_gt() || (encounter.struck.is_eq() && self.before == Some(self.note));
        let prepared = encounter.other_before.is_none_or(|before| is_consonant(class(self.note, before)));
        held && encounter.left.is_le() && encounter.accented && prepared && self.out() == Some(-1)
    }
}

impl Encounter {
    /// The companion's tone is a passing or neighbour note, struck not before the line's.
    pub(super) fn is_ornament(&self) -> bool {
        self.struck.is_ge() && is_step(self.other_in) && is_step(self.other_out)
    }

    /// The companion's tone is suspended over the line's new note and falls by step.
    pub(super) fn is_suspended(&self, line: &Passage) -> bool {
        let prepared = line.before.is_none_or(|before| is_consonant(class(before, self.other)));
        self.struck.is_lt() && self.left.is_ge() && self.accented && prepared && self.other_out == Some(-1)
    }
}

const fn is_step(steps: Option<i32>) -> bool {
    matches!(steps, Some(1 | -1))
}
