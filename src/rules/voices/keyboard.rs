//! Which voices lie under the hands and which under the feet.

use crate::texture::Texture;

/// Which scores a rule for keyboards judges.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Keyboards {
    /// Those of which every voice has the sound of a harpsichord, an organ or another keyboard. The
    /// first sound, a piano, says nothing: a voice has it that was never given one.
    #[default]
    BySound,
    /// All.
    Always,
}

/// Whether a program of General MIDI is a keyboard other than the first: 2 to 8 are pianos,
/// harpsichord and clavichord, 17 to 21 organs and harmonium (from memory).
const fn is_keyboard(sound: u8) -> bool {
    matches!(sound, 2..=8 | 17..=21)
}

/// Whether a voice is played by the feet, as its name says.
pub(super) fn is_pedal(name: &str) -> bool {
    name.to_lowercase().contains("pedal")
}

/// The voices under the hands; none if the score is not judged.
pub(super) fn manual_voices(texture: &Texture<'_>, judged: Keyboards) -> Vec<usize> {
    let parts = texture.score().parts();
    if judged == Keyboards::BySound && !parts.iter().all(|part| is_keyboard(part.voice.sound())) {
        return Vec::new();
    }
    (0..parts.len()).filter(|&voice| !is_pedal(texture.name(voice))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ensemble::Ensemble;
    use crate::line::Line;
    use crate::score::{Part, Score};

    /// The voices under the hands in an ensemble.
    fn manual(name: &str) -> Vec<usize> {
        let ensemble = Ensemble::named(name).unwrap();
        let line: Line = "C4:1".parse().unwrap();
        let part = |voice: &crate::voice::Voice| Part { voice: voice.clone(), line: line.clone() };
        let parts = ensemble.voices().iter().map(part).collect();
        let meter = "4/4".parse().unwrap();
        let score = Score::new("C major".parse().unwrap(), meter, crate::time::Time::ZERO, parts).unwrap();
        manual_voices(&Texture::of(&score), Keyboards::BySound)
    }

    #[test]
    fn hands_have_all_voices_of_a_keyboard_and_the_feet_the_lowest_of_an_organ() {
        assert_eq!(manual("keyboard"), [0, 1, 2, 3]);
        assert_eq!(manual("organ"), [0, 1, 2]);
        assert!(manual("string-quartet").is_empty());
        assert!(manual("choir").is_empty());
    }
}
