//! Where a rule or a fact comes from.
//!
//! It lies below every layer, since answers, rules and tables all name their sources.

use std::fmt;

/// Where a rule or a fact comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Source {
    /// A published handbook, with the section.
    Handbook(&'static str),
    /// A fact of the trade that needs no source.
    CommonPractice,
    /// Set down from memory and not read again.
    Memory(&'static str),
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Handbook(place) => f.pad(place),
            Self::CommonPractice => f.pad("common practice"),
            Self::Memory(place) => write!(f, "{place} (from memory)"),
        }
    }
}
