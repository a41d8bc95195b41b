//! Lines: the notes and rests of one voice.
//!
//! A [`Line`] holds its [`Note`]s in order with exact onsets; rests are the gaps between them, so
//! two rests in a row are one. Ties do not exist: a tied note is one note. Text notation is
//! `F#4:1/8 R:1/4 Bb3` (a missing duration repeats the one before).
//!
//! ```
//! use soggetto::line::Line;
//! let head: Line = "C4:1/4 G4 R:1/8 A4 G4:1/4".parse()?;
//! assert_eq!(head.notes().len(), 4);
//! assert_eq!(head.length().to_string(), "1");
//! assert_eq!(head.to_string(), "C4:1/4 G4:1/4 R:1/8 A4:1/8 G4:1/4");
//! # Ok::<(), soggetto::line::LineError>(())
//! ```

mod bars;
mod error;
mod notation;
mod note;
mod profile;
#[cfg(test)]
pub(crate) mod strategy;
mod transform;
mod transpose;

pub(crate) use bars::Bars;
pub use error::LineError;
pub use notation::MAX_WORD;
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
    /// The division on which onsets and durations of the notes fall; zero before the first note.
    tick: Time,
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
    /// As [`Line::push`]; the error names the event.
    pub fn from_events(events: impl IntoIterator<Item = (Option<Pitch>, Time)>) -> Result<Self, LineError> {
        let mut line = Self::default();
        for (index, (pitch, duration)) in events.into_iter().enumerate() {
            line.push_event(index, pitch, duration)?;
        }
        Ok(line)
    }

    /// A line from notes with their onsets, and its whole length.
    ///
    /// # Errors
    /// As [`Line::push`], and if a note begins before 0 or before the one before has ended, or if
    /// the length is less than where the last note ends.
    pub fn from_notes(notes: impl IntoIterator<Item = Note>, length: Time) -> Result<Self, LineError> {
        let mut line = Self::default();
        for (index, note) in notes.into_iter().enumerate() {
            let onset = note.onset();
            if onset < Time::ZERO {
                return Err(LineError::Early { note: index, onset });
            }
            if onset < line.length {
                return Err(LineError::Overlap { note: index, onset, end: line.length });
            }
            line.length = onset;
            line.push_event(index, Some(note.pitch()), note.duration())?;
        }
        if length < line.length {
            return Err(LineError::Length { end: line.length, length });
        }
        line.set_length(line.notes.len(), length)?;
        Ok(line)
    }

    /// Adds a note, or a rest where the pitch is `None`, at the end, in constant time.
    ///
    /// # Errors
    /// If the duration is not positive, there are already [`MAX_NOTES`], or times get too fine or
    /// too large. The line then stays as it was. The error counts the notes, not the rests.
    pub fn push(&mut self, pitch: Option<Pitch>, duration: Time) -> Result<(), LineError> {
        self.push_event(self.notes.len(), pitch, duration)
    }

    /// Adds what is, for the reader of an error, event `event`.
    fn push_event(&mut self, event: usize, pitch: Option<Pitch>, duration: Time) -> Result<(), LineError> {
        if !duration.is_positive() {
            return Err(LineError::Duration { event, duration });
        }
        if self.notes.len() >= MAX_NOTES {
            return Err(LineError::TooLong { event });
        }
        let onset = self.length;
        let end = onset.checked_add(duration).map_err(|source| LineError::Time { event, source })?;
        let Some(pitch) = pitch else { return self.set_length(event, end) };
        let grid = Grid::of([self.tick, onset, duration]);
        self.tick = grid.and_then(|grid| grid.time(1)).map_err(|source| LineError::Time { event, source })?;
        self.notes.push(Note::new(pitch, onset, duration));
        self.length = end;
        Ok(())
    }

    fn set_length(&mut self, event: usize, length: Time) -> Result<(), LineError> {
        Grid::of([self.tick, length]).map_err(|source| LineError::Time { event, source })?;
        self.length = length;
        Ok(())
    }

    /// With another pitch for a note, if there is one of that index: no time changes.
    pub(crate) fn set_pitch(&mut self, index: usize, pitch: Pitch) {
        if let Some(note) = self.notes.get_mut(index) {
            *note = Note::new(pitch, note.onset(), note.duration());
        }
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

    /// Notes and rests in order; two rests never follow each other.
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

    /// The coarsest grid on which all its times fall, in constant time.
    ///
    /// # Errors
    /// If it would be too fine, which the guarantees of a line exclude.
    pub fn grid(&self) -> Result<Grid, TimeError> {
        Grid::of([self.tick, self.length])
    }
}

#[cfg(test)]
mod tests;
