//! What makes a line no subject.

use crate::harmony::HarmonyError;
use crate::key::{Key, KeyError};
use crate::line::LineError;
use crate::meter::{Meter, MeterError};
use crate::pitch::Pitch;
use crate::time::{Time, TimeError};

/// What makes a line no subject. Notes are counted from 1 in messages and from 0 in the fields.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SubjectError {
    /// No notes.
    #[error("the subject is empty: write at least two notes, as in C4:1/4 G4")]
    Empty,
    /// One note alone.
    #[error("the subject has one note: write at least two, as in C4:1/4 G4")]
    OneNote,
    /// More notes than a subject may have.
    #[error(
        "the subject has {notes} notes: at most {} are allowed (give the theme alone, not the piece)",
        super::MAX_NOTES
    )]
    TooManyNotes {
        /// How many there are.
        notes: usize,
    },
    /// Longer than a subject may be.
    #[error(
        "the subject lasts {length} whole notes: at most {limit} are allowed, {} bars (give the theme alone, not the piece)",
        super::MAX_BARS
    )]
    TooLong {
        /// How long it is.
        length: Time,
        /// How long it may be.
        limit: Time,
    },
    /// The offset is not a place in the bar.
    #[error("the offset {offset} is not a place in a bar of {meter}: it must be at least 0 and less than {}", meter.bar())]
    Offset {
        /// The offset given.
        offset: Time,
        /// The meter.
        meter: Meter,
    },
    /// The notes contradict the key.
    ///
    /// Every note is heard in the key or in its dominant, at a cost for each note that is foreign
    /// there; first and last note cost something if they are not of the tonic or dominant triad.
    /// The key is refused if another key costs clearly less, or if no key makes sense of the notes.
    /// So a subject wholly in the dominant, one that modulates and a chromatic one all pass.
    #[error(
        "the key {key} contradicts the notes: note {} is {pitch}, foreign to it ({})",
        note + 1,
        fits.map_or_else(
            || "give the key that the theme is in, or respell it".to_owned(),
            |fits| format!("the notes are those of {fits}: write that key, or respell the theme")
        )
    )]
    Key {
        /// The key given.
        key: Key,
        /// Index of the first foreign note.
        note: usize,
        /// Its pitch.
        pitch: Pitch,
        /// The key that fits clearly better, if there is one.
        fits: Option<Key>,
    },
    /// The harmony cannot be used.
    #[error(transparent)]
    Harmony(#[from] HarmonyError),
    /// The text of the key cannot be read.
    #[error(transparent)]
    KeyText(#[from] KeyError),
    /// The text of the meter cannot be read.
    #[error(transparent)]
    Meter(#[from] MeterError),
    /// A time cannot be read or is out of range.
    #[error(transparent)]
    Time(#[from] TimeError),
    /// The text of the line cannot be read.
    #[error(transparent)]
    Line(#[from] LineError),
}

impl SubjectError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Empty => "subject-empty",
            Self::OneNote => "subject-one-note",
            Self::TooManyNotes { .. } => "subject-too-many-notes",
            Self::TooLong { .. } => "subject-too-long",
            Self::Offset { .. } => "subject-offset",
            Self::Key { .. } => "subject-key",
            Self::Harmony(error) => error.code(),
            Self::KeyText(error) => error.code(),
            Self::Meter(error) => error.code(),
            Self::Time(error) => error.code(),
            Self::Line(error) => error.code(),
        }
    }
}
