//! What holds in the key of the moment: in the answer that of the answer, elsewhere that of the subject,
//! or of the score if it is no fugue.

use crate::exposition::{Entry, Outline, Role};
use crate::key::Key;
use crate::texture::Texture;
use std::ops::Range;

/// A thing that depends on the key, for the score and for each answer of its outline.
#[derive(Debug)]
pub(super) struct Local<T> {
    home: T,
    /// In order of onset, without overlap.
    answers: Vec<(Range<i64>, T)>,
}

impl<T> Local<T> {
    /// Works the thing out for each key; `None` if it does not exist in the home key.
    pub(super) fn of(texture: &Texture<'_>, in_key: impl Fn(Key) -> Option<T>) -> Option<Self> {
        let home = texture.outline().map_or(texture.score().key(), |outline| outline.subject.key());
        let home = in_key(home)?;
        let entries = texture.outline().into_iter().flat_map(Outline::themes);
        let answers = entries.filter(|entry| entry.role == Role::Answer);
        let answers = answers.filter_map(|entry| Some((ticks(texture, entry)?, in_key(entry.key)?)));
        Some(Self { home, answers: in_turn(answers.collect()) })
    }

    /// The thing as it is on a tick. Cost: logarithmic in the answers.
    pub(super) fn at(&self, tick: i64) -> &T {
        let answer = self.answers.partition_point(|(ticks, _)| ticks.end <= tick);
        let answer = self.answers.get(answer).filter(|(ticks, _)| ticks.contains(&tick));
        answer.map_or(&self.home, |it| &it.1)
    }
}

/// Stretches in order of onset, each without what an earlier one covers.
fn in_turn<T>(mut stretches: Vec<(Range<i64>, T)>) -> Vec<(Range<i64>, T)> {
    stretches.sort_by_key(|(ticks, _)| ticks.start);
    let mut covered = i64::MIN;
    for (ticks, _) in &mut stretches {
        ticks.start = ticks.start.max(covered);
        covered = covered.max(ticks.end);
    }
    stretches.retain(|(ticks, _)| !ticks.is_empty());
    stretches
}

/// From the first note of an entry to the end of its last.
fn ticks(texture: &Texture<'_>, entry: &Entry) -> Option<Range<i64>> {
    let tones = texture.tones(entry.voice).get(entry.notes.clone())?;
    Some(tones.first()?.onset..tones.last()?.end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_answers_that_overlap_the_earlier_one_holds() {
        let found = in_turn(vec![(8..12, 'd'), (0..6, 'a'), (4..9, 'c'), (1..5, 'b')]);
        assert_eq!(found, [(0..6, 'a'), (6..9, 'c'), (9..12, 'd')]);
        let local = Local { home: 'h', answers: found };
        let heard: String = (-1..13).map(|tick| *local.at(tick)).collect();
        assert_eq!(heard, "haaaaaacccdddh");
    }
}
