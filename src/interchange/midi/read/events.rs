//! From the events of a file to its strands of notes.

use super::super::super::reading::{MAX_READ_NOTES, ReadRemark};
use super::clock::Clock;
use super::error::ReadError;
use super::pairing;
use midly::{Format, MetaMessage, MidiMessage, Smf, Timing, TrackEventKind};
use std::collections::BTreeMap;

/// The channel of percussion, counted from 0.
const PERCUSSION: u8 = 9;

/// A note in ticks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Struck {
    pub(super) key: u8,
    pub(super) from: i64,
    pub(super) to: i64,
}

/// The notes of one channel in one track.
#[derive(Clone, Debug, Default)]
pub(super) struct Strand {
    pub(super) name: String,
    /// General MIDI program, 1 to 128.
    pub(super) sound: u8,
    pub(super) notes: Vec<Struck>,
}

/// A file as read.
#[derive(Clone, Debug, Default)]
pub(super) struct Events {
    pub(super) per_quarter: i64,
    pub(super) strands: Vec<Strand>,
    /// Ticks, upper figure, power of two of the lower one.
    pub(super) meters: Vec<(i64, u8, u8)>,
    /// Ticks, sharps (flats if negative), whether minor.
    pub(super) keys: Vec<(i64, i8, bool)>,
}

/// All events of a file.
pub(super) fn read(bytes: &[u8], remarks: &mut Vec<ReadRemark>) -> Result<Events, ReadError> {
    if counts_in_frames(bytes) {
        return Err(ReadError::Frames);
    }
    let smf = Smf::parse(bytes).map_err(|error| ReadError::Damaged { message: error.to_string() })?;
    if smf.header.format == Format::Sequential {
        return Err(ReadError::Sequential);
    }
    let Timing::Metrical(per_quarter) = smf.header.timing else { return Err(ReadError::Frames) };
    let per_quarter = i64::from(per_quarter.as_int());
    if per_quarter == 0 {
        return Err(ReadError::Damaged { message: "a quarter note has no ticks".to_owned() });
    }
    let mut events = Events { per_quarter, ..Events::default() };
    let (mut percussion, mut total) = (0, 0);
    for (index, track) in smf.tracks.iter().enumerate() {
        let mut reader = Track::new(Clock { per_quarter });
        for event in track {
            reader.now += i64::from(event.delta.as_int());
            reader.take(event.kind, &mut events);
        }
        total += reader.count();
        if total > MAX_READ_NOTES {
            return Err(ReadError::Notes);
        }
        percussion += reader.finish(index, &mut events);
    }
    events.meters.sort_by_key(|meter| meter.0);
    events.keys.sort_unstable();
    if percussion > 0 {
        remarks.push(ReadRemark::Percussion { count: percussion });
    }
    if events.strands.is_empty() { Err(ReadError::Empty) } else { Ok(events) }
}

/// Whether the head of a file says that time counts in frames: its division is negative. Asked before the
/// file is parsed, for of one such division the parser cannot make a number of frames.
fn counts_in_frames(bytes: &[u8]) -> bool {
    bytes.starts_with(b"MThd") && bytes.get(12).is_some_and(|division| division & 0x80 != 0)
}

/// The notes on one key since it was silent.
#[derive(Debug, Default)]
struct Key {
    /// Their indices, in the order in which they were struck.
    notes: Vec<usize>,
    releases: Vec<i64>,
}

/// A track being read.
#[derive(Debug)]
struct Track {
    clock: Clock,
    now: i64,
    name: String,
    /// By channel: the program, and the notes.
    channels: BTreeMap<u8, (u8, Vec<Struck>)>,
    /// By channel and key: what sounds.
    sounding: BTreeMap<(u8, u8), Key>,
}

impl Track {
    const fn new(clock: Clock) -> Self {
        Self { clock, now: 0, name: String::new(), channels: BTreeMap::new(), sounding: BTreeMap::new() }
    }

