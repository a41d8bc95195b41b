//! From the notes of a channel to voices in note values.

use super::super::super::reading::{
    Lines, MAX_WOVEN, Rank, ReadRemark, Sign, Sounding, lines, together, weave,
};
use super::clock::{ARTICULATION, Clock, DETACHED};
use super::error::ReadError;
use super::events::{Strand, Struck};
use super::frame::Frame;
use super::spelling;
use crate::key::Key;
use crate::line::{Line, LineError, Note};
use crate::score::{Part, ScoreError};
use crate::time::Time;
use crate::voice::Voice;

/// The most strands that are hands rather than voices: two on the manuals and the pedal of an organ.
const MAX_HANDS: usize = 3;

/// A note in note values, not yet spelled.
#[derive(Clone, Copy, Debug)]
pub(super) struct Keyed {
    pub(super) key: u8,
    /// The strand, counted from 0.
    hand: u8,
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

/// The voices of a file, the highest of a strand first. Hands that play several voices, be it only one of
/// them, are taken together, for voices pass from one to the other.
pub(super) fn voices(
    strands: &[Strand],
    clock: Clock,
    frame: &Frame,
    remarks: &mut Vec<ReadRemark>,
) -> Result<Vec<Voiced>, ReadError> {
    let quantized = |(hand, strand): (u8, &Strand)| quantized(strand, hand, clock, frame, remarks);
    let notes = (0..=u8::MAX).zip(strands).map(quantized).collect::<Result<Vec<_>, _>>()?;
    let bar = frame.meters.first().bar();
    let rank = |index| Rank::of(index, strands.len());
    let split: Vec<Lines<Keyed>> =
        notes.iter().enumerate().map(|(index, notes)| lines(notes.clone(), rank(index), bar)).collect();
    let count: usize = notes.iter().map(Vec::len).sum();
    if strands.len() <= MAX_HANDS && count <= MAX_WOVEN {
        let notes = notes.concat();
        let voices = together(&notes, bar);
        let are_hands = strands.len() > 1 && voices > strands.len();
        if are_hands || split.iter().any(|lines| lines.each.len() > 1) {
            let sign = |note: &Keyed| [Sign { staff: note.hand, number: None, bar: 0 }; 2];
            let (name, sound) = (hands(strands), strands.first().map_or(1, |strand| strand.sound));
            return Ok(named(weave(notes, sign, voices), &name, sound, frame, remarks));
        }
    }
    let named = |(lines, strand): (_, &Strand)| named(lines, &strand.name, strand.sound, frame, remarks);
    Ok(split.into_iter().zip(strands).flat_map(named).collect())
}

/// The name of strands that are played together.
fn hands(strands: &[Strand]) -> String {
    strands.iter().map(|strand| strand.name.as_str()).collect::<Vec<_>>().join(" and ")
}

/// The voices of lines that are played under one name, and what became of the other notes.
fn named(
    lines: Lines<Keyed>,
    part: &str,
    sound: u8,
    frame: &Frame,
    remarks: &mut Vec<ReadRemark>,
) -> Vec<Voiced> {
    let several = lines.each.len() > 1;
    let name = |index: usize| if several { format!("{part} {}", index + 1) } else { part.to_owned() };
    if several {
        remarks.push(ReadRemark::SplitPart { part: part.to_owned(), voices: lines.each.len() });
    }
    remarks.extend(lines.remarks(&name(lines.main), |onset| frame.bar(onset)));
    let voices = lines.each.into_iter().enumerate();
    voices.map(|(index, notes)| Voiced { name: name(index), sound, notes }).collect()
}

/// The notes of a strand in note values.
fn quantized(
    strand: &Strand,
    hand: u8,
    clock: Clock,
    frame: &Frame,
    remarks: &mut Vec<ReadRemark>,
) -> Result<Vec<Keyed>, ReadError> {
    let mut moved = Moved { count: 0, bar: None };
    let notes = Quantizer { strand, hand, clock, frame }.notes(&mut moved)?;
    if let Some(bar) = moved.bar {
        remarks.push(ReadRemark::Quantized { part: strand.name.clone(), bar, count: moved.count });
    }
    Ok(notes)
}

/// How many notes were moved onto note values, and the bar of the first.
struct Moved {
    count: usize,
    bar: Option<i64>,
}

struct Quantizer<'s> {
    strand: &'s Strand,
    hand: u8,
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
            notes.push(Keyed { key: note.key, hand: self.hand, onset, duration });
        }
        Ok(notes)
    }

    /// When a note ends: with the next one where only the manner of playing parts them, else where it is
    /// released or, before a rest, would be if it were held to its end.
    fn end(&self, note: &Struck, onsets: &[i64]) -> Result<Time, ReadError> {
        let plain = self.clock.plain(note.from, note.to);
        let after = onsets.partition_point(|&onset| onset < note.to);
        let near = [after.checked_sub(1), Some(after)].into_iter().flatten();
        let near = near.filter_map(|index| onsets.get(index)).filter(|&&onset| onset > note.from);
        let next = near.min_by_key(|&&onset| (onset - note.to).abs()).copied();
        let is_manner = |next: i64| {
            let (apart, length) = (next - note.to, note.to - note.from);
            let is_within = |share: i64| apart.abs().saturating_mul(share) <= length;
            if apart > 0 { plain.is_none() && is_within(DETACHED) } else { is_within(ARTICULATION) }
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
