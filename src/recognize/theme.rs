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
    /// What the interval tells by which it follows the note before, in parts of a bit.
    pub(super) interval: u32,
    /// What it tells that it follows so long after that.
    pub(super) rhythm: u32,
}

impl Point {
    const fn new(at: i64, step: i32) -> Self {
        Self { at, step, interval: 0, rhythm: 0 }
    }

    /// What it tells in all.
    pub(super) const fn bits(&self) -> u32 {
        self.interval + self.rhythm
    }
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
        let point = |tone: &Tone| Point::new(tone.on - first.on, tone.step);
        Some(Self { points: tones.iter().map(point).collect(), span: last.off - first.on }.weighed(habits))
    }

    /// Whether it has the notes of another, whatever they tell.
    pub(super) fn has_notes_of(&self, other: &Self) -> bool {
        let notes =
            |theme: &Self| theme.points.iter().map(|point| (point.at, point.step)).collect::<Vec<_>>();
        notes(self) == notes(other)
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
        let point = |point: &Point| Some(Point::new(scaled(point.at)?, turned(point.step)));
        let span = self.span.saturating_mul(times) / per;
        Self { points: self.points.iter().map_while(point).collect(), span }.weighed(habits)
    }

    fn weighed(mut self, habits: &Habits) -> Self {
        let mut before = None;
        for index in 1..self.points.len() {
            let (from, to) = (self.points[index - 1], self.points[index]);
            let length = to.at - from.at;
            self.points[index].interval = habits.step(to.step - from.step);
            self.points[index].rhythm = habits.length(length, before);
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
