//! How far rules look.

use crate::texture::{Pair, Stretch, Texture};
use std::ops::Range;

/// How far a rule looks: what must be heard again after a change to know what the rule finds anew.
///
/// *Near by* is within a bar, and within [`NOTES`] notes of the same voice as far as rests of more than a
/// bar do not part them, with the note before and the note after those.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reach {
    /// All over the piece.
    Piece,
    /// What is found depends on the outline and the notes of its entries, and on no other note.
    Entries,
    /// What is found at a place depends on what is near by, and else on the outline and the notes of its entries
    /// alone. Of these stretches, in ticks, each is judged as one, however long it
    /// is: what is near one is judged by all of it.
    Near(Vec<Range<i64>>),
}

/// How many notes of a voice are near by, before and after: a dissonance may resolve four notes later,
/// [`crate::texture::Turn`], and from there a line goes on.
pub const NOTES: usize = 5;

impl Reach {
    /// What is near by alone.
    pub const fn near() -> Self {
        Self::Near(Vec::new())
    }

    /// What is near by, and stretches that are judged together where they overlap.
    pub(super) fn joined(stretches: impl Iterator<Item = Stretch>) -> Self {
        let mut stretches: Vec<Stretch> = stretches.collect();
        stretches.sort_by_key(|stretch| stretch.onset);
        let mut joined: Vec<Range<i64>> = Vec::new();
        for Stretch { onset, end, .. } in stretches {
            match joined.last_mut().filter(|last| onset < last.end) {
                Some(last) => last.end = last.end.max(end),
                None => joined.push(onset..end),
            }
        }
        Self::Near(joined)
    }

    /// What is near by, and for how long each two voices go in octaves: that decides whether they double
    /// each other.
    pub(super) fn along_octaves(texture: &Texture<'_>) -> Self {
        Self::Near(texture.pairs().flat_map(Pair::octave_runs).map(|run| run.onset..run.end).collect())
    }
}
