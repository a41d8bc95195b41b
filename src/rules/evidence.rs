//! What a finding rests on, as data.

use super::words::{Going, Length, Words};
use crate::interval::Interval;
use crate::pitch::Pitch;
use crate::texture::{Step, Texture};
use crate::time::Time;
use std::fmt;

/// What was seen.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Evidence {
    /// Two voices going from one pair of notes to another.
    Motion {
        /// The upper voice before and after.
        upper: [Pitch; 2],
        /// The lower voice before and after.
        lower: [Pitch; 2],
    },
    /// One voice going from a note to the next.
    Melody {
        /// The note left.
        from: Pitch,
        /// The note reached.
        to: Pitch,
        /// The interval between them.
        interval: Interval,
    },
    /// Two notes sounding together.
    Vertical {
        /// The upper note.
        upper: Pitch,
        /// The lower note.
        lower: Pitch,
        /// The interval between them.
        interval: Interval,
    },
    /// A single note, with the limit it passes.
    Limit {
        /// The note.
        pitch: Pitch,
        /// The limit.
        limit: Pitch,
    },
    /// A note, and what is due in its place.
    Instead {
        /// The note.
        found: Pitch,
        /// What is due.
        due: Pitch,
    },
    /// A stretch of time.
    Stretch {
        /// How long it lasts, in whole notes.
        duration: Time,
    },
}

/// How much it is of which a finding tells, as width or as duration: of two findings alike the one with more is worse.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Extent {
    /// How far apart the notes are, in semitones.
    width: i32,
    /// How long it lasts, in whole notes.
    duration: Time,
}

impl Evidence {
    /// Of how much it tells: of two notes how wide they are apart, of a stretch how long it is.
    pub(crate) fn extent(&self) -> Extent {
        let width = |interval: Interval| Extent { width: interval.semitones().abs(), ..Extent::default() };
        match *self {
            Self::Melody { interval, .. } | Self::Vertical { interval, .. } => width(interval),
            Self::Limit { pitch, limit } => width(pitch - limit),
            Self::Stretch { duration } => Extent { width: 0, duration },
            Self::Motion { .. } | Self::Instead { .. } => Extent::default(),
        }
    }

    /// Two voices going from moment to moment.
    pub fn of_step(step: &Step<'_>) -> Self {
        Self::Motion { upper: step.upper(), lower: step.lower() }
    }

    /// A voice going from a pitch to a pitch.
    pub fn of_melody(from: Pitch, to: Pitch) -> Self {
        Self::Melody { from, to, interval: to - from }
    }

    /// Two pitches sounding together.
    pub fn of_vertical(one: Pitch, other: Pitch) -> Self {
        let (upper, lower) = if one.height() >= other.height() { (one, other) } else { (other, one) };
        Self::Vertical { upper, lower, interval: upper - lower }
    }

    /// A stretch of ticks.
    pub fn of_stretch(texture: &Texture<'_>, ticks: i64) -> Self {
        Self::Stretch { duration: texture.time(ticks) }
    }
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Motion { upper, lower } => {
                write!(f, "{} over {}, then {} over {}; ", upper[0], lower[0], upper[1], lower[1])?;
                motion_in_words(upper[1] - upper[0], lower[1] - lower[0], f)
            }
            Self::Melody { from, to, interval } => write!(f, "{from} to {to}, {}", Words(*interval)),
            Self::Vertical { upper, lower, interval } => {
                write!(f, "{upper} over {lower}, {}", Words(*interval))
            }
            Self::Limit { pitch, limit } => write!(f, "{pitch}, the limit being {limit}"),
            Self::Instead { found, due } => write!(f, "{found} instead of {due}"),
            Self::Stretch { duration } => Length(*duration).fmt(f),
        }
    }
}

fn motion_in_words(upper: Interval, lower: Interval, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    if upper == lower && upper != Interval::UNISON {
        let verb = if upper.is_descending() { "fall" } else { "rise" };
        return write!(f, "both {verb} {}", Words(upper));
    }
    write!(f, "the upper voice {}, the lower {}", Going(upper), Going(lower))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pitch(name: &str) -> Pitch {
        name.parse().unwrap()
    }

    #[test]
    fn evidence_reads_as_in_a_margin() {
        let motion = |upper: [&str; 2], lower: [&str; 2]| {
            Evidence::Motion { upper: upper.map(pitch), lower: lower.map(pitch) }.to_string()
        };
        assert_eq!(
            motion(["E4", "D4"], ["A3", "G3"]),
            "E4 over A3, then D4 over G3; both fall a major second"
        );
        assert_eq!(
            motion(["E4", "A4"], ["C4", "D4"]),
            "E4 over C4, then A4 over D4; the upper voice rises a perfect fourth, the lower rises a major second"
        );
        assert_eq!(
            Evidence::of_melody(pitch("F4"), pitch("G#4")).to_string(),
            "F4 to G#4, an augmented second"
        );
        assert_eq!(Evidence::of_vertical(pitch("C4"), pitch("D5")).to_string(), "D5 over C4, a major ninth");
        let limit = Evidence::Limit { pitch: pitch("Bb5"), limit: pitch("A5") };
        assert_eq!(limit.to_string(), "Bb5, the limit being A5");
        let instead = Evidence::Instead { found: pitch("F4"), due: pitch("F#4") };
        assert_eq!(instead.to_string(), "F4 instead of F#4");
        let stretch = Evidence::Stretch { duration: "3/4".parse().unwrap() };
        assert_eq!(stretch.to_string(), "3/4 of a whole note");
    }
}
