//! The file: the tempo track, and a track a voice.

use super::super::sheet::{Sheet, channel};
use super::clock::{Clock, quarter};
use super::error::WriteError;
use super::track::Track;
use crate::meter::Meter;
use crate::score::{Part, Score};
use crate::time::Time;
use midly::num::{u4, u7};
use midly::{Format, Header, MetaMessage, MidiMessage, Smf, Timing, TrackEvent, TrackEventKind};

/// Clocks a whole note, in which the format measures its metronome.
const CLOCKS_A_WHOLE: i64 = 96;
/// 32nds a quarter note: always eight, unless a quarter is no quarter.
const THIRTY_SECONDS: u8 = 8;

/// Writes a score or an exposition as a Standard MIDI File of type 1.
///
/// # Errors
/// If there are more voices than channels, a note lies outside the range of the format or too far
/// from the one before, the notes divide the quarter too finely, or the tempo is too slow.
pub fn write<'a>(music: impl Into<Sheet<'a>>) -> Result<Vec<u8>, WriteError> {
    let sheet = music.into();
    let score = sheet.score();
    let clock = Clock::of(score.grid().map_err(|source| WriteError::Grid { source })?)?;
    let mut smf = Smf::new(Header::new(Format::Parallel, Timing::Metrical(clock.per_quarter())));
    smf.tracks.push(tempo_track(&sheet, clock)?);
    for (voice, part) in score.parts().iter().enumerate() {
        let voices = score.parts().len();
        let channel = channel(voice).and_then(u4::try_from).ok_or(WriteError::Voices { voices })?;
        smf.tracks.push(voice_track(part, channel, clock)?);
    }
    let mut bytes = Vec::new();
    let written = smf.write(&mut bytes);
    debug_assert!(written.is_ok(), "writing into memory cannot fail");
    Ok(bytes)
}

fn tempo_track<'a>(sheet: &Sheet<'a>, clock: Clock) -> Result<Vec<TrackEvent<'a>>, WriteError> {
    let score = sheet.score();
    let mut track = Track::named(sheet.title());
    let tempo = MetaMessage::Tempo(quarter(sheet)?);
    let markers = sheet.labels().iter();
    let markers = markers.map(|label| (label.onset, MetaMessage::Marker(label.text.as_bytes())));
    let mut events: Vec<(Time, MetaMessage<'_>)> =
        [(Time::ZERO, tempo)].into_iter().chain(key(score)).chain(meters(score)).chain(markers).collect();
    events.sort_by_key(|event| event.0);
    for (onset, event) in events {
        let late = || WriteError::Late { part: "labels".to_owned(), note: 0, onset };
        track.at(clock.ticks(onset), TrackEventKind::Meta(event)).ok_or_else(late)?;
    }
    Ok(track.finish())
}

/// The key, if it has a signature.
fn key(score: &Score) -> Option<(Time, MetaMessage<'static>)> {
    let signature = score.key().signature().ok()?;
    let minor = score.key().mode().has_minor_third();
    Some((Time::ZERO, MetaMessage::KeySignature(signature.fifths(), minor)))
}

/// The meters from the first bar line on, and before it, if it can be said, that of the pickup.
fn meters(score: &Score) -> Vec<(Time, MetaMessage<'static>)> {
    let (pickup, lower) = (score.pickup(), i64::from(score.meter().lower()));
    let short = match pickup.is_positive().then(|| (pickup.numerator(), pickup.denominator())) {
        Some((upper, whole)) if whole < lower && lower % whole == 0 => {
            signature(upper * lower / whole, lower, clocks([pickup]))
        }
        Some((upper, lower)) => signature(upper, lower, clocks([pickup])),
        None => None,
    };
    let at_start = short.map(|short| (Time::ZERO, short));
    let heard = score.meters().iter().take_while(|(from, _)| *from == pickup || *from < score.length());
    let main = heard.filter_map(|(from, meter)| Some((from, of_meter(meter)?)));
    at_start.into_iter().chain(main).collect()
}

fn of_meter(meter: Meter) -> Option<MetaMessage<'static>> {
    signature(meter.upper().into(), meter.lower().into(), clocks(meter.pulses().map(|pulse| pulse.1)))
}

/// Clocks of the metronome for pulses of these lengths: those of the shortest.
fn clocks(pulses: impl IntoIterator<Item = Time>) -> u8 {
    let shortest = pulses.into_iter().min().unwrap_or(Time::WHOLE);
    let clocks = CLOCKS_A_WHOLE * shortest.numerator() / shortest.denominator();
    u8::try_from(clocks.max(1)).unwrap_or(u8::MAX)
}