    fn take(&mut self, kind: TrackEventKind<'_>, events: &mut Events) {
        match kind {
            TrackEventKind::Midi { channel, message } => self.message(channel.as_int(), message),
            TrackEventKind::Meta(MetaMessage::TrackName(name)) if self.name.is_empty() => {
                self.name = String::from_utf8_lossy(name).split_whitespace().collect::<Vec<_>>().join(" ");
            }
            TrackEventKind::Meta(MetaMessage::TimeSignature(upper, power, ..)) => {
                events.meters.push((self.now, upper, power));
            }
            TrackEventKind::Meta(MetaMessage::KeySignature(fifths, minor)) => {
                events.keys.push((self.now, fifths, minor));
            }
            _ => {}
        }
    }

    fn message(&mut self, channel: u8, message: MidiMessage) {
        match message {
            MidiMessage::NoteOn { key, vel } if vel.as_int() > 0 => self.strike(channel, key.as_int()),
            MidiMessage::NoteOn { key, .. } | MidiMessage::NoteOff { key, .. } => {
                self.release(channel, key.as_int());
            }
            MidiMessage::ProgramChange { program } => {
                self.channels.entry(channel).or_default().0 = program.as_int() + 1;
            }
            _ => {}
        }
    }

    fn strike(&mut self, channel: u8, key: u8) {
        let notes = &mut self.channels.entry(channel).or_default().1;
        self.sounding.entry((channel, key)).or_default().notes.push(notes.len());
        notes.push(Struck { key, from: self.now, to: self.now });
    }

    /// Once a key is silent its releases tell when its notes end.
    fn release(&mut self, channel: u8, key: u8) {
        let Some(sounding) = self.sounding.get_mut(&(channel, key)) else { return };
        sounding.releases.push(self.now);
        if sounding.releases.len() < sounding.notes.len() {
            return;
        }
        let Some(Key { notes, releases }) = self.sounding.remove(&(channel, key)) else { return };
        let Some((_, struck)) = self.channels.get_mut(&channel) else { return };
        let strikes: Vec<i64> = notes.iter().filter_map(|&index| Some(struck.get(index)?.from)).collect();
        for (index, end) in notes.into_iter().zip(pairing::ends(&strikes, &releases, self.clock)) {
            if let Some(note) = struck.get_mut(index) {
                note.to = end;
            }
        }
    }

    /// Ends the notes of a key of which a release is wanting: at the next release or strike, else with
    /// the track.
    fn end_unreleased(&mut self, channel: u8, key: &Key) {
        let Some((_, struck)) = self.channels.get_mut(&channel) else { return };
        let mut next = self.now;
        for &index in key.notes.iter().rev() {
            let Some(note) = struck.get_mut(index) else { return };
            let after = key.releases.partition_point(|&release| release <= note.from);
            note.to = key.releases.get(after).map_or(next, |&release| release.min(next));
            next = note.from;
        }
    }

    fn count(&self) -> usize {
        self.channels.values().map(|(_, notes)| notes.len()).sum()
    }

    /// Hands over the strands, and returns the number of notes of percussion.
    fn finish(mut self, index: usize, events: &mut Events) -> usize {
        for ((channel, _), key) in std::mem::take(&mut self.sounding) {
            self.end_unreleased(channel, &key);
        }
        let mut percussion = 0;
        let voiced =
            |(channel, notes): &(&u8, &(u8, Vec<Struck>))| **channel != PERCUSSION && !notes.1.is_empty();
        let several = self.channels.iter().filter(voiced).count() > 1;
        for (channel, (sound, mut notes)) in self.channels {
            if channel == PERCUSSION {
                percussion += notes.len();
                continue;
            }
            notes.retain(|note| note.to > note.from);
            if notes.is_empty() {
                continue;
            }
            let name = match (self.name.is_empty(), several) {
                (true, false) => format!("track {}", index + 1),
                (true, true) => format!("channel {}", channel + 1),
                (false, false) => self.name.clone(),
                (false, true) => format!("{} {}", self.name, channel + 1),
            };
            events.strands.push(Strand { name, sound: sound.max(1), notes });
        }
        percussion
    }
}
