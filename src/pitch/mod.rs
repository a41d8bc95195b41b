//! Spelled pitches: points in the same lattice in which intervals are vectors.
//!
//! [`Pitch`] is a [`PitchClass`] (a [`Letter`] with its alteration) in an octave. `p - q` is the
//! interval from `q` up to `p`; a pitch moved by an interval is a pitch, or an error beyond the
//! limits of notation. Octaves change at C: C4 is middle C, and Cb4 sounds below it (scientific
//! pitch notation).
//!
//! ```
//! use soggetto::interval::Interval;
//! use soggetto::pitch::Pitch;
//! let (low, high): (Pitch, Pitch) = ("F#4".parse()?, "C5".parse()?);
//! assert_eq!(high - low, Interval::DIMINISHED_FIFTH);
//! assert_eq!(low.moved(Interval::DIMINISHED_FIFTH)?, high);
//! # Ok::<(), soggetto::pitch::PitchError>(())
//! ```

mod class;
mod error;
mod letter;
mod notation;
mod spelled;

pub use class::PitchClass;
#[cfg(test)]
pub(crate) use class::any_pitch_class;
pub use error::PitchError;
pub use letter::Letter;
#[cfg(test)]
pub(crate) use spelled::any_pitch;
pub use spelled::{MAX_ACCIDENTALS, MAX_OCTAVE, MIN_OCTAVE, Pitch};
