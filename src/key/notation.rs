//! Text of keys: `A minor`, `Bb major`, `E phrygian`.

use super::{Key, KeyError, Mode};
use std::fmt;
use std::str::FromStr;

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{} {}", self.tonic(), self.mode()))
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
        let quoted = || text.to_owned();
        let words: Vec<&str> = text.split_whitespace().take(3).collect();
        let [tonic, mode] = words[..] else { return Err(KeyError::Syntax { text: quoted() }) };
        let tonic = tonic.parse().map_err(|source| KeyError::Tonic { text: quoted(), source })?;
        let mode =
            Mode::from_name(mode).ok_or_else(|| KeyError::Mode { text: quoted(), mode: mode.to_owned() })?;
        Ok(Self::new(tonic, mode))
    }
}

crate::text_serde::serde_as_text!(Key);

#[cfg(test)]
mod tests {
    use super::super::any_key;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn texts_are_printed_in_one_form() {
        let rows = [
            ("A minor", "A minor"),
            ("a Minor", "A minor"),
            ("  Bb   major ", "Bb major"),
            ("E♭ MAJOR", "Eb major"),
            ("f# phrygian", "F# phrygian"),
            ("G# major", "G# major"),
        ];
        for (given, printed) in rows {
            assert_eq!(given.parse::<Key>().unwrap().to_string(), printed);
        }
    }

    #[test]
    fn refusals_say_what_is_wrong() {
        let syntax = "is not a key: write the tonic and the mode, as in A minor or Bb major";
        let modes = "is none of major, minor, dorian, phrygian, lydian and mixolydian";
        let rows = [
            ("", format!(r#""" {syntax}"#)),
            ("A", format!(r#""A" {syntax}"#)),
            ("Am", format!(r#""Am" {syntax}"#)),
            ("A sharp minor", format!(r#""A sharp minor" {syntax}"#)),
            ("A minot", format!(r#""A minot" is not a key: "minot" {modes}"#)),
            ("B locrian", format!(r#""B locrian" is not a key: "locrian" {modes}"#)),
        ];
        for (text, message) in rows {
            assert_eq!(text.parse::<Key>().unwrap_err().to_string(), message);
        }
    }

    #[test]
    fn refused_tonic_says_what_a_tonic_is() {
        for (text, tonic) in [("H minor", "H"), ("Bb# major", "Bb#"), ("A4 minor", "A4")] {
            let error = text.parse::<Key>().unwrap_err();
            let source = tonic.parse::<crate::pitch::PitchClass>().unwrap_err();
            assert_eq!(error.to_string(), format!("{text:?} is not a key: {source}"));
        }
    }

    #[cfg(feature = "serde")]
    #[test]
    fn json_is_the_text_form() {
        let key: Key = serde_json::from_str(r#""g# MINOR""#).unwrap();
        assert_eq!(serde_json::to_string(&key).unwrap(), r#""G# minor""#);
        assert_eq!(
            serde_json::from_str::<Key>("3").unwrap_err().to_string(),
            "invalid type: integer `3`, expected a text (Key) at line 1 column 1"
        );
    }

    proptest! {
        #[test]
        fn prop_parsing_inverts_printing(key in any_key()) {
            prop_assert_eq!(key.to_string().parse::<Key>(), Ok(key));
        }

        #[test]
        fn prop_any_text_is_read_or_refused(text in "[A-Ha-h]?[#b♯♭]{0,4} ?\\PC{0,8}") {
            if let Ok(key) = text.parse::<Key>() {
                prop_assert_eq!(key.to_string().parse::<Key>(), Ok(key));
            }
        }
    }
}
