//! What can be wrong with a pitch.

use super::{MAX_ACCIDENTALS, MAX_OCTAVE, MIN_OCTAVE};
use crate::interval::Interval;

/// What makes a text or a computed value no pitch.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PitchError {
    /// No letter from A to G at the start, as in `H4`.
    #[error("{text:?} is not a pitch: letters run from A to G (write B4 or Bb4)")]
    Letter {
        /// What was given, cut if long.
        text: String,
    },
    /// Letter and accidentals are sound, the octave is missing, as in `F#`.
    #[error("{text:?} is not a pitch: it needs an octave (C4 is middle C)")]
    Octave {
        /// What was given.
        text: String,
    },
    /// What follows the accidentals is not written as an octave, as in `C04`, `Cx4` or `C4 `.
    #[error(
        "{text:?} is not a pitch: only an octave from {MIN_OCTAVE} to {MAX_OCTAVE} follows the letter and \
         its accidentals, as in F##4"
    )]
    OctaveForm {
        /// What was given, cut if long.
        text: String,
    },
    /// Mixed or too many accidentals, as in `C#b4`.
    #[error("{text:?} is not a pitch: at most {MAX_ACCIDENTALS} sharps or flats, and not both")]
    Accidental {
        /// What was given, cut if long.
        text: String,
    },
    /// Something follows the accidentals of a pitch class, as in `C4`.
    #[error("{text:?} is not a pitch class: a letter with its accidentals is all it has (write F# or Bb)")]
    NotAClass {
        /// What was given, cut if long.
        text: String,
    },
    /// Outside the octaves of this library, as in `C-2`.
    #[error("octave {octave} is out of range: octaves run from {MIN_OCTAVE} to {MAX_OCTAVE}")]
    OctaveRange {
        /// The octave asked for.
        octave: i32,
    },
    /// Moving a pitch by an interval needs more accidentals than notation has.
    #[error(
        "{from} moved by {by} needs {} {}: notation has at most {MAX_ACCIDENTALS} \
         (respell the music in a nearer key)",
        .alteration.unsigned_abs(),
        if *.alteration < 0 { "flats" } else { "sharps" }
    )]
    Unwritable {
        /// The pitch that was moved.
        from: String,
        /// The interval.
        by: Interval,
        /// The alteration it would need.
        alteration: i32,
    },
}

impl PitchError {
    /// A stable name of the kind of error.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Letter { .. } => "pitch-letter",
            Self::Octave { .. } => "pitch-octave",
            Self::OctaveForm { .. } => "pitch-octave-form",
            Self::Accidental { .. } => "pitch-accidental",
            Self::NotAClass { .. } => "pitch-class",
            Self::OctaveRange { .. } => "pitch-octave-range",
            Self::Unwritable { .. } => "pitch-unwritable",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::{Letter, Pitch, PitchClass};

    fn refusal(text: &str) -> (String, &'static str) {
        let error = text.parse::<Pitch>().unwrap_err();
        (error.to_string(), error.code())
    }

    #[test]
    fn wrong_letter_shows_the_two_german_readings() {
        let message = r#""H4" is not a pitch: letters run from A to G (write B4 or Bb4)"#;
        assert_eq!(refusal("H4"), (message.to_owned(), "pitch-letter"));
    }

    #[test]
    fn missing_octave_is_asked_for() {
        let message = r#""F#" is not a pitch: it needs an octave (C4 is middle C)"#;
        assert_eq!(refusal("F#"), (message.to_owned(), "pitch-octave"));
    }

    #[test]
    fn octave_in_another_form_shows_the_form() {
        let message = r#""Cx4" is not a pitch: only an octave from -1 to 9 follows the letter and its accidentals, as in F##4"#;
        assert_eq!(refusal("Cx4"), (message.to_owned(), "pitch-octave-form"));
    }

    #[test]
    fn mixed_accidentals_are_refused() {
        let message = r#""C#b4" is not a pitch: at most 3 sharps or flats, and not both"#;
        assert_eq!(refusal("C#b4"), (message.to_owned(), "pitch-accidental"));
        let error = PitchClass::new(Letter::C, -4).unwrap_err();
        assert_eq!(error.to_string(), r#""C-4" is not a pitch: at most 3 sharps or flats, and not both"#);
    }

    #[test]
    fn octave_after_a_class_is_refused() {
        let error = "C4".parse::<PitchClass>().unwrap_err();
        let message =
            r#""C4" is not a pitch class: a letter with its accidentals is all it has (write F# or Bb)"#;
        assert_eq!((error.to_string().as_str(), error.code()), (message, "pitch-class"));
    }

    #[test]
    fn octave_beyond_the_limits_is_named() {
        let message = "octave -2 is out of range: octaves run from -1 to 9";
        assert_eq!(refusal("C-2"), (message.to_owned(), "pitch-octave-range"));
    }

    #[test]
    fn unwritable_pitch_names_the_accidentals_it_would_need() {
        let error = "F###4".parse::<Pitch>().unwrap().moved(Interval::AUGMENTED_UNISON).unwrap_err();
        let message = "F###4 moved by A1 needs 4 sharps: notation has at most 3 \
                       (respell the music in a nearer key)";
        assert_eq!((error.to_string().as_str(), error.code()), (message, "pitch-unwritable"));
        let error = "Fbbb".parse::<PitchClass>().unwrap().moved(Interval::PERFECT_FOURTH).unwrap_err();
        let message = "Fbbb moved by P4 needs 4 flats: notation has at most 3 \
                       (respell the music in a nearer key)";
        assert_eq!(error.to_string(), message);
    }
}
