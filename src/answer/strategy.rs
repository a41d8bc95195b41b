//! Subjects for the properties of this layer.

use crate::key::Key;
use crate::line::Line;
use crate::meter::Meter;
use crate::scale::Degree;
use crate::subject::Subject;
use crate::time::Time;
use proptest::prelude::*;
use std::ops::Range;

/// Subjects of so many notes in easy keys, mostly of scale notes, some altered, with rests.
pub(super) fn any_subject(notes: Range<usize>) -> impl Strategy<Value = Subject> {
    let note = (0..12_i32, prop_oneof![8 => Just(0_i8), 1 => Just(1), 1 => Just(-1)], 1..6_i64, 0..8_u8);
    let meter = prop_oneof!["4/4", "3/4", "6/8", "2/2", "3/8", "12/8"];
    let key = prop_oneof!["[CDFGABE] (major|minor|dorian|phrygian)", "(Bb|Eb) major", "(F#|C#) minor"];
    let parts = (key, meter, 0..4_i64, prop::collection::vec(note, notes));
    parts.prop_filter_map("the notes contradict the key", |(key, meter, eighths, notes)| {
        let key: Key = key.parse().ok()?;
        let meter: Meter = meter.parse().ok()?;
        let offset = meter.place(Time::new(eighths, 8).ok()?).ok()?;
        let tonic = crate::pitch::Pitch::new(key.tonic(), 4).ok()?;
        let mut events = Vec::new();
        for (steps, alteration, sixteenths, rest) in notes {
            let class = key.class(Degree::of_steps(steps).altered(alteration)).ok()?;
            let up = crate::interval::Interval::between(7 * (steps / 7), 12 * (steps / 7));
            let pitch = tonic.moved(key.tonic().up_to(class)).and_then(|pitch| pitch.moved(up)).ok()?;
            events.push((Some(pitch), Time::new(sixteenths, 16).ok()?));
            if rest == 0 {
                events.push((None, Time::new(1, 8).ok()?));
            }
        }
        Subject::new(key, meter, offset, Line::from_events(events).ok()?).ok()
    })
}
