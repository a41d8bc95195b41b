//! From a Roman numeral to the notes of a key.

use super::{Chord, Numeral, Triad};
use crate::key::{Key, Mode};
use crate::pitch::{PitchClass, PitchError};

impl Numeral {
    /// The chord in a key, by the conventions stated for [`Numeral`].
    ///
    /// # Errors
    /// If a note of it would need more than three accidentals.
    pub fn in_key(self, key: Key) -> Result<Chord, PitchError> {
        let key = self.target().map_or(Ok(key), |target| target.as_tonic(key))?;
        let chord = Chord::on(self.root_in(key)?, self.kind(), self.seventh())?;
        Ok(chord.with_inversion(self.inversion()))
    }

    /// The key whose tonic triad this is.
    fn as_tonic(self, key: Key) -> Result<Key, PitchError> {
        let mode = if self.kind().has_minor_third() { Mode::Minor } else { Mode::Major };
        Ok(Key::new(key.class(self.degree())?, mode))
    }

    /// The root in a key, which in minor may be the raised sixth or seventh.
    fn root_in(self, key: Key) -> Result<PitchClass, PitchError> {
        let degree = self.degree();
        if self.kind() == Triad::Diminished && degree.is_natural() && degree.number() >= 6 {
            return Key::new(key.tonic(), Mode::Major).class(degree);
        }
        key.class(degree)
    }
}

#[cfg(test)]
mod tests {
    use super::super::any_numeral;
    use super::*;
    use proptest::prelude::*;

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
