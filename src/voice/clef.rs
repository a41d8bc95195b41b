//! Clefs.

use std::fmt;
use std::str::FromStr;

/// A clef. Its text form is its [`Clef::name`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Clef {
    /// G clef.
    #[default]
    Treble,
    /// G clef sounding an octave higher than written.
    TrebleOctaveUp,
    /// G clef sounding an octave lower than written.
    TrebleOctaveDown,
    /// C clef on the middle line.
    Alto,
    /// C clef on the fourth line.
    Tenor,
    /// F clef.
    Bass,
    /// F clef sounding an octave higher than written.
    BassOctaveUp,
}

/// A text that names no clef.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{text:?} is not a clef: choose from {}", Clef::ALL.map(Clef::name).join(", "))]
pub struct ClefError {
    /// What was given.
    pub text: String,
}

impl ClefError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        "clef"
    }
}

impl Clef {
    /// All clefs.
    pub const ALL: [Self; 7] = [
        Self::Treble,
        Self::TrebleOctaveUp,
        Self::TrebleOctaveDown,
        Self::Alto,
        Self::Tenor,
        Self::Bass,
        Self::BassOctaveUp,
    ];

    /// The name in English, as in `treble an octave up`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Treble => "treble",
            Self::TrebleOctaveUp => "treble an octave up",
            Self::TrebleOctaveDown => "treble an octave down",
            Self::Alto => "alto",
            Self::Tenor => "tenor",
            Self::Bass => "bass",
            Self::BassOctaveUp => "bass an octave up",
        }
    }

    /// Octaves by which the music sounds above (or, negative, below) what is written.
    pub const fn octaves(self) -> i32 {
        match self {
            Self::TrebleOctaveUp | Self::BassOctaveUp => 1,
            Self::TrebleOctaveDown => -1,
            Self::Treble | Self::Alto | Self::Tenor | Self::Bass => 0,
        }
    }
}

impl fmt::Display for Clef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl FromStr for Clef {
    type Err = ClefError;
    fn from_str(text: &str) -> Result<Self, ClefError> {
        let named = |clef: &Self| clef.name().eq_ignore_ascii_case(text);
        Self::ALL.into_iter().find(named).ok_or_else(|| ClefError { text: text.to_owned() })
    }
}

crate::text_serde::serde_as_text!(Clef);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_clefs_roundtrip_through_their_names() {
        for clef in Clef::ALL {
            assert_eq!(clef.to_string().parse(), Ok(clef));
            assert_eq!(clef.name().to_uppercase().parse(), Ok(clef));
        }
    }

    #[test]
    fn error_lists_the_clefs() {
        let error = "soprano".parse::<Clef>().unwrap_err();
        assert_eq!(error.code(), "clef");
        assert_eq!(
            error.to_string(),
            "\"soprano\" is not a clef: choose from treble, treble an octave up, treble an octave down, alto, \
             tenor, bass, bass an octave up"
        );
    }
}
