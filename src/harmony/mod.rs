//! Harmony: a plan of Roman numerals over time, given by the composer or inferred from a line.

use crate::chord::Numeral;
use crate::time::Time;

/// One chord of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// The chord.
    pub numeral: Numeral,
    /// When it begins, from the beginning of the plan.
    pub onset: Time,
    /// How long it lasts.
    pub duration: Time,
}

/// A harmonic plan: chords that follow one another without gaps, named in one key.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Harmony {
    spans: Vec<Span>,
}

impl Harmony {
    /// The chords in order.
    pub fn spans(&self) -> &[Span] {
        &self.spans
    }
}
