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

use crate::texture::{Pair, Stretch, Texture};
use std::ops::Range;

/// From which tick up to which the exposition of a fugue lasts: from its first entry to its end.
fn exposition(texture: &Texture<'_>) -> Option<Range<i64>> {
    let outline = texture.outline()?;
    let first = outline.themes().next()?.onset;
    Some(texture.grid().ticks(first)..texture.grid().ticks(outline.end))
}

/// Whether two voices double each other on a tick.
fn is_doubling(pair: Pair<'_>, onset: i64) -> bool {
    Stretch::holding(pair.doublings(), onset).is_some()
}
