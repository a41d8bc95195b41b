//! Any line, for the properties of every module.

use super::Line;
use crate::pitch::{Letter, Pitch, PitchClass};
use crate::time::Time;
use proptest::prelude::*;

/// A pitch from C2 to B6 with at most one accidental.
fn singable_pitch() -> impl Strategy<Value = Pitch> {
    (14..49_i32, -1..=1_i32).prop_map(|(step, alteration)| {
        let class = PitchClass::new(Letter::from_index(step), alteration).unwrap();
        Pitch::new(class, step.div_euclid(7)).unwrap()
    })
}

/// Any duration of note values in use, triplets and dots among them.
fn any_duration() -> impl Strategy<Value = Time> {
    let values = [(1, 16), (1, 8), (3, 16), (1, 4), (3, 8), (1, 2), (1, 1), (1, 12), (1, 24)];
    proptest::sample::select(values.to_vec()).prop_map(|(n, d)| Time::new(n, d).unwrap())
}

/// Any line of up to 24 notes and rests, the empty one among them.
pub(crate) fn any_line() -> impl Strategy<Value = Line> {
    let event = (proptest::option::weighted(0.8, singable_pitch()), any_duration());
    proptest::collection::vec(event, 0..24).prop_map(|events| Line::from_events(events).unwrap())
}
