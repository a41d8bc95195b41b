//! The scales of a key, in the three forms of the minor.

use super::Degree;
use crate::interval::Interval;
use crate::key::{Key, Mode};
use crate::pitch::{PitchClass, PitchError};

/// The forms of the minor scale.
///
/// A raised degree is as high as in the parallel major. In a key whose sixth or seventh is that
/// high already nothing is raised: a major scale is the same in all forms.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum MinorForm {
    /// Natural: sixth and seventh as in the signature.
    Natural,
    /// Harmonic: the seventh raised.
    Harmonic,
    /// Melodic: sixth and seventh raised as it ascends; it descends as the natural form.
    Melodic,
}

impl MinorForm {
    /// All forms.
    pub const ALL: [Self; 3] = [Self::Natural, Self::Harmonic, Self::Melodic];

    /// The form in which the scale descends.
    #[must_use]
    pub const fn descending(self) -> Self {
        if matches!(self, Self::Melodic) { Self::Natural } else { self }
    }

    /// Whether it raises a degree as it ascends.
    pub const fn raises(self, degree: Degree) -> bool {
        match degree.number() {
            6 => matches!(self, Self::Melodic),
            7 => matches!(self, Self::Harmonic | Self::Melodic),
            _ => false,
        }
    }
}

impl Key {
    /// The seven classes of the scale, from the tonic up.
    ///
    /// # Errors
    /// If one of them cannot be written.
    pub fn scale(self, form: MinorForm) -> Result<[PitchClass; 7], PitchError> {
        let mut scale = [self.tonic(); 7];
        for (place, degree) in scale.iter_mut().zip(Degree::ALL) {
            *place = if form.raises(degree) { self.raised(degree)? } else { self.class(degree)? };
        }
        Ok(scale)
    }

    /// The seven classes of the scale from the tonic down: 8, 7, 6 and so on to 2.
    ///
    /// ```
    /// use soggetto::key::Key;
    /// use soggetto::scale::MinorForm;
    /// let key: Key = "D minor".parse()?;
    /// let down = key.scale_descending(MinorForm::Melodic)?.map(|class| class.to_string());
    /// assert_eq!(down, ["D", "C", "Bb", "A", "G", "F", "E"]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If one of them cannot be written.
    pub fn scale_descending(self, form: MinorForm) -> Result<[PitchClass; 7], PitchError> {
        let mut scale = self.scale(form.descending())?;
        scale[1..].reverse();
        Ok(scale)
    }

    /// The class of a sixth or seventh degree as high as in the parallel major.
    fn raised(self, degree: Degree) -> Result<PitchClass, PitchError> {
        Self::new(self.tonic(), Mode::Major).class(degree)
    }

    /// The leading note: a semitone below the tonic, raised in minor.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn leading_note(self) -> Result<PitchClass, PitchError> {
        self.tonic().moved(-Interval::MINOR_SECOND)
    }

    /// Whether a class belongs to the scale of the signature or to its harmonic or melodic form.
    ///
    /// In dorian, phrygian and mixolydian too the raised seventh belongs to the key: cadences raise
    /// it (common practice).
    pub fn contains(self, class: PitchClass) -> bool {
        let degree = self.degree(class);
        degree.is_natural() || (degree.number() >= 6 && self.raised(degree.altered(0)) == Ok(class))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::key::any_key;
    use proptest::prelude::*;

    fn names(scale: [PitchClass; 7]) -> String {
        scale.map(|class| class.to_string()).join(" ")
    }

    /// Common practice.
    #[test]
    fn minor_scale_has_three_forms() {
        use MinorForm::{Harmonic, Melodic, Natural};
        let rows = [
            // key, form, ascending, descending
            ("A minor", Natural, "A B C D E F G", "A G F E D C B"),
            ("A minor", Harmonic, "A B C D E F G#", "A G# F E D C B"),
            ("A minor", Melodic, "A B C D E F# G#", "A G F E D C B"),
            ("F minor", Melodic, "F G Ab Bb C D E", "F Eb Db C Bb Ab G"),
            ("G# minor", Harmonic, "G# A# B C# D# E F##", "G# F## E D# C# B A#"),
            ("G# minor", Melodic, "G# A# B C# D# E# F##", "G# F# E D# C# B A#"),
            ("Eb minor", Natural, "Eb F Gb Ab Bb Cb Db", "Eb Db Cb Bb Ab Gb F"),
            ("A# minor", Harmonic, "A# B# C# D# E# F# G##", "A# G## F# E# D# C# B#"),
            ("D major", Melodic, "D E F# G A B C#", "D C# B A G F# E"),
            ("D dorian", Harmonic, "D E F G A B C#", "D C# B A G F E"),
            ("D dorian", Melodic, "D E F G A B C#", "D C B A G F E"),
        ];
        for (key, form, ascending, descending) in rows {
            let key: Key = key.parse().unwrap();
            assert_eq!(names(key.scale(form).unwrap()), ascending, "{key} {form:?}");
            assert_eq!(names(key.scale_descending(form).unwrap()), descending, "{key} {form:?}");
        }
    }

    #[test]
    fn leading_note_lies_a_semitone_below_the_tonic() {
        for (key, note) in
            [("C major", "B"), ("A minor", "G#"), ("G# minor", "F##"), ("F minor", "E"), ("D dorian", "C#")]
        {
            let key: Key = key.parse().unwrap();
            assert_eq!(key.leading_note(), Ok(note.parse().unwrap()), "{key}");
        }
    }

    #[test]
    fn key_contains_its_raised_degrees_and_no_other_accidental() {
        let rows = [
            ("C major", "C D E F G A B", "C# Db F# Bb B# Cb"),
            ("A minor", "A B C D E F F# G G#", "A# Bb C# Eb D#"),
            ("G# minor", "F# F## E E#", "F G Eb C"),
            ("D dorian", "D E F G A B C C#", "Bb F# G#"),
            ("F lydian", "F G A B C D E", "Bb Eb"),
        ];
        for (key, inside, outside) in rows {
            let key: Key = key.parse().unwrap();
            let has = |text: &str| key.contains(text.parse().unwrap());
            assert!(inside.split(' ').all(has), "{key} contains {inside}");
            assert!(!outside.split(' ').any(has), "{key} contains none of {outside}");
        }
    }

    #[test]
    fn refuses_scale_beyond_notation() {
        let key: Key = "B### major".parse().unwrap();
        assert_eq!(
            key.scale(MinorForm::Natural).unwrap_err().to_string(),
            "B### moved by M2 needs 4 sharps: notation has at most 3 (respell the music in a nearer key)"
        );
    }

    proptest! {
        #[test]
        fn prop_every_form_belongs_to_its_key(key in any_key()) {
            for scale in MinorForm::ALL.iter().filter_map(|&form| key.scale(form).ok()) {
                prop_assert!(scale.iter().all(|&class| key.contains(class)));
            }
        }

        #[test]
        fn prop_signature_alters_the_natural_scale(key in any_key()) {
            if let Ok(signature) = key.signature() {
                for class in key.scale(MinorForm::Natural).unwrap() {
                    prop_assert_eq!(signature.alteration(class.letter()), class.alteration());
                }
            }
        }

        #[test]
        fn prop_scale_uses_each_letter_once(key in any_key()) {
            for scale in MinorForm::ALL.iter().filter_map(|&form| key.scale(form).ok()) {
                let letters: std::collections::BTreeSet<_> = scale.iter().map(|class| class.letter()).collect();
                prop_assert_eq!(letters.len(), 7);
            }
        }
    }
}
