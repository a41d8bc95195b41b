//! What we write is read back the same; damage is refused with a message, never a panic.

use super::*;
use crate::interchange::fixture;
use crate::interchange::midi::write;
use crate::line::Note;
use crate::score::strategy::any_score;
use midly::num::{u4, u7, u15, u28};
use midly::{Format, Header, MidiMessage, Smf, Timing, TrackEvent, TrackEventKind};
use proptest::prelude::*;

fn sounding(notes: &[Note]) -> Vec<(i32, crate::time::Time, crate::time::Time)> {
    notes.iter().map(|note| (note.pitch().height(), note.onset(), note.duration())).collect()
}

proptest! {
    #[test]
    fn prop_what_is_written_sounds_the_same_when_read(score in any_score()) {
        let Ok(bytes) = write(&score) else { return Ok(()) };
        let Ok(back) = read(&bytes) else { return Ok(()) };
        prop_assume!(!back.remarks.iter().any(|remark| matches!(remark, ReadRemark::Quantized { .. })));
        let heard = score.parts().iter().filter(|part| !part.line.is_silent());
        for (part, original) in back.score.parts().iter().zip(heard) {
            prop_assert_eq!(sounding(part.line.notes()), sounding(original.line.notes()));
        }
    }

    #[test]
    fn prop_damaged_file_is_read_or_refused(at in 0..10_000_usize, byte in any::<u8>(), cut in any::<bool>()) {
        let mut bytes = write(&fixture::exposition()).unwrap();
        let at = at % bytes.len();
        if cut { bytes.truncate(at) } else { bytes[at] = byte }
        if let Err(error) = read(&bytes) {
            prop_assert!(!error.to_string().is_empty());
        }
    }
}

#[test]
fn exposition_is_read_back_note_for_note_as_spelled() {
    let exposition = fixture::exposition();
    let back = read(&write(&exposition).unwrap()).unwrap();
    let score = exposition.score();
    assert_eq!(
        (back.score.key(), back.score.meter(), back.score.pickup()),
        (score.key(), score.meter(), score.pickup())
    );
    for (part, original) in back.score.parts().iter().zip(score.parts()) {
        assert_eq!(part.voice.name(), original.voice.name());
        assert_eq!(part.line.notes(), original.line.notes());
    }
}

/// Of -128 frames the parser once made a panic.
#[test]
fn all_divisions_in_frames_are_refused() {
    let mut bytes = write(&fixture::exposition()).unwrap();
    for division in 0x80..=0xff {
        bytes[12] = division;
        assert_eq!(read(&bytes).unwrap_err(), ReadError::Frames, "{division:#x}");
    }
}

/// Channel, key, from, to.
type Played = (u8, u8, u32, u32);

/// A file of one track of 480 ticks a quarter.
fn file(format: Format, notes: &[Played]) -> Vec<u8> {
    let mut events: Vec<(u32, bool, u8, u8)> = notes
        .iter()
        .flat_map(|&(channel, key, from, to)| [(from, true, channel, key), (to, false, channel, key)])
        .collect();
    events.sort_by_key(|&(at, on, ..)| (at, on));
    let mut now = 0;
    let track = events.into_iter().map(|(at, on, channel, key)| {
        let (key, vel) = (u7::new(key), u7::new(if on { 64 } else { 0 }));
        let message = MidiMessage::NoteOn { key, vel };
        let event = TrackEvent {
            delta: u28::new(at - now),
            kind: TrackEventKind::Midi { channel: u4::new(channel), message },
        };
        now = at;
        event
    });
    let mut smf = Smf::new(Header::new(format, Timing::Metrical(u15::new(480))));
    smf.tracks.push(track.collect());
    let mut bytes = Vec::new();
    smf.write(&mut bytes).unwrap();
    bytes
}

fn lines(notes: &[Played]) -> Result<Vec<String>, (&'static str, String)> {
    let read = read(&file(Format::SingleTrack, notes)).map_err(|error| (error.code(), error.to_string()))?;
    Ok(read.score.parts().iter().map(|part| part.line.to_string()).collect())
}

#[test]
fn channels_of_one_track_become_voices() {
    let notes = [(0, 72, 0, 480), (1, 48, 0, 960), (0, 71, 480, 960), (9, 35, 0, 480)];
    assert_eq!(lines(&notes).unwrap(), ["C5:1/4 B4:1/4", "C3:1/2"]);
}

