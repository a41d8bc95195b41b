//! How two voices move: perfect consonances and how they are reached.

mod contrary_perfects;
mod direct_perfects;
mod others;
mod parallel_perfects;
mod perfects_across_rest;
mod perfects_in_succession;
mod perfects_on_accents;
mod unequal_fifths;

pub use contrary_perfects::ContraryPerfects;
pub use direct_perfects::{Alone, Between, DirectPerfects};
pub use parallel_perfects::{ParallelPerfects, Veiled};
pub use perfects_across_rest::PerfectsAcrossRest;
pub use perfects_in_succession::{Bareness, PerfectsInSuccession};
pub use perfects_on_accents::PerfectsOnAccents;
pub use unequal_fifths::UnequalFifths;
