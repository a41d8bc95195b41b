//! Scale degrees.

use crate::interval::Interval;
use crate::key::Key;
use crate::pitch::{PitchClass, PitchError};
use std::fmt;
use std::str::FromStr;

/// A degree of a scale, 1 to 7, with its alteration in semitones.
///
/// Every degree guarantees its number; a degree 0 or 8 cannot exist. The alteration is relative to
/// the scale of the signature, so the leading note is `7` in major and `#7` in minor. The text form
/// is the number after its signs, `5`, `#4`, `bb7`; serde uses the same text. The order is by number,
/// then alteration.
///
/// ```
/// use soggetto::scale::Degree;
/// let raised: Degree = "#7".parse()?;
/// assert_eq!(raised, Degree::SEVENTH.altered(1));
/// assert_eq!((raised.number(), raised.alteration()), (7, 1));
/// # Ok::<(), soggetto::scale::DegreeError>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Degree {
    number: u8,
    alteration: i8,
}

/// What makes a text or a number no degree.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum DegreeError {
    /// Not of the form of a degree.
    #[error(
        "{text:?} is not a scale degree: write a number from 1 to 7 after its sharps or flats, as in 5, #4 or b7"
    )]
    Syntax {
        /// What was given.
        text: String,
    },
    /// A number outside the scale.
    #[error("there is no degree {number}: degrees run from 1 to 7 (8 is 1 again)")]
    Number {
        /// The number asked for.
        number: u8,
    },
}

impl DegreeError {
    /// A stable word for scripts.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "degree-syntax",
            Self::Number { .. } => "degree-number",
        }
    }
}

impl Degree {
    /// The tonic.
    pub const TONIC: Self = Self::natural(1);
    /// The supertonic.
    pub const SUPERTONIC: Self = Self::natural(2);
    /// The mediant.
    pub const MEDIANT: Self = Self::natural(3);
    /// The subdominant.
    pub const SUBDOMINANT: Self = Self::natural(4);
    /// The dominant.
    pub const DOMINANT: Self = Self::natural(5);
    /// The submediant.
    pub const SUBMEDIANT: Self = Self::natural(6);
    /// The seventh degree of the signature: the leading note in major, a tone below the tonic in minor.
    pub const SEVENTH: Self = Self::natural(7);
    /// The seven unaltered degrees from the tonic up.
    pub const ALL: [Self; 7] = [
        Self::TONIC,
        Self::SUPERTONIC,
        Self::MEDIANT,
        Self::SUBDOMINANT,
        Self::DOMINANT,
        Self::SUBMEDIANT,
        Self::SEVENTH,
    ];

    const fn natural(number: u8) -> Self {
        Self { number, alteration: 0 }
    }

    /// The unaltered degree of a number.
    ///
    /// # Errors
    /// If the number is not from 1 to 7.
    pub const fn new(number: u8) -> Result<Self, DegreeError> {
        match number {
            1..=7 => Ok(Self::natural(number)),
            _ => Err(DegreeError::Number { number }),
        }
    }

    /// The unaltered degree so many steps above the tonic; octaves apart are the same.
    pub const fn of_steps(steps: i32) -> Self {
        Self::ALL[steps.rem_euclid(7) as usize]
    }

    /// The same degree with an alteration in semitones, in place of the one it had.
    #[must_use]
    pub const fn altered(self, alteration: i8) -> Self {
        Self { alteration, ..self }
    }

    /// The number, 1 to 7.
    pub const fn number(self) -> u8 {
        self.number
    }

    /// Semitones above (or below) the degree of the signature's scale.
    pub fn alteration(self) -> i32 {
        self.alteration.into()
    }

    /// Whether it stands in the scale of the signature.
    pub const fn is_natural(self) -> bool {
        self.alteration == 0
    }

    /// Steps above the tonic, 0 to 6.
    pub fn steps(self) -> i32 {
        i32::from(self.number) - 1
    }
}

impl fmt::Display for Degree {
    /// `5`, `#4`, `b7`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.alteration < 0 { "b" } else { "#" };
        f.pad(&format!("{}{}", sign.repeat(self.alteration.unsigned_abs().into()), self.number))
    }
}

