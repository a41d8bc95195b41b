//! Voices that go together: who belongs to them, and whether others move.

use super::is_doubling;
use crate::rules::Spot;
use crate::texture::{CommonRhythm, Stretch, Texture};

/// The notes of voices that go together as they begin.
pub(super) fn spot(texture: &Texture<'_>, CommonRhythm { stretch, voices }: &CommonRhythm) -> Spot {
    let onset = stretch.onset;
    let note = |voice: &usize| (*voice, texture.tones(*voice).partition_point(|tone| tone.end <= onset));
    Spot::new(onset, voices.iter().map(note).collect())
}

/// Whether of several voices two do not double each other.
pub(super) fn are_several(texture: &Texture<'_>, rhythm: &CommonRhythm) -> bool {
    let voices = &rhythm.voices;
    let mut pairs = voices.iter().flat_map(|&one| voices.iter().map(move |&other| (one, other)));
    pairs.any(|(one, other)| {
        one < other && texture.pair(one, other).is_some_and(|pair| !is_doubling(pair, rhythm.stretch.onset))
    })
}

/// Whether voices that go together within the time of a group belong to it, one of them being in it.
pub(super) fn covers(group: &CommonRhythm, pair: &CommonRhythm) -> bool {
    let (whole, part) = (group.stretch, pair.stretch);
    let is_within = whole.onset <= part.onset && part.end <= whole.end;
    is_within && pair.voices.iter().any(|voice| group.voices.contains(voice))
}

pub(super) fn join(group: &mut CommonRhythm, voices: &[usize]) {
    group.voices.extend(voices);
    group.voices.sort_unstable();
    group.voices.dedup();
}

/// Whether no other voice begins a note of its own meanwhile.
pub(super) fn is_alone(texture: &Texture<'_>, CommonRhythm { stretch, voices }: &CommonRhythm) -> bool {
    let mut others = (0..texture.voices()).filter(|voice| !voices.contains(voice));
    !others.any(|voice| {
        let tones = texture.tones(voice);
        let first = tones.partition_point(|tone| tone.onset <= stretch.onset);
        tones.get(first).is_some_and(|tone| tone.onset < stretch.end)
    })
}

/// Whether voices are known to go together, with others, for most of the time for which they do.
pub(super) fn is_known(chords: &[CommonRhythm], pair: &CommonRhythm) -> bool {
    let Stretch { onset, end, .. } = pair.stretch;
    let first = chords.partition_point(|it| it.stretch.end <= onset);
    let within = chords[first..].iter().take_while(|it| it.stretch.onset < end);
    let known = within.filter(|it| pair.voices.iter().all(|voice| it.voices.contains(voice)));
    let known: i64 = known.map(|it| it.stretch.end.min(end) - it.stretch.onset.max(onset)).sum();
    2 * known > end - onset
}
