//! The Roman numeral: a chord named by its degree, in no key yet.

use super::{Chord, Seventh, Triad};
use crate::key::{Key, Mode};
use crate::pitch::{PitchClass, PitchError};
use crate::scale::Degree;

/// A Roman numeral: a triad or seventh chord on a degree, in some inversion, perhaps applied to
/// another degree.
///
/// Every numeral guarantees that its inversion exists and that it is applied, if at all, to a
/// major or minor triad: neither `V` in third inversion nor `V/viio` can be constructed.
///
/// # Text
/// `[b|#] NUMERAL [o|ø|+] [M|m|d] [FIGURES] [/ TARGET]`, and printing inverts parsing.
/// - *Triad.* Large numerals have a major third, small ones a minor third; `o` diminishes the
///   fifth of a small one (`viio`), `+` augments that of a large one (`III+`).
/// - *Figures.* A triad has none, `6` or `64`; a seventh chord has `7`, `65`, `43` or `42` (`2` is
///   read as `42`).
/// - *Seventh.* The quality is that of the chord, not that of the key: a figure alone means the
///   minor seventh (`V7`, `ii7`, `i65`), after `o` the diminished one (`viio7`), after `ø` the minor
///   one over a diminished triad (`viiø7`). `M` before the figure means a major seventh (`IVM7`), `m`
///   a minor and `d` a diminished one where the figure alone would not: `viiom7` is read as `viiø7`.
/// - *Root.* `b` and `#` alter the degree of the signature: `bII6` is the Neapolitan sixth.
/// - *Applied.* `V7/V`, `viio6/ii`: the chord in the key whose tonic triad is the target.
///
/// So `IV7` has a minor seventh in every key, and the seventh chord of the major scale on its
/// fourth degree is `IVM7` (common practice, of the textbooks that mark the major seventh; others
/// read figures in the key).
///
/// # The minor mode
/// Third, sixth and seventh degree are those of the signature: in A minor `III` is C E G, `VI`
/// F A C, `VII` G B D, `iv` D F A. The dominant takes the leading note, being written large: `V` is
/// E G# B. A *diminished* triad on an unaltered sixth or seventh degree stands where it stands in
/// the parallel major: `viio` is G# B D, `viio7` G# B D F, `vio` F# A C. These are the chords of the
/// harmonic minor (common practice), which `#viio` names too.
///
/// # Examples
/// ```
/// use soggetto::chord::{Numeral, Seventh, Triad};
/// use soggetto::scale::Degree;
/// let dominant = Numeral::triad(Degree::DOMINANT, Triad::Major).with_seventh(Seventh::Minor);
/// assert_eq!(dominant.to_string(), "V7");
/// assert_eq!(dominant.inverted(1)?.to_string(), "V65");
/// assert_eq!(dominant.applied_to("ii".parse()?)?.to_string(), "V7/ii");
/// assert_eq!(dominant.in_key("A minor".parse()?)?.to_string(), "E G# B D");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Numeral {
    degree: Degree,
    triad: Triad,
    seventh: Option<Seventh>,
    inversion: u8,
    target: Option<Target>,
}

/// The tonic triad to whose key an applied chord belongs.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
struct Target {
    degree: Degree,
    mode: Mode,
}

/// What makes a text or a combination no Roman numeral.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NumeralError {
    /// Not of the form of a Roman numeral.
    #[error("{text:?} is not a Roman numeral: write i, V7, viio6, IV64 or V7/V")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// A large numeral with `o` or `ø`, or a small one with `+`.
    #[error(
        "{text:?} is not a Roman numeral: diminished triads are written small (viio), augmented ones large (III+)"
    )]
    Case {
        /// What was given.
        text: String,
    },
    /// Something after the numeral that is no figures.
    #[error(
        "{text:?} is not a Roman numeral: after {numeral:?} stand no figures but 6 and 64 for triads, 7, 65, 43 and 42 for seventh chords"
    )]
    Figures {
        /// What was given.
        text: String,
        /// The part of it that is a numeral.
        numeral: String,
    },
    /// A sign for the seventh without a seventh: `viiø`, `IM6`.
    #[error(
        "{text:?} is not a Roman numeral: ø, M, m and d speak of a seventh (add 7, 65, 43 or 42, or leave the sign out)"
    )]
    NoSeventh {
        /// What was given.
        text: String,
    },
    /// Applied to something else than a plain major or minor triad.
    #[error(
        "{numeral} cannot be applied to {target:?}: only a major or minor triad in root position can become a tonic, as in V7/V or V/vi"
    )]
    Target {
        /// The chord to be applied.
        numeral: String,
        /// What it was applied to.
        target: String,
    },
    /// An inversion that the chord does not have.
    #[error("{numeral} has no inversion {inversion}: a triad has two, a seventh chord three")]
    Inversion {
        /// The chord.
        numeral: Numeral,
        /// The inversion asked for.
        inversion: u8,
    },
}

