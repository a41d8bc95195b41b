//! A walk through the voices as time goes on.

use super::{Texture, Tone};

/// A walk through the voices of a texture: it tells what each sounds on a tick, as
/// [`Texture::sounding`] does, and remembers how far it has come.
///
/// Cost: the notes between one question and the next. Whoever asks forwards in time goes through each
/// voice once; to go back is as dear as to go on.
#[derive(Clone, Debug)]
pub struct Walk<'t> {
    texture: &'t Texture<'t>,
    /// For each voice the first note that may still sound.
    next: Vec<usize>,
}

impl<'t> Walk<'t> {
    /// The note that a voice sounds on a tick, with its index in the line.
    ///
    /// ```
    /// use soggetto::{Score, texture::Texture};
    /// let score = Score::excerpt("C major", "4/4", &["C5:1/4 R D5:1/2"])?;
    /// let texture = Texture::of(&score);
    /// let mut walk = texture.walk();
    /// let indices = [0, 2, 4].map(|tick| walk.sounding(0, tick).map(|(index, _)| index));
    /// assert_eq!(indices, [Some(0), None, Some(1)]);
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    pub fn sounding(&mut self, voice: usize, tick: i64) -> Option<(usize, &'t Tone)> {
        let tones = self.texture.tones(voice);
        let next = self.next.get_mut(voice)?;
        while next.checked_sub(1).is_some_and(|before| tones[before].end > tick) {
            *next -= 1;
        }
        while tones.get(*next).is_some_and(|tone| tone.end <= tick) {
            *next += 1;
        }
        tones.get(*next).filter(|tone| tone.onset <= tick).map(|tone| (*next, tone))
    }
}

impl Texture<'_> {
    /// A walk from the beginning.
    pub fn walk(&self) -> Walk<'_> {
        Walk { texture: self, next: vec![0; self.voices()] }
    }
}

#[cfg(test)]
mod tests {
    use crate::score::strategy::any_score;
    use crate::texture::Texture;
    use proptest::prelude::*;

    proptest! {
        /// Forwards and backwards: the walk against asking for each tick anew.
        #[test]
        fn prop_walk_agrees_with_asking_anew(score in any_score(), ticks in prop::collection::vec(0..64_i64, 1..40)) {
            let texture = Texture::of(&score);
            let mut walk = texture.walk();
            for tick in (0..32).chain(ticks) {
                for voice in 0..=texture.voices() {
                    let found = walk.sounding(voice, tick);
                    prop_assert_eq!(found.map(|(_, tone)| tone), texture.sounding(voice, tick));
                    prop_assert_eq!(found.and_then(|(index, _)| texture.tones(voice).get(index)), found.map(|it| it.1));
                }
            }
        }
    }
}
