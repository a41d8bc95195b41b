//! Composing: from a subject to a complete exposition.
//!
//! [`draft`] orders the entries over the voices of an ensemble, searches a countersubject, links
//! the entries and carries the other voices on; what it returns has been reviewed by the same
//! rules that review anybody's work.

mod assembly;
mod attempt;
mod chance;
mod countersubject;
mod draft;
mod error;
mod filling;
#[cfg(test)]
mod fixtures;
mod frame;
mod harmony_track;
mod hearing;
mod melody;
mod merit;
mod order;
mod palette;
mod plan;
mod rhythm;
mod strand;
mod taste;
mod workshop;

pub use draft::{DraftOptions, MAX_SUBJECT_NOTES, draft};
pub use error::ComposeError;
pub use order::{FEWEST_VOICES, MOST_VOICES, recommended_orders};
