//! Lines made of lines.

use super::{Line, LineError, Note};
use crate::interval::Interval;
use crate::pitch::PitchError;
use crate::time::Time;

impl Line {
    /// The line moved by an interval.
    ///
    /// # Errors
    /// If a pitch cannot be written.
    pub fn moved(&self, by: Interval) -> Result<Self, PitchError> {
        let notes: Result<Vec<Note>, PitchError> = self
            .notes
            .iter()
            .map(|note| Ok(Note::new_unchecked(note.pitch().moved(by)?, note.onset(), note.duration())))
            .collect();
        Ok(Self { notes: notes?, length: self.length })
    }

    /// The line after a rest of the given length.
    ///
    /// # Errors
    /// If times get out of range.
    pub fn delayed(&self, by: Time) -> Result<Self, LineError> {
        let shift = |time: Time| time.checked_add(by).map_err(|source| LineError::Time { event: 0, source });
        let notes: Result<Vec<Note>, LineError> = self
            .notes
            .iter()
            .map(|note| Ok(Note::new_unchecked(note.pitch(), shift(note.onset())?, note.duration())))
            .collect();
        Self::from_notes(notes?, shift(self.length)?)
    }

    /// The line with rests added at the end until it has the given length.
    ///
    /// # Errors
    /// If a note would outlast the length.
    pub fn extended_to(&self, length: Time) -> Result<Self, LineError> {
        Self::from_notes(self.notes.iter().copied(), length)
    }
}