impl NumeralError {
    /// A stable word for scripts.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "numeral-syntax",
            Self::Case { .. } => "numeral-case",
            Self::Figures { .. } => "numeral-figures",
            Self::NoSeventh { .. } => "numeral-no-seventh",
            Self::Target { .. } => "numeral-target",
            Self::Inversion { .. } => "numeral-inversion",
        }
    }
}

impl Numeral {
    /// A triad in root position.
    pub const fn triad(degree: Degree, triad: Triad) -> Self {
        Self { degree, triad, seventh: None, inversion: 0, target: None }
    }

    /// The same chord with a seventh; its inversion stays.
    #[must_use]
    pub const fn with_seventh(self, seventh: Seventh) -> Self {
        Self { seventh: Some(seventh), ..self }
    }

    /// The same chord in another inversion: 0 for the root position, 1 for the third in the bass.
    ///
    /// # Errors
    /// If the inversion is above 2 for a triad, above 3 for a seventh chord.
    pub const fn inverted(self, inversion: u8) -> Result<Self, NumeralError> {
        let last = if self.seventh.is_some() { 3 } else { 2 };
        if inversion > last {
            return Err(NumeralError::Inversion { numeral: self, inversion });
        }
        Ok(Self { inversion, ..self })
    }

    /// The same chord in the key whose tonic triad is `target`; a target it had before is replaced.
    ///
    /// # Errors
    /// If the target is anything but a major or minor triad in root position.
    pub fn applied_to(self, target: Self) -> Result<Self, NumeralError> {
        let mode = match target.triad {
            Triad::Major => Mode::Major,
            Triad::Minor => Mode::Minor,
            Triad::Diminished | Triad::Augmented => return Err(self.misapplied(target.to_string())),
        };
        if target != Self::triad(target.degree, target.triad) {
            return Err(self.misapplied(target.to_string()));
        }
        Ok(Self { target: Some(Target { degree: target.degree, mode }), ..self })
    }

    /// The error of a chord applied to an impossible target.
    pub(super) fn misapplied(self, target: String) -> NumeralError {
        NumeralError::Target { numeral: Self { target: None, ..self }.to_string(), target }
    }

    /// The degree of the root as written, in the key or in the target's key.
    pub const fn degree(self) -> Degree {
        self.degree
    }

    /// The kind of the triad.
    pub const fn kind(self) -> Triad {
        self.triad
    }

    /// The kind of the seventh, if it has one.
    pub const fn seventh(self) -> Option<Seventh> {
        self.seventh
    }

    /// Which note lies in the bass: 0 the root, 1 the third, 2 the fifth, 3 the seventh.
    pub const fn inversion(self) -> u8 {
        self.inversion
    }

    /// The triad to which it is applied, if it is.
    pub fn target(self) -> Option<Self> {
        let Target { degree, mode } = self.target?;
        let triad = if mode == Mode::Minor { Triad::Minor } else { Triad::Major };
        Some(Self::triad(degree, triad))
    }

    /// The chord in a key, by the conventions stated for [`Numeral`].
    ///
    /// # Errors
    /// If a note of it would need more than three accidentals.
    pub fn in_key(self, key: Key) -> Result<Chord, PitchError> {
        let key = match self.target {
            Some(Target { degree, mode }) => Key::new(key.class(degree)?, mode),
            None => key,
        };
        let chord = Chord::on(self.root_in(key)?, self.triad, self.seventh)?;
        Ok(chord.with_inversion(self.inversion))
    }

