//! MusicXML 4.0 (partwise): for engraving programs, and from them.
//!
//! [`read()`] and [`read_bytes`] read scores from elsewhere: see [`crate::interchange::reading`].
//!
//! [`write()`] takes a score or an exposition, one part a voice. Notes are tied over bar lines and
//! where they would hide a beat, transposing parts are written as their players read them, and
//! accidentals are given by the rule of the bar: where a note's alteration differs from the
//! signature or from the last one on its line or space in the same bar. Short notes are beamed by
//! the [beat groups](crate::meter::Meter::beat_groups) of the meter; stems are left to the reader.
//!
//! ```
//! use soggetto::interchange::musicxml;
//! use soggetto::score::{Part, Score};
//! use soggetto::voice::Voice;
//! let part = Part { voice: Voice::new("Alto"), line: "C4:1/4 G4 E4:1/2".parse()? };
//! let score = Score::new("C major".parse()?, "4/4".parse()?, "0".parse()?, vec![part])?;
//! let text = musicxml::write(&score)?;
//! assert!(text.contains("<part-name>Alto</part-name>"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Source: W3C Music Notation Community Group, *MusicXML Version 4.0*.

mod accidental;
mod attributes;
mod error;
mod note;
mod part;
mod read;
mod rhythm;
mod transposed;
mod write;

#[cfg(test)]
mod tests;

pub use error::WriteError;
pub use read::{ReadError, Spot, read, read_bytes};
pub use write::write;
