//! How the rhythms of the voices go together.

mod crowded_motion;
mod empty_beat;
mod rhythmic_unison;
mod stalled_motion;

pub use crowded_motion::CrowdedMotion;
pub use empty_beat::{EmptyBeat, Music, Opening};
pub use rhythmic_unison::{Outside, RhythmicUnison};
pub use stalled_motion::StalledMotion;
