//! Lines: the notes and rests of one voice.
//!
//! A [`Line`] holds its [`Note`]s in order with exact onsets; rests are the gaps between them, so
//! two rests in a row are one. Ties do not exist: a tied note is one note. Text notation is
//! `F#4:1/8 R:1/4 Bb3` (a missing duration repeats the one before).

mod notation;
mod note;
mod transform;

pub use notation::LineError;
pub use note::Note;

use crate::pitch::Pitch;
use crate::time::{Grid, Time, TimeError};

/// The most notes of a line.
pub const MAX_NOTES: usize = 2_000_000;

/// The notes and rests of one voice, from time zero.
///
/// Every line guarantees: durations are positive, notes do not overlap, and all its times fall on
/// one [`Grid`] within limits. A line of overlapping notes or of a note without length cannot exist.
#[derive(Clone, PartialEq, Eq, Default)]
pub struct Line {
    notes: Vec<Note>,
    length: Time,
}

/// A note or a rest of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Event {
    /// When it begins.
    pub onset: Time,
    /// How long it lasts.
    pub duration: Time,
    /// Its pitch; `None` for a rest.
    pub pitch: Option<Pitch>,
}

impl Line {
    /// A line from notes and rests in order, each a pitch or `None`, and a duration.
    ///
    /// # Errors
    /// If a duration is not positive, there are more than [`MAX_NOTES`], or times are too fine or
    /// too large.
    pub fn from_events(events: impl IntoIterator<Item = (Option<Pitch>, Time)>) -> Result<Self, LineError> {
        let mut line = Self::default();
        for (index, (pitch, duration)) in events.into_iter().enumerate() {
            line.push(pitch, duration).map_err(|error| error.at(index))?;
        }
        line.grid().map_err(|source| LineError::Time { event: 0, source })?;
        Ok(line)
    }

    /// A line from notes with their onsets, and its whole length.
    ///
    /// # Errors
    /// As [`Line::from_events`], and if notes overlap, are out of order or outlast the length.
    pub fn from_notes(notes: impl IntoIterator<Item = Note>, length: Time) -> Result<Self, LineError> {
        let mut line = Self::default();
        for (index, note) in notes.into_iter().enumerate() {
            if note.onset() < line.length {
                return Err(LineError::Overlap { note: index });
            }
            line.length = note.onset();
            line.push(Some(note.pitch()), note.duration()).map_err(|error| error.at(index))?;
        }
        if length < line.length {
            return Err(LineError::Overlap { note: line.notes.len() });
        }
        line.length = length;
        line.grid().map_err(|source| LineError::Time { event: 0, source })?;
        Ok(line)
    }

    fn push(&mut self, pitch: Option<Pitch>, duration: Time) -> Result<(), LineError> {
        if !duration.is_positive() {
            return Err(LineError::Duration { event: 0, duration });
        }
        if self.notes.len() >= MAX_NOTES {
            return Err(LineError::TooLong { event: 0 });
        }
        let end = self.length.checked_add(duration).map_err(|source| LineError::Time { event: 0, source })?;
        if let Some(pitch) = pitch {
            self.notes.push(Note::new_unchecked(pitch, self.length, duration));
        }
        self.length = end;
        Ok(())
    }

    /// The notes, rests left out.
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }

    /// The whole length, rests at both ends included.
    pub const fn length(&self) -> Time {
        self.length
    }

    /// Whether it has no notes.
    pub fn is_silent(&self) -> bool {
        self.notes.is_empty()
    }

    /// Notes and rests in order.
    pub fn events(&self) -> Vec<Event> {
        let mut events = Vec::with_capacity(self.notes.len());
        let mut now = Time::ZERO;
        let rest = |from: Time, to: Time| {
            let duration = to.checked_sub(from).unwrap_or(Time::ZERO);
            duration.is_positive().then_some(Event { onset: from, duration, pitch: None })
        };
        for note in &self.notes {
            events.extend(rest(now, note.onset()));
            events.push(Event { onset: note.onset(), duration: note.duration(), pitch: Some(note.pitch()) });
            now = note.end();
        }
        events.extend(rest(now, self.length));
        events
    }

    /// The coarsest grid on which all its times fall.
    ///
    /// # Errors
    /// If it would be too fine.
    pub fn grid(&self) -> Result<Grid, TimeError> {
        let times = self.notes.iter().flat_map(|note| [note.onset(), note.duration()]);
        Grid::of(times.chain([self.length]))
    }
}
