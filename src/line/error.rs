//! What can be wrong with a line.

use super::{MAX_NOTES, MAX_WORD};
use crate::meter::Meter;
use crate::pitch::PitchError;
use crate::time::{Time, TimeError};

/// What makes a text or a list of notes no line. Notes and events (notes or rests, bar lines not
/// among them) are counted from 1 in messages and from 0 in the fields.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LineError {
    /// A word is no pitch.
    #[error("note {}: {source}", event + 1)]
    Pitch {
        /// Index of the event.
        event: usize,
        /// What is wrong.
        source: PitchError,
    },
    /// A duration is no time, or a time out of range.
    #[error("note {}: {source}", event + 1)]
    Time {
        /// Index of the event.
        event: usize,
        /// What is wrong.
        source: TimeError,
    },
    /// A word is longer than any note.
    #[error("note {}: a word of {bytes} bytes is no note: a note has at most {MAX_WORD}, and spaces part it from the next", event + 1)]
    Word {
        /// Index of the event.
        event: usize,
        /// Its length.
        bytes: usize,
    },
    /// The first event has no duration to repeat.
    #[error("note 1 has no duration: write it after a colon, as in C4:1/4")]
    NoDuration,
    /// A duration is zero or negative.
    #[error("note {}: a duration of {duration} is impossible: it must be greater than 0", event + 1)]
    Duration {
        /// Index of the event.
        event: usize,
        /// The duration.
        duration: Time,
    },
    /// A bar line stands where the meter has none, or is missing where it has one.
    #[error("bar {bar} is too {} by {by}: it holds {holds} where the meter {meter} allows {allows}", if *long { "long" } else { "short" })]
    Bar {
        /// The bar, counted from 1, a pickup being bar 0.
        bar: i64,
        /// Too long, or else too short.
        long: bool,
        /// By how much.
        by: Time,
        /// What the bar holds.
        holds: Time,
        /// What it may hold.
        allows: Time,
        /// The meter.
        meter: Meter,
    },
    /// Bar lines without a meter to check them against.
    #[error("a bar line needs a meter to be checked against: give the meter, or leave the bar lines out")]
    BarLine,
    /// A bar line that sticks to something.
    #[error("note {}: {word:?} holds a bar line: write | by itself, with spaces around it", event + 1)]
    StuckBarLine {
        /// Index of the event.
        event: usize,
        /// The word.
        word: String,
    },
    /// The offset is not a place in the bar.
    #[error("the offset {offset} is not a place in a bar of {meter}: it must be at least 0 and less than {}", meter.bar())]
    Offset {
        /// The offset given.
        offset: Time,
        /// The meter.
        meter: Meter,
    },
    /// A note begins before the line does.
    #[error("note {} begins at {onset}: a line begins at 0 (delay it by {})", note + 1, magnitude(*onset))]
    Early {
        /// Index of the note.
        note: usize,
        /// Its onset.
        onset: Time,
    },
    /// A note begins before the one before has ended.
    #[error("note {} begins at {onset}, before the one before has ended at {end}: a line has one note at a time", note + 1)]
    Overlap {
        /// Index of the later note.
        note: usize,
        /// Its onset.
        onset: Time,
        /// The end of the note before.
        end: Time,
    },
    /// The notes outlast the length, or the length is negative.
    #[error(
        "a line whose last note ends at {end} cannot have the length {length}: it must be at least {end}"
    )]
    Length {
        /// Where the last note ends; 0 if there are none.
        end: Time,
        /// The length asked for.
        length: Time,
    },
    /// A stretch that is not within the line.
    #[error(
        "from {from} to {to} is no stretch of a line of length {length}: 0 comes first, then the beginning, the end, the length"
    )]
    Stretch {
        /// The beginning asked for.
        from: Time,
        /// The end asked for.
        to: Time,
        /// The length of the line.
        length: Time,
    },
    /// A factor that leaves no durations.
    #[error("a line cannot be made {numerator}/{denominator} times as long: both numbers must be at least 1")]
    Factor {
        /// The numerator.
        numerator: u32,
        /// The denominator.
        denominator: u32,
    },
    /// More notes than a line may have.
    #[error("note {}: a line has at most {MAX_NOTES} notes: split it", event + 1)]
    TooLong {
        /// Index of the event.
        event: usize,
    },
}

impl LineError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Pitch { source, .. } => source.code(),
            Self::Time { source, .. } => source.code(),
            Self::Word { .. } => "line-word",
            Self::NoDuration => "line-no-duration",
            Self::Duration { .. } => "line-duration",
            Self::Bar { .. } => "line-bar",
            Self::BarLine => "line-bar-line",
            Self::StuckBarLine { .. } => "line-stuck-bar-line",
            Self::Offset { .. } => "line-offset",
            Self::Early { .. } => "line-early",
            Self::Overlap { .. } => "line-overlap",
            Self::Length { .. } => "line-length",
            Self::Stretch { .. } => "line-stretch",
            Self::Factor { .. } => "line-factor",
            Self::TooLong { .. } => "line-too-long",
        }
    }
}

/// A time without its sign.
fn magnitude(time: Time) -> Time {
    time.scaled(-1, 1).map_or(time, |mirrored| mirrored.max(time))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;

    /// Each text is about the shortest that is wrong in this way.
    #[test]
    fn codes_tell_the_kind_of_error() {
        let rows = [
            ("H4:1", "pitch-letter"),
            ("C4:x", "time-syntax"),
            (&"C".repeat(65), "line-word"),
            ("C4", "line-no-duration"),
            ("C4:0", "line-duration"),
            ("C4:1/4 | D4", "line-bar"),
            ("C4:1|", "line-stuck-bar-line"),
        ];
        let meter: Meter = "4/4".parse().unwrap();
        for (text, code) in rows {
            assert_eq!(Line::parse_in(text, meter, Time::ZERO).unwrap_err().code(), code, "{text}");
        }
        assert_eq!("|".parse::<Line>().unwrap_err().code(), "line-bar-line");
        assert_eq!(Line::parse_in("", meter, Time::WHOLE).unwrap_err().code(), "line-offset");
        let line: Line = "C4:1".parse().unwrap();
        let back = Time::new(-1, 1).unwrap();
        assert_eq!(line.delayed(back).unwrap_err().code(), "line-early");
        assert_eq!(line.extended_to(Time::ZERO).unwrap_err().code(), "line-length");
        assert_eq!(line.sliced(back, Time::ZERO).unwrap_err().code(), "line-stretch");
        assert_eq!(line.augmented(0).unwrap_err().code(), "line-factor");
        let twice = line.notes().iter().chain(line.notes()).copied();
        assert_eq!(Line::from_notes(twice, Time::WHOLE).unwrap_err().code(), "line-overlap");
    }
}
