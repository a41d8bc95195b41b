//! Text of Roman numerals: `V7`, `viio6`, `bII6`, `IVM65`, `V7/V`.

use super::{Numeral, NumeralError, Seventh, Triad};
use crate::scale::Degree;
use std::fmt;
use std::str::FromStr;

/// The seven numerals from 1.
const ROMAN: [&str; 7] = ["I", "II", "III", "IV", "V", "VI", "VII"];
/// Figures of a triad by inversion.
const TRIAD_FIGURES: [&str; 3] = ["", "6", "64"];
/// Figures of a seventh chord by inversion.
const SEVENTH_FIGURES: [&str; 4] = ["7", "65", "43", "42"];

impl fmt::Display for Numeral {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let target = self.target().map_or(String::new(), |target| format!("/{target}"));
        f.pad(&format!("{}{}{}{target}", root(*self), quality(*self), figures(*self)))
    }
}

/// `bII`, `vii`: the degree in the case of the triad.
fn root(numeral: Numeral) -> String {
    let degree = numeral.degree().to_string();
    let signs = degree.trim_end_matches(|c: char| c.is_ascii_digit());
    let roman = ROMAN[usize::from(numeral.degree().number()) - 1];
    let small = numeral.kind().has_minor_third();
    format!("{signs}{}", if small { roman.to_lowercase() } else { roman.to_owned() })
}

/// The signs between numeral and figures: `o`, `ø`, `+`, and `M` or `d` for an unusual seventh.
fn quality(numeral: Numeral) -> &'static str {
    use Seventh as S;
    use Triad as T;
    match (numeral.kind(), numeral.seventh()) {
        (T::Major | T::Minor, None | Some(S::Minor)) => "",
        (T::Major | T::Minor, Some(S::Major)) => "M",
        (T::Major | T::Minor, Some(S::Diminished)) => "d",
        (T::Diminished, None | Some(S::Diminished)) => "o",
        (T::Diminished, Some(S::Minor)) => "ø",
        (T::Diminished, Some(S::Major)) => "oM",
        (T::Augmented, None | Some(S::Minor)) => "+",
        (T::Augmented, Some(S::Major)) => "+M",
        (T::Augmented, Some(S::Diminished)) => "+d",
    }
}

fn figures(numeral: Numeral) -> &'static str {
    let inversion = usize::from(numeral.inversion());
    if numeral.seventh().is_some() { SEVENTH_FIGURES[inversion] } else { TRIAD_FIGURES[inversion] }
}

impl fmt::Debug for Numeral {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Numeral {
    type Err = NumeralError;
    fn from_str(text: &str) -> Result<Self, NumeralError> {
        let Some((chord, target)) = text.split_once('/') else { return plain(text) };
        let chord = plain(chord)?;
        chord.applied_to(plain(target).map_err(|_| chord.misapplied(target.to_owned()))?)
    }
}

/// A numeral that is not applied.
fn plain(text: &str) -> Result<Numeral, NumeralError> {
    let (degree, small, rest) = split_root(text).ok_or_else(|| NumeralError::Syntax { text: text.into() })?;
    let (triad, sign, rest) =
        split_triad(small, rest).ok_or_else(|| NumeralError::Case { text: text.into() })?;
    let (sign, figures) = match (sign, rest.chars().next()) {
        (None, Some('M')) => (Some(Seventh::Major), &rest[1..]),
        (None, Some('m')) => (Some(Seventh::Minor), &rest[1..]),
        (None, Some('d')) => (Some(Seventh::Diminished), &rest[1..]),
        _ => (sign, rest),
    };
    let chord = Numeral::triad(degree, triad);
    if let Some(inversion) = inversion_of(figures, &TRIAD_FIGURES) {
        return match sign {
            None => chord.inverted(inversion),
            Some(_) => Err(NumeralError::NoSeventh { text: text.into() }),
        };
    }
    let figures = if figures == "2" { "42" } else { figures };
    let inversion = inversion_of(figures, &SEVENTH_FIGURES).ok_or_else(|| {
        let numeral = text[..text.len() - rest.len()].to_owned();
        NumeralError::Figures { text: text.into(), numeral }
    })?;
    chord.with_seventh(sign.unwrap_or(Seventh::usual_over(triad))).inverted(inversion)
}

/// Which inversion figures mean, of those in a table by inversion.
fn inversion_of(figures: &str, table: &[&str]) -> Option<u8> {
    (0..).zip(table).find_map(|(inversion, &known)| (known == figures).then_some(inversion))
}

/// The degree at the start of a text, whether it is written small, and what follows it.
fn split_root(text: &str) -> Option<(Degree, bool, &str)> {
    let word = text.trim_start_matches(['b', '#', '♭', '♯']);
    let signs = &text[..text.len() - word.len()];
    let letters = word.len() - word.trim_start_matches(['I', 'V', 'i', 'v']).len();
    let (roman, rest) = word.split_at(letters);
    let small = roman.starts_with(['i', 'v']);
    let number =
        ROMAN.iter().position(|&known| if small { known.to_lowercase() == roman } else { known == roman })?;
    let degree = format!("{signs}{}", number + 1).parse().ok()?;
    Some((degree, small, rest))
}

/// The triad by case and sign, the seventh that `ø` brings, and what follows; `None` where case
/// and sign contradict each other.
fn split_triad(small: bool, rest: &str) -> Option<(Triad, Option<Seventh>, &str)> {
    let sign = rest.chars().next().filter(|c| matches!(c, 'o' | '°' | 'ø' | '+'));
    let after = &rest[sign.map_or(0, char::len_utf8)..];
    match (small, sign) {
        (true, Some('ø')) => Some((Triad::Diminished, Some(Seventh::Minor), after)),
        (true, Some('o' | '°')) => Some((Triad::Diminished, None, after)),
        (false, Some('+')) => Some((Triad::Augmented, None, after)),
        (_, Some(_)) => None,
        (true, None) => Some((Triad::Minor, None, after)),
        (false, None) => Some((Triad::Major, None, after)),
    }
}

crate::text_serde::serde_as_text!(Numeral);

#[cfg(test)]
mod tests {
    use super::super::any_numeral;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn canonical_texts_print_as_they_are_read() {
        let texts = "I i6 IV64 V7 V65 V43 V42 viio viio6 viio7 viiø7 viiø42 III+ V+7 III+M7 IVM7 IVM65 iM7 ii65 \
                     bII6 #ivo7 ##iv bbVII V/vi V7/V viio6/ii viio42/bII viioM7 Id7 I+d43";
        for text in texts.split_whitespace() {
            let numeral: Numeral = text.parse().unwrap();
            assert_eq!(numeral.to_string(), text);
        }
    }