impl fmt::Debug for Degree {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Degree {
    type Err = DegreeError;
    fn from_str(text: &str) -> Result<Self, DegreeError> {
        let number = text.trim_start_matches(['b', '♭', '#', '♯']);
        let signs = &text[..text.len() - number.len()];
        match (alteration(signs), number.as_bytes()) {
            (Some(alteration), [digit @ b'1'..=b'7']) => Ok(Self { number: digit - b'0', alteration }),
            _ => Err(DegreeError::Syntax { text: text.to_owned() }),
        }
    }
}

/// Semitones of sharps or flats; `None` for a mixture or for more than a number holds.
fn alteration(signs: &str) -> Option<i8> {
    let flats = signs.chars().filter(|sign| matches!(sign, 'b' | '♭')).count();
    let sharps = signs.chars().count() - flats;
    let raised = i16::try_from(sharps).ok()?.checked_sub(i16::try_from(flats).ok()?)?;
    if sharps > 0 && flats > 0 { None } else { i8::try_from(raised).ok() }
}

crate::text_serde::serde_as_text!(Degree);

impl Key {
    /// The degree of a pitch class in this key.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "with triple accidentals on both sides an alteration stays below ten"
    )]
    pub fn degree(self, class: PitchClass) -> Degree {
        let above = self.tonic().up_to(class);
        let degree = Degree::of_steps(above.steps());
        degree.altered((above.semitones() - self.above_tonic(degree)) as i8)
    }

    /// The pitch class of a degree.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn class(self, degree: Degree) -> Result<PitchClass, PitchError> {
        let semitones = self.above_tonic(degree) + degree.alteration();
        self.tonic().moved(Interval::between(degree.steps(), semitones))
    }

    /// Semitones of the unaltered degree above the tonic.
    fn above_tonic(self, degree: Degree) -> i32 {
        self.mode().semitones()[usize::from(degree.number() - 1)]
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::key::any_key;
    use proptest::prelude::*;

    /// Any degree with as many signs as a pitch may carry.
    pub(crate) fn any_degree() -> impl Strategy<Value = Degree> {
        (prop::sample::select(Degree::ALL.to_vec()), -3_i8..=3)
            .prop_map(|(degree, alteration)| degree.altered(alteration))
    }

    /// Common practice: degrees counted in the scale of the signature.
    #[test]
    fn degrees_of_classes() {
        let rows = [
            ("C major", "C D E F G A B", "1 2 3 4 5 6 7"),
            ("C major", "C# Db F# Ab Bb", "#1 b2 #4 b6 b7"),
            ("A minor", "A B C D E F G", "1 2 3 4 5 6 7"),
            ("A minor", "C# F# G# Bb Eb", "#3 #6 #7 b2 b5"),
            ("G# minor", "G# F# F## E E#", "1 7 #7 6 #6"),
            ("F lydian", "B Bb", "4 b4"),
            ("Eb major", "Cb B##", "b6 ###5"),
        ];
        for (key, classes, degrees) in rows {
            let key: Key = key.parse().unwrap();
            let found: Vec<String> =
                classes.split(' ').map(|class| key.degree(class.parse().unwrap()).to_string()).collect();
            assert_eq!(found.join(" "), degrees, "{key}");
        }
    }

    #[test]
    fn refuses_numbers_outside_the_scale() {
        for number in [0, 8, 255] {
            assert_eq!(
                Degree::new(number).unwrap_err().to_string(),
                format!("there is no degree {number}: degrees run from 1 to 7 (8 is 1 again)")
            );
        }
        assert_eq!(Degree::new(7), Ok(Degree::SEVENTH));
    }

    #[test]
    fn refuses_texts_that_are_no_degrees() {
        let endless = "#".repeat(200_000) + "4";
        for text in ["", "0", "8", "12", "b", "b#5", "#b5", "5#", " 5", "-1", "V", "٣", &endless] {
            assert_eq!(
                text.parse::<Degree>().unwrap_err().to_string(),
                format!(
                    "{text:?} is not a scale degree: write a number from 1 to 7 after its sharps or flats, as in 5, #4 or b7"
                )
            );
        }
    }

    #[test]
    fn unicode_signs_are_read() {
        assert_eq!("♯4".parse::<Degree>().unwrap().to_string(), "#4");
        assert_eq!("♭♭7".parse::<Degree>().unwrap().to_string(), "bb7");
    }

    #[cfg(feature = "serde")]
    #[test]
    fn json_is_the_text_form() {
        let degree: Degree = serde_json::from_str(r##""#7""##).unwrap();
        assert_eq!(serde_json::to_string(&degree).unwrap(), r##""#7""##);
        assert!(serde_json::from_str::<Degree>("7").is_err());
    }

    #[test]
    fn all_alterations_roundtrip_through_text() {
        for alteration in i8::MIN..=i8::MAX {
            let degree = Degree::DOMINANT.altered(alteration);
            assert_eq!(degree.to_string().parse(), Ok(degree));
        }
    }

    proptest! {
        #[test]
        fn prop_class_inverts_degree(key in any_key(), other in any_key()) {
            let class = other.tonic();
            prop_assert_eq!(key.class(key.degree(class)), Ok(class));
        }

        #[test]
        fn prop_degree_inverts_class(key in any_key(), degree in any_degree()) {
            if let Ok(class) = key.class(degree) {
                prop_assert_eq!(key.degree(class), degree);
            }
        }

        #[test]
        fn prop_steps_and_numbers_agree(degree in any_degree(), octaves in -9..9) {
            let found = Degree::of_steps(degree.steps() + 7 * octaves);
            prop_assert_eq!(found, Degree::new(degree.number()).unwrap());
            prop_assert!(found.is_natural());
        }
    }
}
