//! Why a file cannot be read as MusicXML.

use super::super::super::reading::{MAX_BYTES, MAX_READ_BARS, MAX_READ_NOTES};
use crate::meter::{Meter, MeterError};
use crate::pitch::PitchError;
use crate::score::ScoreError;
use crate::time::{Time, TimeError};
use std::fmt;

/// A place in the file: a part and a bar, a pickup being bar 0.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spot {
    /// The name of the part.
    pub part: String,
    /// The bar.
    pub bar: i64,
}

impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, bar {}", self.part, self.bar)
    }
}

/// Why a file cannot be read as MusicXML.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// The packed file cannot be unpacked.
    #[error(
        "the packed file cannot be opened: {message} (export it again, or unpack it and give the .musicxml in it)"
    )]
    Archive {
        /// What is wrong.
        message: String,
    },
    /// The text is in no encoding that is known.
    #[error("the text is neither UTF-8 nor UTF-16 (export it again as UTF-8)")]
    Encoding,
    /// Larger than is read.
    #[error("the file has more than {MAX_BYTES} bytes when unpacked (give a file with one piece of music)")]
    TooLarge,
    /// More bars than are read.
    #[error("the file has more than {MAX_READ_BARS} bars (split the piece)")]
    Bars,
    /// More notes than are read.
    #[error("the file has more than {MAX_READ_NOTES} notes (split the piece)")]
    Notes,
    /// It declares entities.
    #[error("the file declares entities of its own, which are not read (export it again without them)")]
    Entities,
    /// The text is no XML.
    #[error("line {line}, column {column}: {message} (the file is damaged: export it again)")]
    Xml {
        /// The line, from 1.
        line: u32,
        /// The column, from 1.
        column: u32,
        /// What is wrong.
        message: String,
    },
    /// The XML is no score.
    #[error(
        "<{found}> is no score: expected <score-partwise> or <score-timewise> (export the score as MusicXML)"
    )]
    Root {
        /// The outermost element.
        found: String,
    },
    /// There is no part.
    #[error("the score has no part with bars (export a score with music)")]
    Empty,
    /// An element is not there.
    #[error("{spot}: a <{inside}> has no <{element}> (enter it anew and export again)")]
    Missing {
        /// Where.
        spot: Spot,
        /// What lacks it.
        inside: &'static str,
        /// What is missing.
        element: &'static str,
    },
    /// An element holds something else than it should.
    #[error("{spot}: <{element}> is {text:?}: expected {expected} (enter it anew and export again)")]
    Value {
        /// Where.
        spot: Spot,
        /// The element.
        element: &'static str,
        /// What it holds, cut if long.
        text: String,
        /// What it should hold.
        expected: &'static str,
    },
    /// A pitch between the semitones.
    #[error(
        "{spot}: a note is altered by {text}: only whole semitones are read (write it without quarter tones)"
    )]
    Quartertone {
        /// Where.
        spot: Spot,
        /// The alteration.
        text: String,
    },
    /// A pitch that cannot be written.
    #[error("{spot}: {source}")]
    Pitch {
        /// Where.
        spot: Spot,
        /// What is wrong.
        source: PitchError,
    },
    /// A meter that cannot be.
    #[error("{spot}: {source}")]
    Meter {
        /// Where.
        spot: Spot,
        /// What is wrong.
        source: MeterError,
    },
    /// A time out of range.
    #[error("{spot}: {source} (simplify the rhythm)")]
    Time {
        /// Where.
        spot: Spot,
        /// What is wrong.
        source: TimeError,
    },
    /// A bar is longer than the meter allows.
    #[error("{spot} is too long by {by} for the meter {meter} (shorten its notes, or split the bar)")]
    LongBar {
        /// Where.
        spot: Spot,
        /// By how much.
        by: Time,
        /// The meter.
        meter: Meter,
    },
    /// What was read is no score.
    #[error(transparent)]
    Score(#[from] ScoreError),
}

impl ReadError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Archive { .. } => "musicxml-archive",
            Self::Encoding => "musicxml-encoding",
            Self::TooLarge => "musicxml-too-large",
            Self::Bars => "musicxml-too-many-bars",
            Self::Notes => "musicxml-too-many-notes",
            Self::Entities => "musicxml-entities",
            Self::Xml { .. } => "musicxml-syntax",
            Self::Root { .. } => "musicxml-root",
            Self::Empty => "musicxml-empty",
            Self::Missing { .. } => "musicxml-missing",
            Self::Value { .. } => "musicxml-value",
            Self::Quartertone { .. } => "musicxml-quartertone",
            Self::Pitch { source, .. } => source.code(),
            Self::Meter { source, .. } => source.code(),
            Self::Time { source, .. } => source.code(),
            Self::LongBar { .. } => "musicxml-long-bar",
            Self::Score(source) => source.code(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spot() -> Spot {
        Spot { part: "Alto".to_owned(), bar: 3 }
    }

    /// The messages that no score of `shared/scores` and no test of the reader quotes.
    #[test]
    fn messages_say_what_where_and_how_to_mend() {
        let time = TimeError::ZeroDenominator { numerator: 1 };
        let rows = [
            (ReadError::Encoding, "the text is neither UTF-8 nor UTF-16 (export it again as UTF-8)"),
            (ReadError::Bars, "the file has more than 20000 bars (split the piece)"),
            (ReadError::Notes, "the file has more than 1000000 notes (split the piece)"),
            (
                ReadError::Xml { line: 3, column: 7, message: "unexpected end of stream".to_owned() },
                "line 3, column 7: unexpected end of stream (the file is damaged: export it again)",
            ),
            (
                ReadError::Missing { spot: spot(), inside: "note", element: "duration" },
                "Alto, bar 3: a <note> has no <duration> (enter it anew and export again)",
            ),
            (
                ReadError::Time { spot: spot(), source: time },
                "Alto, bar 3: 1/0 is not a time: the denominator must be at least 1 (simplify the rhythm)",
            ),
            (
                ReadError::Meter { spot: spot(), source: MeterError::Upper { text: "0/4".to_owned() } },
                &format!("Alto, bar 3: {}", MeterError::Upper { text: "0/4".to_owned() }),
            ),
            (ReadError::Score(ScoreError::Parts { count: 0 }), "a score has 1 to 16 parts, not 0"),
        ];
        for (error, message) in rows {
            assert_eq!(error.to_string(), message);
            assert!(!error.code().is_empty());
        }
    }
}
