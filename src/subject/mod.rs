//! Subjects: the theme of a fugue, with its key and meter.

use crate::harmony::{Harmony, HarmonyError};
use crate::key::Key;
use crate::line::Line;
use crate::meter::Meter;
use crate::pitch::Pitch;
use crate::time::Time;

/// A subject.
///
/// Every subject guarantees: it has at least one note, begins with a note, lies in a known key
/// that its notes do not contradict, and its offset is a place in the bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Subject {
    id: Option<String>,
    title: Option<String>,
    key: Key,
    meter: Meter,
    offset: Time,
    line: Line,
    harmony: Option<Harmony>,
}

/// What makes a line no subject.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SubjectError {
    /// No notes.
    #[error("the subject is empty: write at least two notes, as in C4:1/4 G4")]
    Empty,
    /// The offset is not a place in the bar.
    #[error("the offset {offset} is not a place in a bar of {meter}: it must be at least 0 and less than {}", meter.bar())]
    Offset {
        /// The offset given.
        offset: Time,
        /// The meter.
        meter: Meter,
    },
    /// The notes contradict the key.
    #[error("the key {key} contradicts the notes: note {} is {pitch} (give the key that the theme is in, or respell it)", note + 1)]
    Key {
        /// The key given.
        key: Key,
        /// Index of the first foreign note.
        note: usize,
        /// Its pitch.
        pitch: Pitch,
    },
}

impl Subject {
    /// A subject whose first note stands at `offset` in its bar.
    ///
    /// # Errors
    /// If the line has no notes, the offset is no place in the bar, or the notes contradict the key.
    pub fn new(key: Key, meter: Meter, offset: Time, line: Line) -> Result<Self, SubjectError> {
        if line.is_silent() {
            return Err(SubjectError::Empty);
        }
        if offset < Time::ZERO || offset >= meter.bar() {
            return Err(SubjectError::Offset { offset, meter });
        }
        Ok(Self { id: None, title: None, key, meter, offset, line, harmony: None })
    }

    /// With a title.
    #[must_use]
    pub fn with_title(self, title: impl Into<String>) -> Self {
        Self { title: Some(title.into()), ..self }
    }

    /// With an id.
    #[must_use]
    pub fn with_id(self, id: impl Into<String>) -> Self {
        Self { id: Some(id.into()), ..self }
    }

    /// With the composer's harmony, timed from the first note.
    ///
    /// # Errors
    /// If it does not last as long as the subject.
    pub fn with_harmony(self, harmony: Harmony) -> Result<Self, HarmonyError> {
        harmony.check_length(self.line.length())?;
        Ok(Self { harmony: Some(harmony), ..self })
    }

    /// The id, if it has one.
    pub fn id(&self) -> Option<&str> {
        self.id.as_deref()
    }

    /// The title, if it has one.
    pub fn title(&self) -> Option<&str> {
        self.title.as_deref()
    }

    /// The key.
    pub const fn key(&self) -> Key {
        self.key
    }

    /// The meter.
    pub const fn meter(&self) -> Meter {
        self.meter
    }

    /// The place of the first note in its bar.
    pub const fn offset(&self) -> Time {
        self.offset
    }

    /// The notes.
    pub const fn line(&self) -> &Line {
        &self.line
    }

    /// The harmony, if the composer gave it.
    pub const fn harmony(&self) -> Option<&Harmony> {
        self.harmony.as_ref()
    }
}
