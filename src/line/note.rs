//! One note of a line.

use crate::pitch::Pitch;
use crate::time::Time;

/// A pitch with its onset and duration, in fractions of a whole note.
///
/// A note on its own promises nothing about its times: only a [`super::Line`] knows the notes
/// beside it, and it takes in none that is without length, too early or overlapping.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Note {
    pitch: Pitch,
    onset: Time,
    duration: Time,
}

impl Note {
    /// A note that begins at `onset`, counted from the beginning of its line.
    pub const fn new(pitch: Pitch, onset: Time, duration: Time) -> Self {
        Self { pitch, onset, duration }
    }

    /// The pitch.
    pub const fn pitch(self) -> Pitch {
        self.pitch
    }

    /// When it begins, from the beginning of the line.
    pub const fn onset(self) -> Time {
        self.onset
    }

    /// How long it lasts.
    pub const fn duration(self) -> Time {
        self.duration
    }

    /// When it ends. The end of a note of a line always exists; that of a loose note beyond all
    /// limits of time is its onset.
    pub fn end(self) -> Time {
        self.onset.checked_add(self.duration).unwrap_or(self.onset)
    }

    /// Whether it sounds at a time: from its onset on, and no longer at its end.
    pub fn sounds_at(self, time: Time) -> bool {
        self.onset <= time && time < self.end()
    }
}
