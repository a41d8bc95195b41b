//! The pitches an added line may choose from.

use super::harmony_track::HarmonyTrack;
use crate::key::{Key, Mode};
use crate::pitch::{MAX_OCTAVE, MIN_OCTAVE, Pitch, PitchClass};
use crate::scale::Degree;
use std::collections::BTreeSet;

/// The pitches of the keys of a stretch of time within a range of heights, in order of spelling.
pub(super) fn palette(track: &HarmonyTrack, from: i64, to: i64, range: (i32, i32)) -> Vec<Pitch> {
    let classes: BTreeSet<PitchClass> = track.keys(from, to).into_iter().flat_map(classes).collect();
    let mut pitches: Vec<Pitch> = classes
        .into_iter()
        .flat_map(|class| (MIN_OCTAVE..=MAX_OCTAVE).filter_map(move |octave| Pitch::new(class, octave).ok()))
        .filter(|pitch| (range.0..=range.1).contains(&pitch.height()))
        .collect();
    pitches.sort_unstable();
    pitches
}

/// The scale of a key, in minor with the raised sixth and seventh.
fn classes(key: Key) -> Vec<PitchClass> {
    let degrees = (0..7).map(Degree::of_steps);
    let raised = [5, 6].map(|steps| Degree::of_steps(steps).altered(1));
    let raised = raised.into_iter().filter(|_| key.mode() == Mode::Minor);
    degrees.chain(raised).filter_map(|degree| key.class(degree).ok()).collect()
}
