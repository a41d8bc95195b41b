//! A voice in the making: tones on the ticks of the frame.

use super::frame::Frame;
use crate::line::{Line, LineError, Note};
use crate::pitch::Pitch;
use crate::time::TimeError;

/// A sounding note in ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Tone {
    pub(super) pitch: Pitch,
    pub(super) on: i64,
    pub(super) off: i64,
}

/// The tones of one voice in order of onset, not overlapping; gaps are rests.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Strand {
    tones: Vec<Tone>,
}

impl Strand {
    /// The tones of a line that begins at `start`.
    pub(super) fn of_line(line: &Line, start: i64, frame: &Frame) -> Self {
        let tone = |note: &Note| Tone {
            pitch: note.pitch(),
            on: start + frame.ticks(note.onset()),
            off: start + frame.ticks(note.end()),
        };
        Self { tones: line.notes().iter().map(tone).collect() }
    }

    /// The tones of a list, brought into order.
    pub(super) fn of_tones(mut tones: Vec<Tone>) -> Self {
        tones.sort_by_key(|tone| tone.on);
        Self { tones }
    }

    /// The tones.
    pub(super) fn tones(&self) -> &[Tone] {
        &self.tones
    }

    /// The same tones so many ticks later, or earlier if negative.
    pub(super) fn moved_in_time(&self, by: i64) -> Self {
        let tones = self.tones.iter().map(|tone| Tone { on: tone.on + by, off: tone.off + by, ..*tone });
        Self { tones: tones.collect() }
    }

    /// Adds the tones of another strand, which must not overlap these.
    pub(super) fn join(&mut self, other: &Self) {
        self.tones.extend_from_slice(&other.tones);
        self.tones.sort_by_key(|tone| tone.on);
    }

    /// Index of the first tone that ends after a moment.
    fn first_ending_after(&self, ticks: i64) -> usize {
        self.tones.partition_point(|tone| tone.off <= ticks)
    }

    /// Index of the tone sounding at a moment.
    pub(super) fn index_at(&self, ticks: i64) -> Option<usize> {
        let index = self.first_ending_after(ticks);
        self.tones.get(index).filter(|tone| tone.on <= ticks).map(|_| index)
    }

    /// The tone sounding at a moment.
    pub(super) fn at(&self, ticks: i64) -> Option<Tone> {
        self.index_at(ticks).map(|index| self.tones[index])
    }

    /// The tone sounding just before a moment, whether or not it goes on.
    pub(super) fn before(&self, ticks: i64) -> Option<Tone> {
        self.at(ticks - 1)
    }

    /// Indices of the tones that sound within a span.
    pub(super) fn within(&self, from: i64, to: i64) -> std::ops::Range<usize> {
        self.first_ending_after(from)..self.tones.partition_point(|tone| tone.on < to)
    }

    /// When it has sounded its last.
    pub(super) fn end(&self) -> i64 {
        self.tones.last().map_or(0, |tone| tone.off)
    }

    /// The line, of the given length in ticks.
    pub(super) fn to_line(&self, length: i64, frame: &Frame) -> Result<Line, LineError> {
        let wrap = |source: TimeError| LineError::Time { event: 0, source };
        let notes: Result<Vec<Note>, LineError> = self
            .tones
            .iter()
            .map(|tone| {
                let onset = frame.time(tone.on).map_err(wrap)?;
                Ok(Note::new(tone.pitch, onset, frame.time(tone.off - tone.on).map_err(wrap)?))
            })
            .collect();
        Line::from_notes(notes?, frame.time(length).map_err(wrap)?)
    }
}
