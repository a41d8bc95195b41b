//! Notes of one chord.

use crate::pitch::PitchClass;

/// Whether all notes are root, third, fifth or seventh of one chord.
pub(super) fn is_one_chord(notes: &[PitchClass]) -> bool {
    let is_in = |root: PitchClass, note: PitchClass| {
        let up = root.up_to(note);
        matches!((up.steps(), up.semitones()), (0, 0) | (2, 3 | 4) | (4, 6..=8) | (6, 9..=11))
    };
    notes.iter().any(|&root| notes.iter().all(|&note| is_in(root, note)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chords_are_told_from_what_is_none() {
        let is_chord = |names: &str| {
            let notes: Vec<PitchClass> = names.split(' ').map(|name| name.parse().unwrap()).collect();
            is_one_chord(&notes)
        };
        assert!(["E G C", "G# D B E", "F# A C Eb", "C C"].into_iter().all(is_chord));
        assert!(!["B F C G", "C D E", "A B C"].into_iter().any(is_chord));
    }
}
