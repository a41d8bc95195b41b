//! What the tests of the names of dissonances ask.

use super::{Dissonance, Texture};
use crate::score::Score;

/// Names every dissonance of the lines: its onset in quarters, the name, the dissonant note.
pub(super) fn names(meter: &str, lines: &[&str]) -> Vec<String> {
    let score = Score::excerpt("C major", meter, lines).unwrap();
    let texture = Texture::of(&score);
    let name = |dissonance: &Dissonance| {
        let (voice, note) = dissonance.note;
        let pitch = texture.tones(voice)[note].pitch;
        format!("{} {pitch} {}", texture.time(dissonance.onset), dissonance.figure)
    };
    texture.dissonances().iter().map(name).collect()
}
