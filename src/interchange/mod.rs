//! Interchange: how music enters and leaves the library.
//!
//! What a notation format writes is a [`Sheet`]: a [`crate::score::Score`] with its title and the
//! labels of its entries. A score and an [`crate::exposition::Exposition`] turn into one by
//! themselves, so every writer takes either:
//!
//! | module | format | feature |
//! |---|---|---|
//! | [`musicxml`] | MusicXML 4.0 | `musicxml` |
//! | [`midi`] | Standard MIDI File | `midi` |
//! | [`svg`] | a picture of an exposition | `svg` |
//! | [`json`] | subjects, answers, expositions, findings | `serde` |
//! | [`markdown`] | a report to read | |
//! | [`summary`] | the same in brief, as plain text | |
//!
//! [`read_score`] takes in what any notation program wrote; [`reading`] tells what is kept, dropped and normalised.
//! [`files`] puts what was written on disk, each file whole or not at all, and reads what is there. The same music gives the
//! same bytes every time: no format holds a date.

pub mod files;
#[cfg(feature = "serde")]
pub mod json;
pub mod markdown;
#[cfg(feature = "midi")]
pub mod midi;
#[cfg(feature = "musicxml")]
pub mod musicxml;
pub mod reading;
pub mod review;
pub mod sheet;
pub mod summary;
#[cfg(feature = "svg")]
pub mod svg;
#[cfg(any(feature = "musicxml", feature = "svg"))]
mod xml;

#[cfg(test)]
mod fixture;
#[cfg(test)]
mod tests;

pub use reading::{ReadError, ReadRemark, ReadScore, read_bytes, read_score};
pub use review::Review;
pub use sheet::{Label, Sheet};
