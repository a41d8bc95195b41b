//! Text of keys: `A minor`, `Bb major`, `E phrygian`.

use super::{Key, KeyError, Mode};
use crate::pitch::PitchClass;
use std::fmt;
use std::str::FromStr;

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{} {}", self.tonic(), self.mode().name()))
    }
}

impl fmt::Debug for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Key {
    type Err = KeyError;
    fn from_str(text: &str) -> Result<Self, KeyError> {
        let syntax = || KeyError::Syntax { text: text.to_owned() };
        let (tonic, mode) = text.trim().split_once(' ').ok_or_else(syntax)?;
        let tonic: PitchClass =
            tonic.parse().map_err(|source| KeyError::Tonic { text: text.to_owned(), source })?;
        let mode = mode.trim().to_lowercase();
        let mode = Mode::ALL.into_iter().find(|known| known.name() == mode).ok_or_else(syntax)?;
        Ok(Self::new(tonic, mode))
    }
}

crate::text_serde::serde_as_text!(Key);
