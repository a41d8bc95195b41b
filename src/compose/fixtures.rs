//! Musical examples for the tests of composing: everything begins at tick 0, the first bar line.

use super::frame::Frame;
use super::harmony_track::HarmonyTrack;
use super::strand::Strand;
use crate::key::Key;
use crate::line::Line;
use crate::pitch::Pitch;
use crate::scale::Degree;
use crate::subject::Subject;
use crate::time::Time;
use proptest::prelude::*;
use std::ops::Range;

/// A subject from its texts.
pub(super) fn subject(key: &str, meter: &str, line: &str) -> Subject {
    Subject::from_text(key, meter, "0", line).unwrap()
}

/// A frame of a meter, without a pickup and fine enough for thirty-seconds.
pub(super) fn frame(meter: &str) -> Frame {
    Frame::new(&subject("C major", meter, "C4:1/32 D4:1/32 C4:1/32"), Time::ZERO).unwrap()
}

/// A pitch from its text.
pub(super) fn pitch(text: &str) -> Pitch {
    text.parse().unwrap()
}

/// A key from its text.
pub(super) fn key(text: &str) -> Key {
    text.parse().unwrap()
}

/// A voice from the text of its line.
pub(super) fn strand(frame: &Frame, line: &str) -> Strand {
    Strand::of_line(&line.parse::<Line>().unwrap(), 0, frame)
}

/// A key throughout, without planned chords.
pub(super) fn track(frame: &Frame, home: &str) -> HarmonyTrack {
    HarmonyTrack::new(*frame, key(home))
}

/// A key throughout with a plan of chords.
pub(super) fn track_with(frame: &Frame, home: &str, chords: &str) -> HarmonyTrack {
    let mut track = track(frame, home);
    track.lay(0, key(home), &chords.parse().unwrap());
    track
}

/// Subjects of so many scale notes, mostly by step, in many keys and meters; they begin on the tonic
/// or the dominant and end on tonic or third.
pub(super) fn any_subject(notes: Range<usize>) -> impl Strategy<Value = Subject> {
    let key = prop_oneof!["[CDFGAE] (major|minor)", "(Bb|Eb) major", "(F#|B) minor"];
    let meter = prop_oneof!["4/4", "3/4", "6/8", "2/2", "2/4", "12/8", "2[+]2[+]3/8", "3/2"];
    let step = prop_oneof![6 => Just(1), 6 => Just(-1), 1 => -4..=4_i32];
    let note = (step, prop_oneof![Just(1_i64), Just(2), Just(2), Just(4)]);
    let parts = (key, meter, any::<bool>(), any::<bool>(), prop::collection::vec(note, notes));
    parts.prop_filter_map("the notes contradict the key", |(key, meter, dominant, third, notes)| {
        let key: Key = key.parse().ok()?;
        let mut degree = if dominant { 4 } else { 0 };
        let mut events = vec![(Some(scale_note(key, degree)?), Time::new(1, 4).ok()?)];
        for (step, eighths) in notes {
            degree = (degree + step).clamp(-2, 9);
            events.push((Some(scale_note(key, degree)?), Time::new(eighths, 8).ok()?));
        }
        events.push((Some(scale_note(key, if third { 2 } else { 0 })?), Time::new(1, 4).ok()?));
        let line = Line::from_events(events).ok()?;
        Subject::new(key, meter.parse().ok()?, Time::ZERO, line).ok()
    })
}

/// A note of the scale, counted in steps from the tonic above middle C.
fn scale_note(key: Key, steps: i32) -> Option<Pitch> {
    let class = key.class(Degree::of_steps(steps.rem_euclid(7))).ok()?;
    let tonic = Pitch::new(key.tonic(), 4).ok()?;
    let octaves = super::plan::octave_interval(steps.div_euclid(7))?;
    tonic.moved(key.tonic().up_to(class)).and_then(|pitch| pitch.moved(octaves)).ok()
}
