//! Fugal exposition theory: from a short theme to a finished, playable, defensible exposition.
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        reason = "a test may panic: that is how it fails"
    )
)]

pub mod answer;
pub mod chord;
pub mod combine;
pub mod compose;
pub mod ensemble;
pub mod exposition;
pub mod harmony;
pub mod interchange;
pub mod interval;
pub mod key;
pub mod line;
pub mod meter;
pub mod pitch;
pub mod rules;
pub mod scale;
pub mod score;
pub mod source;
pub mod subject;
pub mod texture;
pub mod time;
pub mod tuning;
pub mod voice;

mod error;
mod quote;
mod text_serde;
pub use error::Error;
