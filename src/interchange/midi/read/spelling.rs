//! Spelling by key: the format knows keys of a keyboard only.

use crate::key::{Key, Mode, Signature};
use crate::pitch::{Pitch, PitchClass};

/// Fifths from the tonic to the notes that belong to the key; in minor the raised sixth and
/// seventh too.
const MAJOR: [i32; 7] = [-1, 0, 1, 2, 3, 4, 5];
const MINOR: [i32; 9] = [-4, -3, -2, -1, 0, 1, 2, 3, 5];
/// The chromatic scale about a tonic, in fifths: in major from the lowered third to the raised fifth, in
/// minor from the lowered second to the raised fourth. Measured on fugues: see `DEVELOPERS.md`.
const CHROMATIC_MAJOR: std::ops::RangeInclusive<i32> = -3..=8;
const CHROMATIC_MINOR: std::ops::RangeInclusive<i32> = -5..=6;
/// How far from the tonic the step above or below a goal may lie: from the lowered sixth to the raised
/// second.
const STEPS: std::ops::RangeInclusive<i32> = -4..=9;

/// Spells the notes of a line, given as keys of the keyboard.
///
/// A note of the key is spelled as the key has it. A chromatic note that moves on by a semitone to a note
/// of the key is spelled as the step above or below it, else so if it comes from one by a semitone; any
/// other as in the chromatic scale about the tonic (common practice).
pub(super) fn spell(keys: &[u8], key: Key) -> Vec<Option<Pitch>> {
    let at = |index: Option<usize>| index.and_then(|index| keys.get(index)).copied();
    let spelled = |(index, &note): (usize, &u8)| {
        placed(one(note, [at(index.checked_add(1)), at(index.checked_sub(1))], key)?, note)
    };
    keys.iter().enumerate().map(spelled).collect()
}

/// The place of a note on the line of fifths, beside the note after it and the note before.
fn one(note: u8, beside: [Option<u8>; 2], key: Key) -> Option<i32> {
    let plain = chromatic(note, key)?;
    if belongs(plain, key) {
        return Some(plain);
    }
    let step = |other: u8| {
        let goal = chromatic(other, key).filter(|&goal| belongs(goal, key) && other.abs_diff(note) == 1)?;
        // Five fifths less make a semitone up, five more one down.
        let step = if other > note { goal + 5 } else { goal - 5 };
        STEPS.contains(&(step - key.tonic().fifths())).then_some(step)
    };
    Some(beside.into_iter().flatten().find_map(step).unwrap_or(plain))
}

/// The place of a note on the line of fifths in the chromatic scale about the tonic.
fn chromatic(note: u8, key: Key) -> Option<i32> {
    let tonic = key.tonic().fifths();
    let scale = if key.mode().has_minor_third() { CHROMATIC_MINOR } else { CHROMATIC_MAJOR };
    scale.map(|offset| tonic + offset).find(|fifths| (fifths * 7 - i32::from(note)).rem_euclid(12) == 0)
}

fn belongs(fifths: i32, key: Key) -> bool {
    let offset = fifths - key.tonic().fifths();
    if key.mode().has_minor_third() { MINOR.contains(&offset) } else { MAJOR.contains(&offset) }
}

fn placed(fifths: i32, note: u8) -> Option<Pitch> {
    let class = PitchClass::from_fifths(fifths).ok()?;
    let above_c = class.letter().semitones() + class.alteration();
    Pitch::new(class, (i32::from(note) - above_c).div_euclid(12) - 1).ok()
}

/// The key that most of the sounding time belongs to; among equals the one with fewest accidentals.
/// `weights` are by key of the octave, `bass` is the last bass note.
pub(super) fn estimate(weights: &[i64; 12], bass: u8) -> Option<Key> {
    let keys = [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6].into_iter().flat_map(|fifths| {
        let signature = Signature::new(fifths).ok();
        [Mode::Major, Mode::Minor].into_iter().filter_map(move |mode| signature?.key(mode).ok())
    });
    let score = |key: &Key| -> i64 {
        let inside =
            (0..12_u8).filter(|&note| chromatic(note, *key).is_some_and(|fifths| belongs(fifths, *key)));
        let inside: i64 = inside.map(|note| weights[usize::from(note)]).sum();
        let final_here = (key.tonic().semitones() - i32::from(bass)).rem_euclid(12) == 0;
        2 * inside - breadth(*key, weights) + if final_here { weights.iter().sum::<i64>() / 2 } else { 0 }
    };
    let mut best: Option<(i64, Key)> = None;
    for key in keys {
        let score = score(&key);
        if best.is_none_or(|(other, _)| score > other) {
            best = Some((score, key));
        }
    }
    best.map(|(_, key)| key)
}

/// What the two forms of sixth and seventh add to a minor key, which a major one does not have.
fn breadth(key: Key, weights: &[i64; 12]) -> i64 {
    if !key.mode().has_minor_third() {
        return 0;
    }
    let raised = [9, 11].map(|above| (key.tonic().semitones() + above).rem_euclid(12));
    raised.iter().filter_map(|&note| weights.get(usize::try_from(note).ok()?)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spelled(keys: &[u8], key: &str) -> String {
        let pitches = spell(keys, key.parse().unwrap());
        pitches.iter().map(|pitch| pitch.unwrap().to_string()).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn notes_of_the_key_are_spelled_as_it_has_them() {
        assert_eq!(spelled(&[60, 62, 64, 66, 67, 71], "G major"), "C4 D4 E4 F#4 G4 B4");
        assert_eq!(spelled(&[68, 66, 65, 63, 61], "Db major"), "Ab4 Gb4 F4 Eb4 Db4");
    }

    #[test]
    fn leading_note_of_minor_is_raised() {
        assert_eq!(spelled(&[67, 66, 67, 64, 63, 62], "G minor"), "G4 F#4 G4 E4 Eb4 D4");
        assert_eq!(spelled(&[71, 72, 73], "C# minor"), "B4 B#4 C#5");
    }

    #[test]
    fn chromatic_note_is_spelled_by_its_goal() {
        assert_eq!(spelled(&[60, 61, 62], "C major"), "C4 C#4 D4");
        assert_eq!(spelled(&[67, 68, 69, 68, 67], "C major"), "G4 G#4 A4 Ab4 G4");
        assert_eq!(spelled(&[62, 63, 64, 63, 62], "C major"), "D4 D#4 E4 Eb4 D4");
    }

    #[test]
    fn chromatic_note_that_leaps_on_is_spelled_by_where_it_comes_from() {
        assert_eq!(spelled(&[64, 63, 67], "C major"), "E4 D#4 G4");
        assert_eq!(spelled(&[69, 68, 64], "C major"), "A4 G#4 E4");
    }

    /// The leading note of the dominant or subdominant that falls keeps its name: no note of the key lies
    /// a step above it that far from the tonic.
    #[test]
    fn leading_note_that_falls_is_no_distant_flat() {
        assert_eq!(spelled(&[67, 66, 65, 64], "D minor"), "G4 F#4 F4 E4");
        assert_eq!(spelled(&[62, 61, 60], "C major"), "D4 C#4 C4");
        assert_eq!(spelled(&[52, 60], "Eb major"), "E3 C4");
    }
}
