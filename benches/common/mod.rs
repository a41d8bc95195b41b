//! Scores of any length for the benches, and the bare loop over their notes.
#![allow(dead_code, reason = "each bench takes what it needs")]

use soggetto::score::Score;
use soggetto::texture::{Texture, Tone};

/// Two bars of four voices in free imitation: 37 notes.
const PHRASE: [&str; 4] = [
    "G4:1/8 A4 B4 C5 D5:1/4 C5 B4:1/8 C5 D5 B4 C5:1/2 ",
    "E4:1/4 D4:1/8 E4 F4:1/4 E4 D4:1/4 G4:3/8 F4:1/8 E4:1/4 ",
    "C4:1/4 F3 B3:1/4 G3:1/8 A3 B3:1/4 G3:1/4 G3:1/2 ",
    "C3:1/4 D3 G2 C3 G3:1/8 F3 E3 D3 C3:1/2 ",
];

/// A score of so many phrases.
pub(crate) fn score(phrases: usize) -> Score {
    let lines = PHRASE.map(|line| line.repeat(phrases));
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    Score::excerpt("C major", "4/4", &lines).expect("the phrase is sound")
}

/// How many notes it has.
pub(crate) fn notes(score: &Score) -> usize {
    score.parts().iter().map(|part| part.line.notes().len()).sum()
}

/// The notes of each voice.
pub(crate) fn voices(score: &Score) -> Vec<Vec<Tone>> {
    let texture = Texture::of(score);
    (0..texture.voices()).map(|voice| texture.tones(voice).to_vec()).collect()
}

/// The bare loop: the sum of the differences in height of all pairs of simultaneous notes.
pub(crate) fn bare_loop(voices: &[Vec<Tone>]) -> i32 {
    let mut sum = 0_i32;
    for (lower, below) in voices.iter().enumerate() {
        for above in voices.iter().take(lower) {
            let (mut a, mut b) = (0, 0);
            while let (Some(one), Some(other)) = (above.get(a), below.get(b)) {
                sum = sum.wrapping_add(one.pitch.height() - other.pitch.height());
                a += usize::from(one.end <= other.end);
                b += usize::from(other.end <= one.end);
            }
        }
    }
    sum
}