    #[test]
    fn other_spellings_are_read() {
        let pairs = [("V2", "V42"), ("vii°7", "viio7"), ("viiom7", "viiø7"), ("Vm7", "V7"), ("♭II6", "bII6")];
        for (given, printed) in pairs {
            assert_eq!(given.parse::<Numeral>().unwrap().to_string(), printed);
        }
    }

    #[test]
    fn refusals_say_what_is_wrong() {
        let figures = "stand no figures but 6 and 64 for triads, 7, 65, 43 and 42 for seventh chords";
        let target = "only a major or minor triad in root position can become a tonic, as in V7/V or V/vi";
        let rows = [
            ("", r#""" is not a Roman numeral: write i, V7, viio6, IV64 or V7/V"#.to_owned()),
            ("H", r#""H" is not a Roman numeral: write i, V7, viio6, IV64 or V7/V"#.to_owned()),
            ("Iv", r#""Iv" is not a Roman numeral: write i, V7, viio6, IV64 or V7/V"#.to_owned()),
            ("IIII", r#""IIII" is not a Roman numeral: write i, V7, viio6, IV64 or V7/V"#.to_owned()),
            ("b#II", r#""b#II" is not a Roman numeral: write i, V7, viio6, IV64 or V7/V"#.to_owned()),
            ("V9", format!(r#""V9" is not a Roman numeral: after "V" {figures}"#)),
            ("V 7", format!(r#""V 7" is not a Roman numeral: after "V" {figures}"#)),
            ("viio5", format!(r#""viio5" is not a Roman numeral: after "viio" {figures}"#)),
            ("viiøM7", format!(r#""viiøM7" is not a Roman numeral: after "viiø" {figures}"#)),
            (
                "VIIo",
                r#""VIIo" is not a Roman numeral: diminished triads are written small (viio), augmented ones large (III+)"#
                    .to_owned(),
            ),
            (
                "iii+",
                r#""iii+" is not a Roman numeral: diminished triads are written small (viio), augmented ones large (III+)"#
                    .to_owned(),
            ),
            (
                "viiø",
                r#""viiø" is not a Roman numeral: ø, M, m and d speak of a seventh (add 7, 65, 43 or 42, or leave the sign out)"#
                    .to_owned(),
            ),
            (
                "IM6",
                r#""IM6" is not a Roman numeral: ø, M, m and d speak of a seventh (add 7, 65, 43 or 42, or leave the sign out)"#
                    .to_owned(),
            ),
            ("V/viio", format!(r#"V cannot be applied to "viio": {target}"#)),
            ("V7/V7", format!(r#"V7 cannot be applied to "V7": {target}"#)),
            ("V/V/V", format!(r#"V cannot be applied to "V/V": {target}"#)),
            ("IV6/4", format!(r#"IV6 cannot be applied to "4": {target}"#)),
            ("V/", format!(r#"V cannot be applied to "": {target}"#)),
        ];
        for (text, message) in rows {
            assert_eq!(text.parse::<Numeral>().unwrap_err().to_string(), message);
        }
    }

    #[cfg(feature = "serde")]
    #[test]
    fn json_is_the_text_form() {
        let numeral: Numeral = serde_json::from_str(r#""V2/V""#).unwrap();
        assert_eq!(serde_json::to_string(&numeral).unwrap(), r#""V42/V""#);
        assert!(serde_json::from_str::<Numeral>("5").is_err());
    }

    proptest! {
        #[test]
        fn prop_parsing_inverts_printing(numeral in any_numeral()) {
            prop_assert_eq!(numeral.to_string().parse::<Numeral>(), Ok(numeral));
        }

        #[test]
        fn prop_any_text_is_read_or_refused(text in "[b#]{0,2}[IViv]{0,4}[o°ø+]?[MmdX]?[0-9]{0,3}(/\\PC{0,3})?") {
            if let Ok(numeral) = text.parse::<Numeral>() {
                prop_assert_eq!(numeral.to_string().parse::<Numeral>(), Ok(numeral));
            }
        }
    }
}
