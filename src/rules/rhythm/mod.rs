//! How the rhythms of the voices go together.

mod crowded_motion;
mod empty_beat;
mod rhythmic_unison;
mod stalled_motion;
mod together;

pub use crowded_motion::CrowdedMotion;
pub use empty_beat::{EmptyBeat, Music, Opening};
pub use rhythmic_unison::{Outside, RhythmicUnison};
pub use stalled_motion::StalledMotion;

use crate::texture::{Pair, Stretch};

/// Whether two voices double each other on a tick.
fn is_doubling(pair: Pair<'_>, onset: i64) -> bool {
    Stretch::holding(pair.doublings(), onset).is_some()
}
