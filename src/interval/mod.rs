//! Spelled intervals: exact vectors of diatonic steps and semitones.
//!
//! An [`Interval`] knows its direction, number and [`Quality`]; it knows nothing of pitches, and
//! never mistakes an augmented fourth for a diminished fifth. Intervals are vectors, pitches are
//! points: the operators between the two live in [`crate::pitch`]. How an interval is heard is its
//! [`Consonance`]; the perfect fourth is dissonant or free according to what lies
//! [`Above`] what.
//!
//! ```
//! use soggetto::interval::{Above, Interval};
//! let tenth: Interval = "M10".parse()?;
//! assert_eq!(tenth.name(), "major tenth");
//! assert_eq!(tenth.simple(), Interval::MAJOR_THIRD);
//! assert_eq!(tenth.inverted()?, Interval::MINOR_SIXTH);
//! assert_eq!(tenth.semitones(), 16);
//! assert!(!Interval::PERFECT_FOURTH.is_consonant(Above::LowestVoice));
//! # Ok::<(), soggetto::interval::IntervalError>(())
//! ```
//!
//! Terms: an interval wider than an octave is *compound*; its *simple* form has the octaves taken
//! out, but an octave stays an octave (common practice). *Number* counts inclusively, *steps* do
//! not: a third is two steps.

mod arithmetic;
mod consonance;
mod error;
mod name;
mod notation;
mod quality;
mod spelled;

pub use consonance::{Above, Consonance};
pub use error::IntervalError;
pub use quality::Quality;
#[cfg(test)]
pub(crate) use spelled::any_interval;
pub(crate) use spelled::natural_semitones;
pub use spelled::{Direction, Interval, MAX_ALTERATION, MAX_STEPS};
