//! What holds in the key of the moment: in the answer that of the answer, elsewhere that of the score.

use crate::exposition::{Entry, Outline, Role};
use crate::key::Key;
use crate::texture::Texture;
use std::ops::Range;

/// A thing that depends on the key, for the score and for each answer of its outline.
#[derive(Debug)]
pub(super) struct Local<T> {
    home: T,
    answers: Vec<(Range<i64>, T)>,
}

impl<T> Local<T> {
    /// Works the thing out for each key; `None` if it does not exist in the key of the score.
    pub(super) fn of(texture: &Texture<'_>, in_key: impl Fn(Key) -> Option<T>) -> Option<Self> {
        let home = in_key(texture.score().key())?;
        let entries = texture.outline().into_iter().flat_map(Outline::themes);
        let answers = entries.filter(|entry| entry.role == Role::Answer);
        let answers = answers.filter_map(|entry| Some((ticks(texture, entry)?, in_key(entry.key)?)));
        Some(Self { home, answers: answers.collect() })
    }

    /// The thing as it is on a tick.
    pub(super) fn at(&self, tick: i64) -> &T {
        let answer = self.answers.iter().find(|(ticks, _)| ticks.contains(&tick));
        answer.map_or(&self.home, |it| &it.1)
    }
}

/// From the first note of an entry to the end of its last.
fn ticks(texture: &Texture<'_>, entry: &Entry) -> Option<Range<i64>> {
    let tones = texture.tones(entry.voice).get(entry.notes.clone())?;
    Some(tones.first()?.onset..tones.last()?.end)
}
