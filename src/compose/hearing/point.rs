//! Pitches as small whole numbers, and how two of them sound together.

use crate::interval::Consonance;
use crate::pitch::Pitch;

/// A pitch as two whole numbers: staff steps and sounding height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Point {
    pub(super) step: i32,
    pub(super) height: i32,
}

impl Point {
    /// The point of a pitch.
    pub(super) fn of(pitch: Pitch) -> Self {
        Self { step: pitch.staff_step(), height: pitch.height() }
    }

    /// Whether two are of the same name, octaves apart or none.
    pub(super) const fn same_class(self, other: Self) -> bool {
        (self.step - other.step) % 7 == 0 && (self.height - other.height) % 12 == 0
    }
}

/// The consonance class of two points, octaves apart being the same, whichever is the higher.
pub(super) fn class(one: Point, other: Point) -> Consonance {
    let up = one.height >= other.height;
    let (low, high) = if up { (other, one) } else { (one, other) };
    match ((high.step - low.step).rem_euclid(7), (high.height - low.height).rem_euclid(12)) {
        (0, 0) | (4, 7) => Consonance::Perfect,
        (2, 3 | 4) | (5, 8 | 9) => Consonance::Imperfect,
        (3, 5) => Consonance::Fourth,
        _ => Consonance::Dissonant,
    }
}

/// Whether a class is consonant in two parts.
pub(super) const fn is_consonant(class: Consonance) -> bool {
    matches!(class, Consonance::Perfect | Consonance::Imperfect)
}

/// Whether a perfect consonance is a fifth.
pub(super) fn is_fifth(one: Point, other: Point) -> bool {
    (one.height - other.height).rem_euclid(12) != 0
}

/// Whether two sound a fifth or a fourth apart, octaves not counted.
pub(super) fn is_fifth_or_fourth(one: Point, other: Point) -> bool {
    matches!((one.height - other.height).rem_euclid(12), 5 | 7)
}

/// Whether two perfect consonances are of one kind: both fifths (or fourths), or both octaves.
pub(super) fn same_kind(left: Point, before: Point, reached: Point, now: Point) -> bool {
    is_fifth_or_fourth(left, before) == is_fifth_or_fourth(reached, now)
}
