//! What can be wrong with an ensemble.

use super::{Ensemble, MAX_VOICES};

/// What makes a name no ensemble, a number no subset, or a name no voice of an ensemble.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum EnsembleError {
    /// No ensemble has this name.
    #[error("{name:?} is not an ensemble: choose from {}", Ensemble::NAMES.join(", "))]
    Name {
        /// What was given.
        name: String,
    },
    /// No voices, or too many.
    #[error("an ensemble has 1 to {MAX_VOICES} voices, not {count}")]
    Size {
        /// How many were given.
        count: usize,
    },
    /// The ensemble has no subset of this size.
    #[error("{name} has no setting for {count} voices: ask for {fewest} to {most}")]
    Voices {
        /// The ensemble.
        name: String,
        /// How many voices were asked for.
        count: usize,
        /// The fewest it has.
        fewest: usize,
        /// The most it has.
        most: usize,
    },
    /// No voice, or more than one, answers to this name.
    #[error("{asked:?} is {} of {name}: choose from {}", if *ambiguous { "more than one voice" } else { "no voice" }, voices.join(", "))]
    Voice {
        /// What was given.
        asked: String,
        /// Whether several voices answer to it.
        ambiguous: bool,
        /// The ensemble.
        name: String,
        /// Its voices, from the top.
        voices: Vec<String>,
    },
}

impl EnsembleError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Name { .. } => "ensemble-name",
            Self::Size { .. } => "ensemble-size",
            Self::Voices { .. } => "ensemble-voices",
            Self::Voice { .. } => "ensemble-voice",
        }
    }
}
