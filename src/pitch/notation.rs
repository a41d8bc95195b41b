//! Text of pitches: `F#4`, `Ebb3`, `C##5`.
//!
//! On input lower-case letters and the Unicode signs (♯ ♭ ♮ 𝄪 𝄫) are accepted too.

use super::{Letter, MAX_ACCIDENTALS, Pitch, PitchClass, PitchError};
use crate::quote::excerpt;
use std::fmt;
use std::str::FromStr;

impl fmt::Display for PitchClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.alteration() < 0 { "b" } else { "#" };
        let signs = sign.repeat(self.alteration().unsigned_abs() as usize);
        f.pad(&format!("{}{signs}", self.letter()))
    }
}

impl fmt::Debug for PitchClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl fmt::Display for Pitch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}{}", self.class(), self.octave()))
    }
}

impl fmt::Debug for Pitch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for PitchClass {
    type Err = PitchError;

    fn from_str(text: &str) -> Result<Self, PitchError> {
        match split_class(text)? {
            (class, "") => Ok(class),
            _ => Err(PitchError::NotAClass { text: excerpt(text) }),
        }
    }
}

impl FromStr for Pitch {
    type Err = PitchError;

    fn from_str(text: &str) -> Result<Self, PitchError> {
        let (class, rest) = split_class(text)?;
        if rest.is_empty() {
            return Err(PitchError::Octave { text: excerpt(text) });
        }
        let octave = parse_octave(rest).ok_or_else(|| PitchError::OctaveForm { text: excerpt(text) })?;
        Self::new(class, octave)
    }
}

crate::text_serde::serde_as_text!(Pitch, PitchClass);

/// Letter and accidentals at the start of a text, and what follows them.
fn split_class(text: &str) -> Result<(PitchClass, &str), PitchError> {
    let mut rest = text.chars();
    let letter =
        rest.next().and_then(Letter::from_char).ok_or_else(|| PitchError::Letter { text: excerpt(text) })?;
    let rest = rest.as_str();
    let (signs, rest) = rest.split_at(rest.find(|c| sharps(c).is_none()).unwrap_or(rest.len()));
    let alteration =
        parse_accidentals(signs).ok_or_else(|| PitchError::Accidental { text: excerpt(text) })?;
    Ok((PitchClass::from_parts(letter, alteration), rest))
}

/// How many sharps a sign stands for; flats are negative.
fn sharps(sign: char) -> Option<i32> {
    match sign {
        '#' | '♯' => Some(1),
        '𝄪' => Some(2),
        'b' | '♭' => Some(-1),
        '𝄫' => Some(-2),
        '♮' => Some(0),
        _ => None,
    }
}

/// The sum of signs of one kind; a natural stands alone.
fn parse_accidentals(signs: &str) -> Option<i32> {
    if signs == "♮" {
        return Some(0);
    }
    signs.chars().try_fold(0, |sum, sign| {
        let more = sharps(sign).filter(|more| more * sum >= 0 && *more != 0)?;
        Some(sum + more).filter(|sum| sum.abs() <= MAX_ACCIDENTALS)
    })
}

/// An octave written as we write it: no plus sign, no leading zero.
fn parse_octave(text: &str) -> Option<i32> {
    text.parse().ok().filter(|octave: &i32| octave.to_string() == text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::{any_pitch, any_pitch_class};
    use proptest::prelude::*;

    #[test]
    fn reads_the_signs_of_print_and_prints_plain_ones() {
        for (text, plain) in [
            ("F♯4", "F#4"),
            ("E♭3", "Eb3"),
            ("C𝄪5", "C##5"),
            ("B𝄫2", "Bbb2"),
            ("G♮4", "G4"),
            ("C𝄪♯4", "C###4"),
            ("bb4", "Bb4"),
            ("b4", "B4"),
            ("c-1", "C-1"),
        ] {
            assert_eq!(text.parse::<Pitch>().map(|p| p.to_string()).as_deref(), Ok(plain), "{text}");
        }
    }

    #[test]
    fn debug_prints_the_text_and_padding_is_kept() {
        let pitch: Pitch = "F#4".parse().unwrap();
        assert_eq!(
            format!("{pitch:?}|{pitch:>5}|{:?}|{:<4}|", pitch.class(), pitch.class()),
            "F#4|  F#4|F#|F#  |"
        );
    }

    #[test]
    fn hostile_texts_are_refused_each_for_its_own_fault() {
        let code = |text: &str| text.parse::<Pitch>().unwrap_err().code();
        for text in ["", " ", "H4", "♯4", "4", "é4", "Ｃ4", " C4", "R", "\0"] {
            assert_eq!(code(text), "pitch-letter", "{text:?}");
        }
        for text in ["C#b4", "Cb#4", "C####4", "C𝄪𝄪4", "C♮♮4", "C♮#4", "C#♮4", "Bbbbb4"] {
            assert_eq!(code(text), "pitch-accidental", "{text:?}");
        }
        for text in ["C", "C#", "bb", "G♮"] {
            assert_eq!(code(text), "pitch-octave", "{text:?}");
        }
        for text in ["C+4", "C04", "C-0", "C4 ", "C4b", "C٤", "C--1", "C4.0", "C99999999999", "Cx4"] {
            assert_eq!(code(text), "pitch-octave-form", "{text:?}");
        }
        for text in ["C-2", "C10", "Cb-2147483648"] {
            assert_eq!(code(text), "pitch-octave-range", "{text:?}");
        }
    }

    #[test]
    fn very_long_texts_are_refused_and_quoted_in_part() {
        for tail in ["#", "b", "♮", "9", "C", "𝄫"] {
            let error = format!("C{}", tail.repeat(1_000_000)).parse::<Pitch>().unwrap_err();
            assert!(error.to_string().chars().count() < 200, "{tail}");
        }
    }

    #[cfg(feature = "serde")]
    #[test]
    fn json_is_the_text_and_goes_through_the_same_check() {
        let pitch: Pitch = "Bb3".parse().unwrap();
        assert_eq!(serde_json::to_string(&pitch).unwrap(), r#""Bb3""#);
        assert_eq!(serde_json::from_str::<Pitch>(r#""B\u266d3""#).unwrap(), pitch);
        assert_eq!(serde_json::to_string(&pitch.class()).unwrap(), r#""Bb""#);
        assert_eq!(serde_json::from_str::<PitchClass>(r#""Bb""#).unwrap(), pitch.class());
        let refusal = serde_json::from_str::<Pitch>(r#""C-2""#).unwrap_err().to_string();
        assert!(refusal.starts_with("octave -2 is out of range: octaves run from -1 to 9"), "{refusal}");
        assert!(serde_json::from_str::<PitchClass>(r#""H""#).is_err());
        assert!(serde_json::from_str::<Pitch>("60").is_err());
    }

    proptest! {
        #[test]
        fn prop_pitch_roundtrips(pitch in any_pitch()) {
            prop_assert_eq!(pitch.to_string().parse::<Pitch>(), Ok(pitch));
        }

        #[test]
        fn prop_class_roundtrips(class in any_pitch_class()) {
            prop_assert_eq!(class.to_string().parse::<PitchClass>(), Ok(class));
        }

        #[test]
        fn prop_any_text_is_read_or_refused(text in "[A-Ha-h]?[#b♯♭♮𝄪𝄫]{0,4}.{0,4}") {
            if let Ok(pitch) = text.parse::<Pitch>() {
                prop_assert_eq!(pitch.to_string().parse::<Pitch>(), Ok(pitch));
            }
        }
    }
}
