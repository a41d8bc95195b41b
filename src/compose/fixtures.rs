//! Musical examples for the tests of composing: everything begins at tick 0, the first bar line.

use super::frame::Frame;
use super::harmony_track::HarmonyTrack;
use super::strand::Strand;
use crate::ensemble::Ensemble;
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

/// Subjects of many kinds: key, meter, offset and line. Real and tonal answers, a subject that
/// modulates to the dominant (the third), one that begins with a pickup, an irregular meter.
pub(super) const SUBJECTS: [(&str, &str, &str, &str); 6] = [
    ("D minor", "4/4", "0", "D4:1/4 E4 F4:1/8 G4 A4 F4 | E4:1/4 C#4 D4:1/2"),
    ("G major", "4/4", "0", "G4:1/4 D5 E5:1/8 D5 C5 B4 | C5:1/4 A4:1/8 F#4 G4:1/4"),
    ("G major", "3/4", "0", "G4:1/2 B4:1/4 | D5 B4 G4 | A4 B4:1/8 A4 E4:1/4 | D4:1/2"),
    ("E minor", "2/4", "0", "E4:1/16 F#4 G4 A4 B4:1/8 E5 | D#5 B4 C5:1/16 B4 A4 F#4 | G4:1/4"),
    ("F major", "6/8", "0", "C5:1/4 A4:1/8 D5:1/4 Bb4:1/8 | G4 A4 Bb4 C5 Bb4 G4 | A4:3/8"),
    ("D major", "7/8", "0", "D4:1/8 E4 F#4 G4 A4:3/8 | B4:1/8 G4 A4 F#4 G4 E4 C#4 | D4:1/4"),
];

/// The subjects of [`SUBJECTS`].
pub(super) fn subjects() -> Vec<Subject> {
    let read = SUBJECTS.iter().map(|(key, meter, offset, line)| Subject::from_text(key, meter, offset, line));
    read.map(Result::unwrap).collect()
}

/// An ensemble by name, in so many voices.
pub(super) fn ensemble(name: &str, voices: usize) -> Ensemble {
    Ensemble::named(name).unwrap().with_voices(voices).unwrap()
}

/// Every named ensemble in every number of voices it has, from two to five.
pub(super) fn ensembles() -> Vec<Ensemble> {
    let names = Ensemble::NAMES.iter().map(|name| Ensemble::named(name).unwrap());
    names.flat_map(|usual| (2..=5).filter_map(move |voices| usual.with_voices(voices).ok())).collect()
}
