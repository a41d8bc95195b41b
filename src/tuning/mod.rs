//! Tuning: just ratios, cents and frequencies. The only home of floating point.
//!
//! A [`Ratio`] is exact. [`just_ratio`] gives the ratio of an interval in five-limit just
//! intonation, [`Ratio::cents`] its size in cents (1200 to the octave); [`just_cents`] and
//! [`tempered_cents`] size an interval in just intonation and in equal temperament. A
//! [`ConcertPitch`] gives each pitch its frequency in hertz.
//!
//! ```
//! use soggetto::interval::Interval;
//! use soggetto::tuning::{Ratio, just_ratio, tempered_cents};
//! let third = just_ratio(Interval::MAJOR_THIRD);
//! assert_eq!(third, Ratio::new(5, 4)?);
//! assert!((third.cents() - 386.314).abs() < 0.001);
//! assert_eq!(tempered_cents(Interval::MAJOR_THIRD), 400.0);
//! # Ok::<(), soggetto::tuning::TuningError>(())
//! ```
#![expect(clippy::float_arithmetic, reason = "cents and hertz are real numbers; no other layer sees them")]

mod error;
mod just;
mod ratio;
mod tempered;

pub use error::TuningError;
pub use just::{just_cents, just_ratio};
pub use ratio::Ratio;
pub use tempered::{ConcertPitch, MAX_HERTZ, MIN_HERTZ, tempered_cents};
