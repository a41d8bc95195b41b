//! Why music cannot be written as a Standard MIDI File.

use crate::pitch::Pitch;
use crate::time::{Time, TimeError};

/// Why music cannot be written as a Standard MIDI File.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum WriteError {
    /// A note sounds outside the range of the format.
    #[error(
        "{part}, note {}: {pitch} is out of range: the format has notes from C-1 to G9 (move it by octaves)", note + 1
    )]
    Pitch {
        /// The name of the part.
        part: String,
        /// Index of the note, from 0.
        note: usize,
        /// Its pitch.
        pitch: Pitch,
    },
    /// A note comes later than the format can count from the event before it.
    #[error(
        "{part}, note {}: it lies too far from the note before, at {onset} whole notes (shorten the rests)", note + 1
    )]
    Late {
        /// The name of the part.
        part: String,
        /// Index of the note, from 0.
        note: usize,
        /// When it begins or ends.
        onset: Time,
    },
    /// More voices than channels.
    #[error("{voices} voices are too many: the format has 15 channels besides percussion (leave {} out)", voices - 15)]
    Voices {
        /// How many there are.
        voices: usize,
    },
    /// The times of the score divide the quarter note too finely.
    #[error(
        "the notes divide the quarter into {ticks} ticks: the format has at most {} (use simpler durations)",
        i16::MAX
    )]
    Fine {
        /// The ticks a quarter note would need.
        ticks: i64,
    },
    /// The tempo is too slow for the format.
    #[error(
        "a quarter note of {microseconds} microseconds is too slow: at most 16777215 (choose a faster tempo)"
    )]
    Tempo {
        /// How long a quarter note would last.
        microseconds: i64,
    },
    /// The times of the score have no common division.
    #[error("the parts have no common division of time: {source}")]
    Grid {
        /// What is wrong.
        source: TimeError,
    },
}

impl WriteError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Pitch { .. } => "midi-pitch",
            Self::Late { .. } => "midi-late",
            Self::Voices { .. } => "midi-voices",
            Self::Fine { .. } => "midi-fine",
            Self::Tempo { .. } => "midi-tempo",
            Self::Grid { .. } => "midi-grid",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_without_a_common_division_are_refused() {
        let source = TimeError::Range { numerator: 1, denominator: 2_000_000 };
        let error = WriteError::Grid { source };
        assert_eq!(
            error.to_string(),
            "the parts have no common division of time: 1/2000000 is out of range: denominators go to 1000000, \
             times to 1000000 whole notes"
        );
        assert_eq!(error.code(), "midi-grid");
    }
}
