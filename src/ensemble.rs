//! Ensembles: voices, from the top part to the bass.

use crate::voice::Voice;

/// The most voices of an ensemble.
pub const MAX_VOICES: usize = 16;

/// A named group of voices, from the top part downwards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ensemble {
    name: String,
    voices: Vec<Voice>,
}

impl Ensemble {
    /// The name, as in `string-quartet`.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The voices, from the top part downwards.
    pub fn voices(&self) -> &[Voice] {
        &self.voices
    }
}
