//! From the notes of a channel to voices in note values.

use super::super::super::reading::{Rank, ReadRemark, Sounding, lines};
use super::clock::{ARTICULATION, Clock};
use super::error::ReadError;
use super::events::{Strand, Struck};
use super::frame::Frame;
use super::spelling;
use crate::key::Key;
use crate::line::{Line, LineError, Note};
use crate::score::{Part, ScoreError};
use crate::time::Time;
use crate::voice::Voice;

/// A note in note values, not yet spelled.
#[derive(Clone, Copy, Debug)]
pub(super) struct Keyed {
    pub(super) key: u8,
    pub(super) onset: Time,
    pub(super) duration: Time,
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

impl Sounding for Keyed {
    fn onset(&self) -> Time {
        self.onset
    }

    fn end(&self) -> Time {
        self.onset.checked_add(self.duration).unwrap_or(self.onset)
    }

    fn height(&self) -> i32 {
        self.key.into()
    }

    fn cut(&mut self, end: Time) {
        self.duration = end.checked_sub(self.onset).unwrap_or(self.duration);
    }
}

/// The voices of a strand, the highest first.
pub(super) fn voices(
    strand: &Strand,
    rank: Rank,
    clock: Clock,
    frame: &Frame,
    remarks: &mut Vec<ReadRemark>,
) -> Result<Vec<Voiced>, ReadError> {
    let mut moved = Moved { count: 0, bar: None };
    let notes = Quantizer { strand, clock, frame }.notes(&mut moved)?;
    let split = lines(notes, rank, frame.meters.first().bar());
    let several = split.each.len() > 1;
    let name =
        |index: usize| if several { format!("{} {}", strand.name, index + 1) } else { strand.name.clone() };
    if several {
        remarks.push(ReadRemark::SplitPart { part: strand.name.clone(), voices: split.each.len() });
    }
    if let Some(bar) = moved.bar {
        remarks.push(ReadRemark::Quantized { part: strand.name.clone(), bar, count: moved.count });
    }
    remarks.extend(split.remarks(&name(split.main), |onset| frame.bar(onset)));
    let voices = split.each.into_iter().enumerate();
    Ok(voices.map(|(index, notes)| Voiced { name: name(index), sound: strand.sound, notes }).collect())
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
    fn notes(&self, moved: &mut Moved) -> Result<Vec<Keyed>, ReadError> {
        let mut onsets: Vec<i64> = self.strand.notes.iter().map(|note| note.from).collect();
        onsets.sort_unstable();
        let mut notes = Vec::with_capacity(onsets.len());
        for note in &self.strand.notes {
            let onset = self.value(note.from)?;
            let end = self.end(note, &onsets)?;
            let exact = [note.from, note.to].map(|ticks| self.clock.exact(ticks).ok());
            if exact != [Some(onset), Some(end)] {
                moved.count += 1;
                moved.bar = moved.bar.or(Some(self.frame.bar(onset)));
            }
            let duration = end.checked_sub(onset).map_err(|source| self.timed(source))?;
            if !duration.is_positive() {
                return Err(self.off_grid(note.to));
            }
            notes.push(Keyed { key: note.key, onset, duration });
        }
        Ok(notes)
    }

    /// When a note ends: with the next one where only the manner of playing parts them, else where it is
    /// released or, before a rest, would be if it were held to its end.
    fn end(&self, note: &Struck, onsets: &[i64]) -> Result<Time, ReadError> {
        let plain = self.clock.exact(note.to).ok().filter(|&exact| self.clock.value(note.to) == Some(exact));
        let after = onsets.partition_point(|&onset| onset < note.to);
        let near = [after.checked_sub(1), Some(after)].into_iter().flatten();
        let near = near.filter_map(|index| onsets.get(index)).filter(|&&onset| onset > note.from);
        let next = near.min_by_key(|&&onset| (onset - note.to).abs()).copied();
        let is_manner = |next: i64| {
            let apart = next - note.to;
            (plain.is_none() || apart <= 0) && apart.abs().saturating_mul(ARTICULATION) <= note.to - note.from
        };
        if let Some(next) = next.filter(|&next| is_manner(next)) {
            return self.value(next);
        }
        plain.or_else(|| self.clock.release(note.from, note.to)).ok_or_else(|| self.off_grid(note.to))
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
