//! How the rhythms of the voices go together.

mod empty_beat;
mod rhythmic_unison;

pub use empty_beat::{EmptyBeat, Opening};
pub use rhythmic_unison::RhythmicUnison;
