//! From the notes of a channel to voices in note values.

use super::super::super::reading::ReadRemark;
use super::clock::Clock;
use super::error::ReadError;
use super::events::{Strand, Struck};
use super::frame::Frame;
use super::spelling;
use crate::key::Key;
use crate::line::{Line, LineError, Note};
use crate::score::{Part, ScoreError};
use crate::time::Time;
use crate::voice::Voice;

/// A gap after a note that is no rest but a manner of playing: at most this part of its length.
const ARTICULATION: i64 = 8;

/// A note in note values, not yet spelled.
#[derive(Clone, Copy, Debug)]
pub(super) struct Keyed {
    pub(super) key: u8,
    pub(super) onset: Time,
    pub(super) duration: Time,
}

impl Keyed {
    pub(super) fn end(self) -> Time {
        self.onset.checked_add(self.duration).unwrap_or(self.onset)
    }
}

/// A voice, not yet spelled.
#[derive(Clone, Debug)]
pub(super) struct Voiced {
    name: String,
    sound: u8,
    pub(super) notes: Vec<Keyed>,
}

impl Voiced {
    /// The voice spelled in a key.
    pub(super) fn finish(self, index: usize, key: Key, end: Time) -> Result<Part, ReadError> {
        let named = |source: LineError| ScoreError::Line { part: index, name: self.name.clone(), source };
        let keys: Vec<u8> = self.notes.iter().map(|note| note.key).collect();
        let pitches = spelling::spell(&keys, key);
        let spelled = self.notes.iter().zip(pitches);
        let notes = spelled.filter_map(|(note, pitch)| Some(Note::new(pitch?, note.onset, note.duration)));
        let line = Line::from_notes(notes, end).map_err(named)?;
        let voice = Voice::new(&self.name).with_sound(self.sound);
        Ok(Part { voice, line })
    }
}

/// The voices of a strand: one, or as many as every chord of it has notes, the highest first.
pub(super) fn voices(
    strand: &Strand,
    clock: Clock,
    frame: &Frame,
    remarks: &mut Vec<ReadRemark>,
) -> Result<Vec<Voiced>, ReadError> {
    let mut notes = strand.notes.clone();
    notes.sort_by_key(|note| (note.from, std::cmp::Reverse(note.key)));
    let chords: Vec<&[Struck]> = notes.chunk_by(|a, b| a.from == b.from).collect();
    let most = chords.iter().map(|chord| chord.len()).max().unwrap_or(0);
    let bar = |ticks: i64| clock.exact(ticks).map_or(0, |time| frame.bar(time));
    if most > 1 {
        let uneven = chords.iter().find(|chord| chord.len() != most);
        if uneven.is_some() {
            let chord = chords.iter().find(|chord| chord.len() > 1).copied().unwrap_or_default();
            let at = chord.first().map_or(0, |note| note.from);
            return Err(ReadError::Chord { part: strand.name.clone(), bar: bar(at), notes: chord.len() });
        }
        remarks.push(ReadRemark::SplitPart { part: strand.name.clone(), voices: most });
    }
    let mut moved = Moved { count: 0, bar: None };
    let mut voices = Vec::new();
    for index in 0..most {
        let line: Vec<Struck> = chords.iter().filter_map(|chord| chord.get(index).copied()).collect();
        let name = if most > 1 { format!("{} {}", strand.name, index + 1) } else { strand.name.clone() };
        let notes = Quantizer { strand, clock, frame }.line(&line, &mut moved)?;
        voices.push(Voiced { name, sound: strand.sound, notes });
    }
    if let Some(bar) = moved.bar {
        remarks.push(ReadRemark::Quantized { part: strand.name.clone(), bar, count: moved.count });
    }
    Ok(voices)
}

/// How many notes were moved onto note values, and the bar of the first.
struct Moved {
    count: usize,
    bar: Option<i64>,
}

struct Quantizer<'s> {
    strand: &'s Strand,
    clock: Clock,
    frame: &'s Frame,
}

impl Quantizer<'_> {
    fn line(&self, notes: &[Struck], moved: &mut Moved) -> Result<Vec<Keyed>, ReadError> {
        let mut line = Vec::with_capacity(notes.len());
        let nexts = notes.iter().skip(1).map(|note| Some(note.from)).chain([None]);
        for (note, next) in notes.iter().zip(nexts) {
            let onset = self.value(note.from)?;
            if self.frame.end.is_some_and(|end| onset >= end) {
                break;
            }
            let end = self.end(note, next)?;
            let exact = [note.from, note.to].map(|ticks| self.clock.exact(ticks).ok());
            if exact != [Some(onset), Some(end)] {
                moved.count += 1;
                moved.bar = moved.bar.or(Some(self.frame.bar(onset)));
            }
            let end = self.frame.end.map_or(end, |last| last.min(end));
            let duration = end.checked_sub(onset).map_err(|source| self.timed(source))?;
            if !duration.is_positive() {
                return Err(self.off_grid(note.to));
            }
            line.push(Keyed { key: note.key, onset, duration });
        }
        Ok(line)
    }

    /// When a note ends: with the next one where only the manner of playing parts them.
    fn end(&self, note: &Struck, next: Option<i64>) -> Result<Time, ReadError> {
        let length = note.to - note.from;
        let Some(next) = next.filter(|&next| next != note.to) else { return self.value(note.to) };
        let plain = self
            .clock
            .value(note.to)
            .filter(|&value| self.clock.exact(note.to).is_ok_and(|exact| exact == value));
        let apart = next - note.to;
        if let Some(plain) = plain.filter(|_| apart > 0) {
            return Ok(plain);
        }
        if apart.saturating_mul(ARTICULATION) <= length && apart.saturating_mul(-ARTICULATION) <= length {
            return self.value(next);
        }
        if apart < 0 {
            let bar = self.frame.bar(self.value(next)?);
            return Err(ReadError::Overlap { part: self.strand.name.clone(), bar });
        }
        self.value(note.to)
    }

    fn value(&self, ticks: i64) -> Result<Time, ReadError> {
        self.clock.value(ticks).ok_or_else(|| self.off_grid(ticks))
    }

    fn off_grid(&self, ticks: i64) -> ReadError {
        let per_quarter = self.clock.per_quarter;
        let bar = self.clock.exact(ticks).map_or(0, |time| self.frame.bar(time));
        let ticks = ticks.rem_euclid(per_quarter);
        ReadError::OffGrid { part: self.strand.name.clone(), bar, ticks, per_quarter }
    }

    fn timed(&self, source: crate::time::TimeError) -> ReadError {
        ReadError::Time { part: self.strand.name.clone(), source }
    }
}
