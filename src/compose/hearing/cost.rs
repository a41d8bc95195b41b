//! The costs of sounding together, in a table.
//!
//! Integers without unit, on the scale of [`taste`](crate::compose::taste): a step costs nothing, a
//! fifth about 30, what is nearly always wrong 1,000 or more.

use crate::compose::taste::FORBIDDEN;

/// A perfect consonance, for the length of a pulse.
pub(super) const PERFECT: i64 = 70;
/// A fifth that will turn into a fourth, off the beat; on the beat.
pub(super) const BARE_FIFTH: (i32, i32) = (60, 4_000);
/// Any dissonance, for the length of a pulse.
pub(super) const DISSONANT: i64 = 70;
/// A passing or neighbour note off the beat; on the beat.
pub(super) const ORNAMENT: (i32, i32) = (10, 420);
/// A prepared suspension that resolves to an imperfect consonance is welcome; to a perfect one.
pub(super) const SUSPENSION: (i32, i32) = (-60, 150);
/// A seventh or tritone of the chord, led on rightly, off the beat; on the beat.
pub(super) const CHORD_SEVENTH: (i32, i32) = (24, 160);
/// A dissonance that nothing explains, off the beat; on the beat.
pub(super) const UNEXPLAINED: (i32, i32) = (6_000, 12_000);
/// Consecutive fifths, octaves or unisons.
pub(super) const CONSECUTIVE: i32 = 50_000;
/// One perfect consonance after another of another kind.
pub(super) const PERFECT_CHAIN: i32 = 4_000;
/// A perfect consonance that moves to a dissonance.
pub(super) const PERFECT_TO_DISSONANCE: i32 = 900;
/// A perfect consonance reached in similar motion; by step in the upper voice.
pub(super) const DIRECT: (i32, i32) = (700, 260);
/// A voice crossed, a note.
pub(super) const CROSSING: i32 = 900;
/// The same pitch as a neighbour.
pub(super) const UNISON: i32 = 160;
/// A neighbour too far away, for the length of a pulse.
pub(super) const DISTANCE: i64 = 40;
/// A note that is not of the chord, off the beat; on the beat. It weighs less than a bare sound: the
/// plan is one way to hear the subject, and thirds and sixths carry a harmony of their own.
pub(super) const FOREIGN: (i32, i32) = (6, 30);
/// A leading note doubled: that of the moment, that of the home key.
pub(super) const DOUBLED_LEADING_NOTE: (i32, i32) = (3_000, 400);
/// A note near the end of the range.
pub(super) const EDGE: i32 = 12;
/// One kind of perfect consonance struck on two accents in a row, with notes between.
pub(super) const ON_ACCENTS: i32 = 1_600;

/// One of two costs: off the beat, or on it.
pub(super) const fn pick(costs: (i32, i32), accented: bool) -> i32 {
    if accented { costs.1 } else { costs.0 }
}

/// A cost as the searches add it up.
pub(super) fn clamp(cost: i64) -> i32 {
    i32::try_from(cost).unwrap_or(FORBIDDEN)
}
