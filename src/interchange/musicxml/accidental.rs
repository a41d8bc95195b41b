//! Which notes need an accidental.

use crate::pitch::{Letter, Pitch, PitchClass};
use std::collections::BTreeMap;

/// What is in force on each line and space of the staff: the signature, and what the bar changed.
#[derive(Clone, Debug)]
pub(super) struct Accidentals {
    fifths: i8,
    changed: BTreeMap<i32, i32>,
}

impl Accidentals {
    /// The state at the beginning of a bar.
    pub(super) const fn new(fifths: i8) -> Self {
        Self { fifths, changed: BTreeMap::new() }
    }

    /// Forgets what the last bar changed.
    pub(super) fn bar_line(&mut self) {
        self.changed.clear();
    }

    /// The accidental a note needs, which then stays in force in its bar.
    pub(super) fn of(&mut self, pitch: Pitch) -> Option<&'static str> {
        let line = pitch.staff_step();
        let in_signature = alteration(self.fifths, pitch.letter());
        let in_force = self.changed.get(&line).copied().unwrap_or(in_signature);
        if in_force == pitch.alteration() {
            return None;
        }
        self.changed.insert(line, pitch.alteration());
        Some(name(pitch.alteration()))
    }
}

/// What a signature does to a letter: sharps come in the order F C G D A E B, flats from the end.
fn alteration(fifths: i8, letter: Letter) -> i32 {
    let place = PitchClass::new(letter, 0).map_or(0, PitchClass::fifths);
    let fifths = i32::from(fifths);
    i32::from(place < fifths - 1) - i32::from(place > 5 + fifths)
}

/// The name in the format.
const fn name(alteration: i32) -> &'static str {
    match alteration {
        ..=-3 => "triple-flat",
        -2 => "flat-flat",
        -1 => "flat",
        0 => "natural",
        1 => "sharp",
        2 => "double-sharp",
        3.. => "triple-sharp",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(accidentals: &mut Accidentals, pitch: &str) -> Option<&'static str> {
        accidentals.of(pitch.parse().unwrap())
    }

    #[test]
    fn signature_alters_its_letters_in_every_octave() {
        let mut d_major = Accidentals::new(2);
        for pitch in ["F#4", "F#5", "C#3", "G4", "B4"] {
            assert_eq!(of(&mut d_major, pitch), None, "{pitch}");
        }
        let mut c_flat_major = Accidentals::new(-7);
        assert_eq!(of(&mut c_flat_major, "Fb4"), None);
        assert_eq!(of(&mut c_flat_major, "F4"), Some("natural"));
    }

    #[test]
    fn accidental_holds_for_its_line_until_the_bar_line() {
        let mut a_minor = Accidentals::new(0);
        assert_eq!(of(&mut a_minor, "G#4"), Some("sharp"));
        assert_eq!(of(&mut a_minor, "G#4"), None);
        assert_eq!(of(&mut a_minor, "G#5"), Some("sharp"));
        assert_eq!(of(&mut a_minor, "G4"), Some("natural"));
        a_minor.bar_line();
        assert_eq!(of(&mut a_minor, "G4"), None);
    }

    #[test]
    fn all_alterations_have_names() {
        let mut c_major = Accidentals::new(0);
        let names = ["Cbbb4", "Dbb4", "Eb4", "F#4", "G##4", "A###4"].map(|p| of(&mut c_major, p).unwrap());
        assert_eq!(names, ["triple-flat", "flat-flat", "flat", "sharp", "double-sharp", "triple-sharp"]);
    }
}
