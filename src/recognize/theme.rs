//! A theme as a pattern to look for: onsets counted from its first note, and steps of the staff.

use super::habits::Habits;
use super::strand::Tone;
use crate::exposition::Form;

/// A note of a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Point {
    /// Ticks from the first note.
    pub(super) at: i64,
    /// Its step on the staff; in an inverted theme mirrored about the first.
    pub(super) step: i32,
    /// What it tells that it follows the note before it as it does, in parts of a bit.
    pub(super) bits: u32,
}

/// The notes of a theme.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Theme {
    points: Vec<Point>,
    /// Ticks from the first onset to the end of the last note.
    span: i64,
}

impl Theme {
    /// The pattern of some notes; `None` without notes.
    pub(super) fn of(tones: &[Tone], habits: &Habits) -> Option<Self> {
        let (first, last) = (tones.first()?, tones.last()?);
        let point = |tone: &Tone| Point { at: tone.on - first.on, step: tone.step, bits: 0 };
        Some(Self { points: tones.iter().map(point).collect(), span: last.off - first.on }.weighed(habits))
    }

    /// The pattern in another form, as far as it falls on the grid.
    pub(super) fn in_form(&self, form: Form, habits: &Habits) -> Self {
        let (times, per) = form.scale();
        let scaled = |ticks: i64| {
            let product = ticks.checked_mul(times)?;
            (product % per == 0).then_some(product / per)
        };
        let axis = self.points.first().map_or(0, |first| first.step);
        let turned = |step: i32| if form.is_inverted() { 2 * axis - step } else { step };
        let point = |point: &Point| Some(Point { at: scaled(point.at)?, step: turned(point.step), bits: 0 });
        let span = self.span.saturating_mul(times) / per;
        Self { points: self.points.iter().map_while(point).collect(), span }.weighed(habits)
    }

    fn weighed(mut self, habits: &Habits) -> Self {
        let mut before = None;
        for index in 1..self.points.len() {
            let (from, to) = (self.points[index - 1], self.points[index]);
            let length = to.at - from.at;
            self.points[index].bits = habits.step(to.step - from.step) + habits.length(length, before);
            before = Some(length);
        }
        self
    }

    /// The notes.
    pub(super) fn points(&self) -> &[Point] {
        &self.points
    }

    /// How many notes it has.
    pub(super) fn count(&self) -> u32 {
        u32::try_from(self.points.len()).unwrap_or(u32::MAX)
    }

    /// Ticks from the first onset to the end of the last note.
    pub(super) const fn span(&self) -> i64 {
        self.span
    }
}
