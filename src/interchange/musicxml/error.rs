//! Why music cannot be written as MusicXML.

use super::rhythm::{MAX_BARS, RhythmError};
use crate::key::KeyError;
use crate::pitch::{Pitch, PitchError};
use crate::time::{Time, TimeError};

/// Why music cannot be written as MusicXML.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum WriteError {
    /// A note or rest has no note value, not even in parts tied together.
    #[error(
        "{part}, bar {bar}: a note or rest of {duration} has no note value (use halves, thirds, fifths and the like of the beat, none shorter than 1/1024)"
    )]
    Duration {
        /// The name of the part.
        part: String,
        /// The bar, a pickup being bar 0.
        bar: i64,
        /// How long the note or rest lasts.
        duration: Time,
    },
    /// More bars than are written.
    #[error("{bars} bars are too many to write: at most {MAX_BARS} (split the piece)")]
    Bars {
        /// How many there would be.
        bars: i64,
    },
    /// The key of a part has no signature.
    #[error("{part}: {source}")]
    Key {
        /// The name of the part.
        part: String,
        /// What is wrong.
        source: KeyError,
    },
    /// A note of a transposing part cannot be written.
    #[error("{part}, note {}: {source}", note + 1)]
    Pitch {
        /// The name of the part.
        part: String,
        /// Index of the note, from 0.
        note: usize,
        /// What is wrong.
        source: PitchError,
    },
    /// A note is written in an octave that the format does not have.
    #[error("{part}, note {}: {pitch} is too low for this format, whose octaves begin with 0 (move it up)", note + 1)]
    Octave {
        /// The name of the part.
        part: String,
        /// Index of the note, from 0.
        note: usize,
        /// The written pitch.
        pitch: Pitch,
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
            Self::Duration { .. } => "musicxml-duration",
            Self::Bars { .. } => "musicxml-bars",
            Self::Key { .. } => "musicxml-key",
            Self::Pitch { .. } => "musicxml-pitch",
            Self::Octave { .. } => "musicxml-octave",
            Self::Grid { .. } => "musicxml-grid",
        }
    }

    pub(super) fn in_part(error: RhythmError, part: &str) -> Self {
        match error {
            RhythmError::Unwritable { bar, duration } => {
                Self::Duration { part: part.to_owned(), bar, duration }
            }
            RhythmError::Bars { bars } => Self::Bars { bars },
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
        assert_eq!(error.code(), "musicxml-grid");
    }
}