    /// The root in a key, which in minor may be the raised sixth or seventh.
    fn root_in(self, key: Key) -> Result<PitchClass, PitchError> {
        let plain = self.degree.alteration() == 0;
        if self.triad == Triad::Diminished && plain && self.degree.number() >= 6 {
            return Key::new(key.tonic(), Mode::Major).class(self.degree);
        }
        key.class(self.degree)
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Any numeral, also those that hardly occur.
    pub(crate) fn any_numeral() -> impl Strategy<Value = Numeral> {
        let triad = (0..7, -3_i8..=3, 0..4_usize).prop_map(|(steps, alteration, kind)| {
            Numeral::triad(Degree::of_steps(steps).altered(alteration), Triad::ALL[kind])
        });
        let target = (0..7, -3_i8..=3, prop::bool::ANY).prop_map(|(steps, alteration, minor)| {
            let degree = Degree::of_steps(steps).altered(alteration);
            Numeral::triad(degree, if minor { Triad::Minor } else { Triad::Major })
        });
        (triad, prop::option::of(0..3_usize), 0..4_u8, prop::option::of(target)).prop_map(
            |(triad, seventh, inversion, target)| {
                let chord = seventh.map_or(triad, |kind| triad.with_seventh(Seventh::ALL[kind]));
                let chord = chord.inverted(inversion).unwrap_or(chord);
                target.map_or(chord, |target| chord.applied_to(target).unwrap())
            },
        )
    }

    fn spelled(numeral: &str, key: &str) -> String {
        let numeral: Numeral = numeral.parse().unwrap();
        numeral.in_key(key.parse().unwrap()).unwrap().to_string()
    }

    /// Common practice: the chords of the harmonic minor, with III and VII of the natural one.
    #[test]
    fn minor_keys_use_the_harmonic_minor() {
        let rows = [
            // key        i           iio         III         iv          V             VI          VII         viio
            ("A minor", ["A C E", "B D F", "C E G", "D F A", "E G# B", "F A C", "G B D", "G# B D"]),
            ("D minor", ["D F A", "E G Bb", "F A C", "G Bb D", "A C# E", "Bb D F", "C E G", "C# E G"]),
            ("C minor", ["C Eb G", "D F Ab", "Eb G Bb", "F Ab C", "G B D", "Ab C Eb", "Bb D F", "B D F"]),
            ("F minor", ["F Ab C", "G Bb Db", "Ab C Eb", "Bb Db F", "C E G", "Db F Ab", "Eb G Bb", "E G Bb"]),
            (
                "Bb minor",
                ["Bb Db F", "C Eb Gb", "Db F Ab", "Eb Gb Bb", "F A C", "Gb Bb Db", "Ab C Eb", "A C Eb"],
            ),
            ("E minor", ["E G B", "F# A C", "G B D", "A C E", "B D# F#", "C E G", "D F# A", "D# F# A"]),
            (
                "G# minor",
                ["G# B D#", "A# C# E", "B D# F#", "C# E G#", "D# F## A#", "E G# B", "F# A# C#", "F## A# C#"],
            ),
            (
                "D# minor",
                [
                    "D# F# A#",
                    "E# G# B",
                    "F# A# C#",
                    "G# B D#",
                    "A# C## E#",
                    "B D# F#",
                    "C# E# G#",
                    "C## E# G#",
                ],
            ),
        ];
        let numerals = ["i", "iio", "III", "iv", "V", "VI", "VII", "viio"];
        for (key, chords) in rows {
            assert_eq!(numerals.map(|numeral| spelled(numeral, key)), chords, "{key}");
        }
    }

    #[test]
    fn major_keys_use_their_scale() {
        let rows = [
            ("C major", ["C E G", "D F A", "E G B", "F A C", "G B D", "A C E", "B D F"]),
            ("Eb major", ["Eb G Bb", "F Ab C", "G Bb D", "Ab C Eb", "Bb D F", "C Eb G", "D F Ab"]),
            ("F# major", ["F# A# C#", "G# B D#", "A# C# E#", "B D# F#", "C# E# G#", "D# F# A#", "E# G# B"]),
        ];
        let numerals = ["I", "ii", "iii", "IV", "V", "vi", "viio"];
        for (key, chords) in rows {
            assert_eq!(numerals.map(|numeral| spelled(numeral, key)), chords, "{key}");
        }
    }

    #[test]
    fn seventh_is_that_of_the_chord_and_not_of_the_key() {
        let rows = [
            ("V7", "C major", "G B D F"),
            ("V7", "A minor", "E G# B D"),
            ("V7", "G# minor", "D# F## A# C#"),
            ("IVM7", "C major", "F A C E"),
            ("IV7", "C major", "F A C Eb"),
            ("ii7", "C major", "D F A C"),
            ("i7", "A minor", "A C E G"),
            ("iM7", "A minor", "A C E G#"),
            ("iiø7", "A minor", "B D F A"),
            ("viiø7", "C major", "B D F A"),
            ("viio7", "C major", "B D F Ab"),
            ("viio7", "A minor", "G# B D F"),
            ("viio7", "G# minor", "F## A# C# E"),
            ("III+M7", "A minor", "C E G# B"),
        ];
        for (numeral, key, chord) in rows {
            assert_eq!(spelled(numeral, key), chord, "{numeral} in {key}");
        }
    }

    #[test]
    fn alterations_and_applied_chords_are_spelled() {
        let rows = [
            ("bII6", "A minor", "Bb D F"),
            ("bII6", "C major", "Db F Ab"),
            ("#ivo7", "C major", "F# A C Eb"),
            ("#viio", "A minor", "G# B D"),
            ("vio", "A minor", "F# A C"),
            ("bVI", "C major", "Ab C Eb"),
            ("V7/V", "C major", "D F# A C"),
            ("V7/V", "G# minor", "A# C## E# G#"),
            ("V/vi", "C major", "E G# B"),
            ("viio6/ii", "C major", "C# E G"),
            ("viio7/V", "A minor", "D# F# A C"),
            ("V/III", "A minor", "G B D"),
            ("V7/iv", "A minor", "A C# E G"),
            ("viio/VII", "A minor", "F# A C"),
            ("V/bII", "C major", "Ab C Eb"),
        ];
        for (numeral, key, chord) in rows {
            assert_eq!(spelled(numeral, key), chord, "{numeral} in {key}");
        }
    }

    /// Common practice: where a mode has no leading note, the diminished triad on 7 brings it.
    #[test]
    fn diminished_seventh_degree_stands_on_the_leading_note_of_every_mode() {
        for mode in Mode::ALL {
            let key = Key::new("G".parse().unwrap(), mode);
            let chord = "viio".parse::<Numeral>().unwrap().in_key(key).unwrap();
            assert_eq!(chord.root(), key.leading_note().unwrap(), "{key}");
        }
    }

    #[test]
    fn triads_have_no_third_inversion() {
        let triad = Numeral::triad(Degree::DOMINANT, Triad::Major);
        let error = triad.inverted(3).unwrap_err();
        assert_eq!(error.to_string(), "V has no inversion 3: a triad has two, a seventh chord three");
        let seventh = triad.with_seventh(Seventh::Minor);
        assert_eq!(seventh.inverted(3).unwrap().to_string(), "V42");
        assert_eq!(
            seventh.inverted(4).unwrap_err().to_string(),
            "V7 has no inversion 4: a triad has two, a seventh chord three"
        );
    }

    #[test]
    fn values_are_small() {
        assert!(size_of::<Numeral>() <= 8, "{}", size_of::<Numeral>());
    }

    proptest! {
        #[test]
        fn prop_bass_is_the_note_of_the_inversion(numeral in any_numeral()) {
            if let Ok(chord) = numeral.in_key("F major".parse().unwrap()) {
                prop_assert_eq!(chord.bass(), chord.classes()[usize::from(numeral.inversion())]);
            }
        }

        #[test]
        fn prop_transposed_key_transposes_the_chord(numeral in any_numeral(), minor in prop::bool::ANY) {
            let mode = if minor { Mode::Minor } else { Mode::Major };
            let by = crate::interval::Interval::PERFECT_FIFTH;
            let key = Key::new("D".parse().unwrap(), mode);
            if let (Ok(here), Ok(there)) = (numeral.in_key(key), numeral.in_key(key.dominant().unwrap())) {
                let moved: Result<Vec<_>, _> = here.classes().iter().map(|class| class.moved(by)).collect();
                prop_assert_eq!(moved.unwrap(), there.classes());
            }
        }
    }
}
