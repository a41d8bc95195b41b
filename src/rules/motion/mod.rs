//! How two voices move: perfect consonances and how they are reached.

mod contrary_perfects;
mod direct_perfects;
mod parallel_perfects;
mod perfects_across_rest;
mod perfects_on_accents;
mod unequal_fifths;

pub use contrary_perfects::ContraryPerfects;
pub use direct_perfects::{Between, DirectPerfects};
pub use parallel_perfects::ParallelPerfects;
pub use perfects_across_rest::PerfectsAcrossRest;
pub use perfects_on_accents::PerfectsOnAccents;
pub use unequal_fifths::UnequalFifths;

use crate::interval::{Consonance, Interval};
use crate::texture::{Motion, Step};

/// A perfect consonance in the plural.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Perfect {
    Fifths,
    Octaves,
}

impl Perfect {
    fn of(interval: Interval) -> Option<Self> {
        match (interval.consonance(), interval.steps().rem_euclid(7)) {
            (Consonance::Perfect, 0) => Some(Self::Octaves),
            (Consonance::Perfect, _) => Some(Self::Fifths),
            _ => None,
        }
    }

    /// The perfect consonance that both intervals of a step are.
    fn of_both(step: &Step<'_>) -> Option<Self> {
        let [before, after] = step.intervals();
        Self::of(before).filter(|&perfect| Self::of(after) == Some(perfect))
    }

    /// The name: octaves without any width are unisons.
    const fn plural(self, interval: Interval) -> &'static str {
        match (self, interval.steps()) {
            (Self::Fifths, _) => "fifths",
            (Self::Octaves, 0) => "unisons",
            (Self::Octaves, _) => "octaves",
        }
    }

    /// The name of one of them.
    const fn singular(self, interval: Interval) -> &'static str {
        match (self, interval.steps()) {
            (Self::Fifths, _) => "fifth",
            (Self::Octaves, 0) => "unison",
            (Self::Octaves, _) => "octave",
        }
    }
}

/// Whether both voices go the same way.
fn goes_together(step: &Step<'_>) -> bool {
    matches!(step.motion(), Some(Motion::Parallel | Motion::Similar))
}
