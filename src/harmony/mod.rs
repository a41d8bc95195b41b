//! Harmony: a plan of Roman numerals over time, given by the composer or inferred from a line.
//!
//! A [`Harmony`] is a row of [`Span`]s, each a [`Numeral`] with its onset and duration, without
//! gaps. It names chords by degree, so the same plan serves the subject in the tonic and the
//! answer in the dominant: only the key in which it is read differs ([`Harmony::chords`]).
//!
//! A subject that modulates to the dominant needs care. A plan read in the dominant key carries the
//! whole modulation with it and would end in the key of the supertonic, while the answer turns back to
//! the tonic (Prout, *Fugue*, §§114-116). So the subject's plan serves the answer as it stands only
//! where the answer is real; for a tonal one infer the plan anew, from the answer and in its key,
//! where the tonic to which it returns is IV.
//!
//! ```
//! use soggetto::harmony::Harmony;
//! use soggetto::time::Time;
//! let plan: Harmony = "i:3/4 V7:3/8 i6:3/8".parse()?;
//! assert_eq!(plan.length(), Time::new(3, 2)?);
//! let span = plan.chord_at(Time::new(7, 8)?).ok_or("no chord there")?;
//! assert_eq!(span.numeral.to_string(), "V7");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod cost;
mod heard;
mod infer;
mod notation;
mod rhythm;
mod vocabulary;

pub use infer::{HarmonicReading, MAX_READINGS};
pub use notation::HarmonyError;
pub use rhythm::MAX_CHANGES;

use crate::chord::{Chord, Numeral};
use crate::key::Key;
use crate::pitch::PitchError;
use crate::time::Time;

/// The most chords of a plan.
pub const MAX_CHORDS: usize = 100_000;

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

impl Span {
    /// When it ends.
    pub fn end(&self) -> Time {
        self.onset.checked_add(self.duration).unwrap_or(self.onset)
    }
}

/// A harmonic plan: chords that follow one another without gaps, named by degree.
///
/// Every plan guarantees: the first chord begins at time zero, each begins where the one before
/// ends, and every duration is positive. A plan with a gap or with a chord of no length cannot exist.
/// A chord struck twice stays two spans. Times are whole notes; the text form is `i:3/4 V7:3/8 i6`,
/// a missing duration repeating the one before.
#[derive(Clone, PartialEq, Eq, Default)]
pub struct Harmony {
    spans: Vec<Span>,
}

impl Harmony {
    /// A plan of chords in order, each with its duration.
    ///
    /// # Errors
    /// If a duration is not positive, there are more than [`MAX_CHORDS`], or times get out of range.
    pub fn new(chords: impl IntoIterator<Item = (Numeral, Time)>) -> Result<Self, HarmonyError> {
        let mut plan = Self::default();
        for (chord, (numeral, duration)) in chords.into_iter().enumerate() {
            if !duration.is_positive() {
                return Err(HarmonyError::Duration { chord, duration });
            }
            if chord >= MAX_CHORDS {
                return Err(HarmonyError::TooMany { chord });
            }
            let onset = plan.length();
            onset.checked_add(duration).map_err(|source| HarmonyError::Time { chord, source })?;
            plan.spans.push(Span { numeral, onset, duration });
        }
        Ok(plan)
    }

    /// The chords in order.
    pub fn spans(&self) -> &[Span] {
        &self.spans
    }

    /// The whole length.
    pub fn length(&self) -> Time {
        self.spans.last().map_or(Time::ZERO, Span::end)
    }

    /// The chord that sounds at a time; where two meet, the one that begins there.
    ///
    /// Logarithmic in the number of chords.
    pub fn chord_at(&self, time: Time) -> Option<&Span> {
        let after = self.spans.partition_point(|span| span.onset <= time);
        self.spans[..after].last().filter(|span| time < span.end())
    }

    /// The chords as pitch classes, read in a key: the subject's own, or that of its answer.
    ///
    /// # Errors
    /// If a note of a chord cannot be written in that key.
    pub fn chords(&self, key: Key) -> Result<Vec<(Span, Chord)>, PitchError> {
        self.spans.iter().map(|span| Ok((*span, span.numeral.in_key(key)?))).collect()
    }

    /// The plan with the notes of each chord as they are spelled in a key: `i (A C E):3/4 V7 (E G# B D):3/8`.
    ///
    /// # Errors
    /// If a note of a chord cannot be written in that key.
    pub fn spelled(&self, key: Key) -> Result<String, PitchError> {
        let chord = |(span, chord): (Span, Chord)| format!("{} ({chord}):{}", span.numeral, span.duration);
        let chords: Vec<String> = self.chords(key)?.into_iter().map(chord).collect();
        Ok(chords.join(" "))
    }

    /// Checks that the plan lasts exactly as long as what it accompanies.
    ///
    /// # Errors
    /// If it is too short or too long; the error says by how much.
    pub fn check_length(&self, length: Time) -> Result<(), HarmonyError> {
        let given = self.length();
        if given == length {
            return Ok(());
        }
        let long = given > length;
        let (more, less) = if long { (given, length) } else { (length, given) };
        let last = self.spans.len().saturating_sub(1);
        let by = more.checked_sub(less).map_err(|source| HarmonyError::Time { chord: last, source })?;
        Err(HarmonyError::Length { long, by, given, length })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan(text: &str) -> Harmony {
        text.parse().unwrap()
    }

    fn time(text: &str) -> Time {
        text.parse().unwrap()
    }

    #[test]
    fn chord_at_a_border_is_the_one_that_begins() {
        let plan = plan("i:3/4 V7:3/8 i6:3/8");
        let at = |text| plan.chord_at(time(text)).map(|span| span.numeral.to_string());
        assert_eq!(at("0").as_deref(), Some("i"));
        assert_eq!(at("3/4").as_deref(), Some("V7"));
        assert_eq!(at("9/8").as_deref(), Some("i6"));
        assert_eq!((at("3/2"), at("-1/8")), (None, None));
    }

    #[test]
    fn same_plan_is_read_in_the_tonic_and_in_the_dominant() {
        let spelled = |key: &str| -> Vec<String> {
            let chords = plan("i:3/4 V7:3/8").chords(key.parse().unwrap()).unwrap();
            chords.iter().map(|(_, chord)| chord.to_string()).collect()
        };
        assert_eq!(spelled("A minor"), ["A C E", "E G# B D"]);
        assert_eq!(spelled("E minor"), ["E G B", "B D# F# A"]);
    }

    #[test]
    fn repeated_chord_stays_two_spans() {
        assert_eq!(plan("I:1/4 I:1/4").spans().len(), 2);
    }
}
