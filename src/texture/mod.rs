//! Texture: facts of what sounds together, each found once.

use crate::score::Score;

/// The facts of a score.
#[derive(Debug)]
pub struct Texture<'a> {
    score: &'a Score,
}

impl<'a> Texture<'a> {
    /// The score.
    pub const fn score(&self) -> &'a Score {
        self.score
    }
}
