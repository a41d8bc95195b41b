//! How far rules look.

use crate::texture::{Pair, Stretch, Texture};
use std::ops::Range;

/// How far a rule looks: what must be heard again after a change to know what the rule finds anew.
///
/// *Near by* is within a bar, and within [`NOTES`] notes of the same voice, as far as no rest of more than a
/// bar parts them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reach {
    /// All over the piece.
    Piece,
    /// What is found depends on the outline and the notes of its entries, and on no other note.
    Entries,
    /// What is found at a place depends on what is near by, and else on the outline and the notes of its entries,
    /// and on the lowest and the highest note of each voice, alone. Of these stretches, in ticks, each is judged as
    /// one, however long it is: what is near one is judged by all of it.
    Near(Vec<Range<i64>>),
}

/// How many notes of a voice are near by, before and after: a dissonance resolves four notes later at most
/// ([`crate::texture::Turn`]).
pub const NOTES: usize = 4;

impl Reach {
    /// What is near by alone.
    pub const fn near() -> Self {
        Self::Near(Vec::new())
    }

    /// What is near by, and stretches that are judged as one; with each go those that are judged already and
    /// overlap it, one after the other, for these are judged together.
    pub(super) fn joined(all: impl Iterator<Item = Stretch>, judged: impl Iterator<Item = Stretch>) -> Self {
        let mut judged: Vec<Stretch> = judged.collect();
        judged.sort_by_key(|stretch| stretch.onset);
        let mut groups: Vec<Range<i64>> = Vec::new();
        for Stretch { onset, end, .. } in judged {
            match groups.last_mut().filter(|last| onset < last.end) {
                Some(last) => last.end = last.end.max(end),
                None => groups.push(onset..end),
            }
        }
        let with_groups = |Stretch { onset, end, .. }: Stretch| {
            let first = groups.partition_point(|group| group.end <= onset);
            let over = groups[first..].iter().take_while(|group| group.start < end);
            over.fold(onset..end, |all, group| all.start.min(group.start)..all.end.max(group.end))
        };
        Self::Near(all.map(with_groups).collect())
    }

    /// What is near by, and for how long each two voices go in octaves: that decides whether they double
    /// each other.
    pub(super) fn along_octaves(texture: &Texture<'_>) -> Self {
        Self::Near(texture.own_pairs().flat_map(Pair::octave_runs).map(|run| run.onset..run.end).collect())
    }
}