#[test]
fn notes_released_early_last_until_the_next() {
    assert_eq!(
        lines(&[(0, 60, 0, 455), (0, 62, 480, 935), (0, 64, 960, 1920)]).unwrap(),
        ["C4:1/4 D4:1/4 E4:1/2"]
    );
    assert_eq!(lines(&[(0, 60, 3, 490), (0, 62, 484, 960)]).unwrap(), ["C4:1/4 D4:1/4"]);
}

/// Such files were once refused for their last note, or the first before a rest.
#[test]
fn notes_released_early_before_a_rest_last_until_the_note_value() {
    let notes = [(0, 60, 0, 452), (0, 62, 960, 1185), (0, 64, 1200, 1655)];
    let read = read(&file(Format::SingleTrack, &notes)).unwrap();
    assert_eq!(read.score.parts()[0].line.to_string(), "C4:1/4 R:1/4 D4:1/8 E4:1/4");
    assert!(read.remarks.iter().any(|remark| remark.to_string().starts_with("track 1, from bar 1: 3 notes")));
}

#[test]
fn constant_chords_become_voices() {
    let notes = [(0, 60, 0, 480), (0, 64, 0, 480), (0, 62, 480, 960), (0, 65, 480, 960)];
    assert_eq!(lines(&notes).unwrap(), ["E4:1/4 F4:1/4", "C4:1/4 D4:1/4"]);
}

#[test]
fn chords_that_come_and_go_keep_the_line() {
    let notes = [(0, 60, 0, 480), (0, 64, 0, 480), (0, 62, 480, 960)];
    assert_eq!(lines(&notes).unwrap(), ["E4:1/4 D4:1/4"]);
    let held = [(0, 60, 0, 960), (0, 64, 480, 960), (0, 62, 960, 1440)];
    let read = read(&file(Format::SingleTrack, &held)).unwrap();
    assert_eq!(read.score.parts()[0].line.to_string(), "C4:1/2 D4:1/4");
    assert_eq!(read.remarks[1].to_string(), "track 1, from bar 1: 1 note of chords left out beside its line");
}

#[test]
fn two_voices_in_one_track_are_two() {
    let notes = [(0, 72, 0, 480), (0, 71, 480, 960), (0, 72, 960, 1920), (0, 64, 0, 960), (0, 67, 960, 1920)];
    assert_eq!(lines(&notes).unwrap(), ["C5:1/4 B4:1/4 C5:1/2", "E4:1/2 G4:1/2"]);
}

/// Such files were once refused: the first release was taken for the note struck last.
#[test]
fn two_voices_on_one_key_keep_their_releases() {
    let upper = [(0, 67, 0, 480), (0, 60, 480, 930), (0, 62, 960, 1410), (0, 64, 1440, 1890)];
    let lower = [(0, 55, 0, 240), (0, 57, 240, 470), (0, 59, 480, 700), (0, 60, 720, 1890)];
    let notes = [upper, lower].concat();
    let voices = ["G4:1/4 C4:1/4 D4:1/4 E4:1/4", "G3:1/8 A3:1/8 B3:1/8 C4:5/8"];
    assert_eq!(lines(&notes).unwrap(), voices);
}

#[test]
fn hands_with_several_voices_are_woven_together() {
    let right = [(0, 76, 0, 480), (0, 74, 480, 960), (0, 60, 0, 480), (0, 72, 960, 1920)];
    let left = [(1, 62, 480, 960), (1, 64, 960, 1920)];
    assert_eq!(
        lines(&[&right[..], &left[..]].concat()).unwrap(),
        ["E5:1/4 D5:1/4 C5:1/2", "C4:1/4 D4:1/4 E4:1/2"]
    );
}

#[test]
fn refusals_say_where_and_how_to_mend() {
    let rows: [(&[Played], &str, &str); 2] = [
        (
            &[(0, 60, 0, 480), (0, 62, 2017, 2400)],
            "midi-off-grid",
            "track 1, bar 2: a note lies between the note values, at 97 of 480 ticks a quarter (quantize the file first)",
        ),
        (&[], "midi-empty", "the file has no notes (export a score with music)"),
    ];
    for (notes, code, message) in rows {
        assert_eq!(lines(notes).unwrap_err(), (code, message.to_owned()));
    }
    let error = read(&file(Format::Sequential, &[(0, 60, 0, 480)])).unwrap_err();
    assert_eq!(error.code(), "midi-type");
    assert_eq!(
        error.to_string(),
        "the file is of type 2, whose tracks do not sound together (export it as type 1)"
    );
    assert_eq!(read(b"MThd").unwrap_err().code(), "midi-damaged");
}