fn signature(upper: i64, lower: i64, clocks: u8) -> Option<MetaMessage<'static>> {
    let upper = u8::try_from(upper).ok()?;
    let power = (0..=6).find(|power| 1 << power == lower)?;
    Some(MetaMessage::TimeSignature(upper, power, clocks, THIRTY_SECONDS))
}

fn voice_track(part: &Part, channel: u4, clock: Clock) -> Result<Vec<TrackEvent<'_>>, WriteError> {
    let name = part.voice.name();
    let mut track = Track::named(Some(name));
    let program = u7::from_int_lossy(part.voice.sound().saturating_sub(1));
    let program = MidiMessage::ProgramChange { program };
    let sound = TrackEventKind::Midi { channel, message: program };
    let late = |note, onset| WriteError::Late { part: name.to_owned(), note, onset };
    track.at(0, sound).ok_or_else(|| late(0, Time::ZERO))?;
    for (index, note) in part.line.notes().iter().enumerate() {
        let pitch = note.pitch();
        let key = u8::try_from(pitch.height()).ok().and_then(u7::try_from);
        let key = key.ok_or_else(|| WriteError::Pitch { part: name.to_owned(), note: index, pitch })?;
        let (from, to) = (clock.ticks(note.onset()), clock.ticks(note.end()));
        track.note(channel, key, from, to).ok_or_else(|| late(index, note.onset()))?;
    }
    Ok(track.finish())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;
    use crate::score::strategy::any_score;
    use proptest::prelude::*;

    /// A note as read back: track, key, from, to.
    type Heard = (usize, u8, u32, u32);

    fn heard(smf: &Smf<'_>) -> Vec<Heard> {
        let mut heard = Vec::new();
        for (index, track) in smf.tracks.iter().enumerate() {
            let mut now = 0;
            let mut sounding = None;
            for event in track {
                now += event.delta.as_int();
                match event.kind {
                    TrackEventKind::Midi { message: MidiMessage::NoteOn { key, .. }, .. } => {
                        assert_eq!(sounding.replace((key, now)), None, "a voice sounds one note at a time");
                    }
                    TrackEventKind::Midi { message: MidiMessage::NoteOff { key, .. }, .. } => {
                        let (begun, from) = sounding.take().expect("a note ends that has begun");
                        assert_eq!(begun, key);
                        heard.push((index, key.as_int(), from, now));
                    }
                    _ => {}
                }
            }
            assert_eq!(sounding, None, "no note hangs");
        }
        heard
    }

    fn metas<'a>(smf: &'a Smf<'a>) -> Vec<(u32, MetaMessage<'a>)> {
        let mut now = 0;
        let mut metas = Vec::new();
        for event in &smf.tracks[0] {
            now += event.delta.as_int();
            if let TrackEventKind::Meta(meta) = event.kind {
                metas.push((now, meta));
            }
        }
        metas
    }

    #[test]
    fn every_note_is_heard_at_its_exact_time() {
        let exposition = fixture::exposition();
        let bytes = write(&exposition).unwrap();
        let smf = Smf::parse(&bytes).unwrap();
        assert_eq!(smf.header.timing, Timing::Metrical(128.into()));
        let mut expected = Vec::new();
        for (voice, part) in exposition.score().parts().iter().enumerate() {
            for note in part.line.notes() {
                let ticks = |time: Time| u32::try_from(time.numerator() * 512 / time.denominator()).unwrap();
                let key = u8::try_from(note.pitch().height()).unwrap();
                expected.push((voice + 1, key, ticks(note.onset()), ticks(note.end())));
            }
        }
        assert_eq!(heard(&smf), expected);
    }

    proptest! {
        #[test]
        fn prop_every_note_begins_and_ends_on_a_tick(score in any_score()) {
            let Ok(bytes) = write(&score) else { return Ok(()) };
            let smf = Smf::parse(&bytes).unwrap();
            let Timing::Metrical(quarter) = smf.header.timing else { panic!("ticks a quarter note") };
            let whole = 4 * i64::from(quarter.as_int());
            let mut expected = Vec::new();
            for (voice, part) in score.parts().iter().enumerate() {
                for note in part.line.notes() {
                    let ticks = |time: Time| {
                        assert_eq!(time.numerator() * whole % time.denominator(), 0);
                        u32::try_from(time.numerator() * whole / time.denominator()).unwrap()
                    };
                    let key = u8::try_from(note.pitch().height()).unwrap();
                    expected.push((voice + 1, key, ticks(note.onset()), ticks(note.end())));
                }
            }
            prop_assert_eq!(heard(&smf), expected);
        }
    }

    #[test]
    fn repeated_notes_are_struck_again() {
        let score = fixture::score("C major", "3/4", "0", &["C4:1/4 C4 C4"]);
        let bytes = write(&score).unwrap();
        let smf = Smf::parse(&bytes).unwrap();
        assert_eq!(heard(&smf), [(1, 60, 0, 128), (1, 60, 128, 256), (1, 60, 256, 384)]);
    }

    #[test]
    fn tempo_track_names_title_tempo_key_meter_and_labels() {
        let exposition = fixture::exposition();
        let bytes = write(&exposition).unwrap();
        let smf = Smf::parse(&bytes).unwrap();
        let metas = metas(&smf);
        assert_eq!(metas[0], (0, MetaMessage::TrackName(b"Fughetta in D minor")));
        assert!(metas.contains(&(0, MetaMessage::Tempo(833_333.into()))));
        assert!(metas.contains(&(0, MetaMessage::KeySignature(-1, true))));
        assert!(metas.contains(&(0, MetaMessage::TimeSignature(4, 2, 24, 8))));
        assert!(metas.contains(&(1024, MetaMessage::Marker(b"Answer"))));
    }

    #[test]
    fn pickup_is_a_bar_of_its_own() {
        let score = fixture::score("C major", "3/4", "1/2", &["C4:1/2 D4:3/4"]);
        let bytes = write(&score).unwrap();
        let smf = Smf::parse(&bytes).unwrap();
        let metas = metas(&smf);
        assert!(metas.contains(&(0, MetaMessage::TimeSignature(2, 2, 48, 8))));
        assert!(metas.contains(&(256, MetaMessage::TimeSignature(3, 2, 24, 8))));
    }

    #[test]
    fn tempo_counts_the_conductors_beats() {
        let score = fixture::score("C major", "6/8", "0", &["C4:3/4"]);
        let bytes = write(Sheet::from(&score).with_tempo(60)).unwrap();
        let smf = Smf::parse(&bytes).unwrap();
        assert!(metas(&smf).contains(&(0, MetaMessage::Tempo(666_666.into()))));
        assert!(metas(&smf).contains(&(0, MetaMessage::TimeSignature(6, 3, 36, 8))));
    }

    #[test]
    fn tenth_channel_is_left_to_percussion() {
        let lines = ["C4:1"; 15];
        let score = fixture::score("C major", "4/4", "0", &lines);
        let bytes = write(&score).unwrap();
        let smf = Smf::parse(&bytes).unwrap();
        let channels: Vec<u8> = smf.tracks[1..]
            .iter()
            .filter_map(|track| match track[1].kind {
                TrackEventKind::Midi { channel, .. } => Some(channel.as_int()),
                _ => None,
            })
            .collect();
        assert_eq!(channels, [0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15]);
        let error = write(&fixture::score("C major", "4/4", "0", &["C4:1"; 16])).unwrap_err();
        assert_eq!(
            error.to_string(),
            "16 voices are too many: the format has 15 channels besides percussion (leave 1 out)"
        );
    }

    #[test]
    fn note_out_of_range_is_named() {
        let error = write(&fixture::score("C major", "4/4", "0", &["C4:1/2 G#9"])).unwrap_err();
        assert_eq!(
            error.to_string(),
            "part 1, note 2: G#9 is out of range: the format has notes from C-1 to G9 (move it by octaves)"
        );
        assert_eq!(error.code(), "midi-pitch");
    }

    #[test]
    fn note_after_too_long_a_rest_is_named() {
        let error = write(&fixture::score("C major", "4/4", "0", &["C4:1/64 R:999000 C4:1/64"])).unwrap_err();
        assert_eq!(
            error.to_string(),
            "part 1, note 2: it lies too far from the note before, at 63936001/64 whole notes (shorten the rests)"
        );
    }

    #[test]
    fn tempo_too_slow_for_the_format_is_refused() {
        let score = fixture::score("C major", "4/64", "0", &["C4:1/64"]);
        assert_eq!(
            write(Sheet::from(&score).with_tempo(10)).unwrap_err().to_string(),
            "a quarter note of 96000000 microseconds is too slow: at most 16777215 (choose a faster tempo)"
        );
    }
}
