//! Text of pitches: `F#4`, `Ebb3`, `C##5`, with the Unicode signs accepted on input.

use super::{Letter, MAX_ACCIDENTALS, Pitch, PitchClass, PitchError};
use std::fmt;
use std::str::FromStr;

impl fmt::Display for PitchClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.alteration() < 0 { "b" } else { "#" };
        let signs = sign.repeat(self.alteration().unsigned_abs() as usize);
        f.pad(&format!("{}{signs}", self.letter().as_char()))
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
            _ => Err(PitchError::Accidental { text: text.to_owned() }),
        }
    }
}

impl FromStr for Pitch {
    type Err = PitchError;
    fn from_str(text: &str) -> Result<Self, PitchError> {
        let (class, rest) = split_class(text)?;
        let octave = match rest.strip_prefix('-').unwrap_or(rest) {
            digits if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) => rest.parse().ok(),
            _ => None,
        };
        Self::new(class, octave.ok_or_else(|| PitchError::Octave { text: text.to_owned() })?)
    }
}

/// Letter and accidentals at the start of a text, and what follows them.
fn split_class(text: &str) -> Result<(PitchClass, &str), PitchError> {
    let first = text.chars().next();
    let letter =
        first.and_then(Letter::from_char).ok_or_else(|| PitchError::Letter { text: text.to_owned() })?;
    let mut rest = &text[1..];
    let (mut sharps, mut flats) = (0, 0);
    while let Some(sign) = rest.chars().next() {
        match sign {
            '#' | '♯' => sharps += 1,
            '𝄪' => sharps += 2,
            'b' | '♭' => flats += 1,
            '𝄫' => flats += 2,
            '♮' => {}
            _ => break,
        }
        rest = &rest[sign.len_utf8()..];
    }
    if sharps > MAX_ACCIDENTALS || flats > MAX_ACCIDENTALS || (sharps > 0 && flats > 0) {
        return Err(PitchError::Accidental { text: text.to_owned() });
    }
    Ok((PitchClass::from_parts(letter, sharps - flats), rest))
}

crate::text_serde::serde_as_text!(Pitch, PitchClass);
