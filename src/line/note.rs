//! One note of a line.

use crate::pitch::Pitch;
use crate::time::Time;

/// A pitch with its onset and duration. Only a [`super::Line`] makes notes that follow one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Note {
    pitch: Pitch,
    onset: Time,
    duration: Time,
}

impl Note {
    /// A note; whether its times are sound is checked by the line it is put into.
    pub const fn new_unchecked(pitch: Pitch, onset: Time, duration: Time) -> Self {
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

    /// When it ends.
    pub fn end(self) -> Time {
        self.onset.checked_add(self.duration).unwrap_or(self.onset)
    }
}
