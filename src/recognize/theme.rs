//! A theme as a pattern to look for: onsets counted from its first note, and steps of the staff.

use super::strand::Tone;
use crate::exposition::Form;

/// A note of a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Point {
    /// Ticks from the first note.
    pub(super) at: i64,
    /// Its step on the staff; in an inverted theme mirrored about the first.
    pub(super) step: i32,
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
    pub(super) fn of(tones: &[Tone]) -> Option<Self> {
        let (first, last) = (tones.first()?, tones.last()?);
        let point = |tone: &Tone| Point { at: tone.on - first.on, step: tone.step };
        Some(Self { points: tones.iter().map(point).collect(), span: last.off - first.on })
    }

    /// The pattern in another form; `None` if it would not fall on the grid.
    pub(super) fn in_form(&self, form: Form) -> Option<Self> {
        let (times, per) = form.scale();
        let scaled = |ticks: i64| {
            let product = ticks.checked_mul(times)?;
            (product % per == 0).then_some(product / per)
        };
        let axis = self.points.first().map_or(0, |first| first.step);
        let turned = |step: i32| if form.is_inverted() { 2 * axis - step } else { step };
        let point = |point: &Point| Some(Point { at: scaled(point.at)?, step: turned(point.step) });
        Some(Self { points: self.points.iter().map(point).collect::<Option<_>>()?, span: scaled(self.span)? })
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

    /// What it says in bits, roughly, that a note follows the one before it as it does: a leap and a
    /// new duration say more than a step in equal notes. The table counts how often such
    /// intervals occur in vocal and keyboard lines: half of all are steps, either way.
    pub(super) fn bits(&self, index: usize) -> u32 {
        let Some(before) = index.checked_sub(1).and_then(|before| self.points.get(before)) else { return 0 };
        let Some(point) = self.points.get(index) else { return 0 };
        let interval = match (point.step - before.step).abs() {
            0 | 1 => 2,
            2 => 3,
            _ => 4,
        };
        let earlier = index.checked_sub(2).and_then(|earlier| self.points.get(earlier));
        let new_duration = earlier.is_some_and(|earlier| before.at - earlier.at != point.at - before.at);
        interval + u32::from(new_duration)
    }
}
