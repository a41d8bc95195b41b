//! Standard MIDI Files (type 1): for players and sequencers.
//!
//! [`read()`] reads files from elsewhere: see [`crate::interchange::reading`].
//!
//! [`write()`] takes a score or an exposition. The first track holds title, tempo, meter, key and
//! the labels as markers; then follows a track a voice with its name and sound. Times are exact:
//! the ticks of a quarter note are chosen so that every onset falls on one. Repeated notes are
//! struck again, and every note ends.
//!
//! A pickup is announced as a bar of its own length where the format can say so. A key without
//! signature is left out: the format has no way to name it, and the notes sound the same.
//!
//! ```
//! use soggetto::interchange::midi;
//! use soggetto::score::{Part, Score};
//! use soggetto::voice::Voice;
//! let part = Part { voice: Voice::new("Alto"), line: "C4:1/4 G4 E4:1/2".parse()? };
//! let score = Score::new("C major".parse()?, "4/4".parse()?, "0".parse()?, vec![part])?;
//! assert!(midi::write(&score)?.starts_with(b"MThd"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Source: MIDI Manufacturers Association, *Standard MIDI Files 1.0*.

mod clock;
mod error;
mod read;
mod track;
mod write;

pub use error::WriteError;
pub use read::{ReadError, read};
pub use write::write;
