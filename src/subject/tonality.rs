//! Whether the notes of a subject contradict its key.
//!
//! The first requirement of a subject is a clear key (Prout, *Fugue*, §26). The check is to refuse a
//! wrong label and nothing else, so every note may be heard in the key or in its dominant, whichever
//! costs less, a change between the two costing [`CHANGE`]: subjects that modulate, and those wholly
//! in the dominant (§§33-34), are at home in their key. What is left is compared with all other keys, each
//! taken alone. Linear in the notes, and the other keys are tried only if the given one costs
//! anything to speak of.

use super::SubjectError;
use crate::interval::Interval;
use crate::key::{Key, Mode};
use crate::line::Note;
use crate::pitch::{Letter, Pitch, PitchClass};
use crate::scale::Degree;

/// What it costs to go to the dominant or back.
const CHANGE: u32 = 1;
/// How much less another key must cost. In the worked examples of Prout's *Fugue* no key comes more
/// than 2 below the right one; a theme labelled a tone too low or too high is 3 or more above its own
/// in all but the most ambiguous cases.
const CLEARLY: u32 = 3;
/// The third decides between major and minor: what it costs if only the other mode's third sounds.
const OTHER_THIRD: u32 = 2;
/// What a raised sixth costs in the dominant minor if no raised seventh stands beside it.
const LONE_SIXTH: u32 = 2;
/// What a first or last note costs that is none of tonic or dominant harmony (Prout, §§42, 48-49).
const ODD_END: u32 = 2;
/// Above three halves a note no key is heard at all.
const HOPELESS: (usize, usize) = (3, 2);

/// Refuses a key that the notes contradict.
pub(super) fn check(key: Key, notes: &[Note]) -> Result<(), SubjectError> {
    let given = in_key_or_dominant(key, notes);
    if given < CLEARLY {
        return Ok(());
    }
    let Some((cost, other)) = best_other(key, notes) else { return Ok(()) };
    let clearer = given >= cost + CLEARLY && given >= 2 * cost;
    let hopeless = usize::try_from(given).is_ok_and(|given| given * HOPELESS.1 >= notes.len() * HOPELESS.0);
    match foreign_note(key, notes) {
        Some((note, pitch)) if clearer || hopeless => {
            Err(SubjectError::Key { key, note, pitch, fits: clearer.then_some(other) })
        }
        _ => Ok(()),
    }
}

/// The first note outside the key. In minor raised sixth and seventh are inside, but the sixth only
/// beside the seventh.
fn foreign_note(key: Key, notes: &[Note]) -> Option<(usize, Pitch)> {
    let foreign = |index: &usize| {
        !key.contains(notes[*index].pitch().class()) || is_lone_raised_sixth(key, notes, *index)
    };
    (0..notes.len()).find(foreign).map(|index| (index, notes[index].pitch()))
}

/// The cheapest of all other keys; of equal ones the one on whose tonic the subject ends, or begins,
/// and then the one nearest by fifths. The parallel key counts only if its third sounds and the
/// given key's never does.
fn best_other(key: Key, notes: &[Note]) -> Option<(u32, Key)> {
    let all = Letter::ALL.into_iter().flat_map(|letter| (-1..=1).map(move |sign| (letter, sign)));
    let tonics = all.filter_map(|(letter, sign)| PitchClass::new(letter, sign).ok());
    let keys = tonics.flat_map(|tonic| [Mode::Major, Mode::Minor].map(|mode| Key::new(tonic, mode)));
    let (first, last) = (notes.first()?.pitch().class(), notes.last()?.pitch().class());
    let parallel_unproved = |other: &Key| other.tonic() == key.tonic() && third(key, notes) == 0;
    keys.filter(|other| *other != key && !parallel_unproved(other))
        .map(|other| (in_key(other, notes), other))
        .min_by_key(|(cost, other)| {
            let tonic = other.tonic();
            (*cost, tonic != last, tonic != first, (tonic.fifths() - key.tonic().fifths()).abs())
        })
}

/// What the notes cost in one key.
fn in_key(key: Key, notes: &[Note]) -> u32 {
    let inside: u32 = (0..notes.len()).map(|index| foreignness(key, notes, index)).sum();
    inside + opening(key, notes) + ending(key, notes, &[1, 3, 5, 7]) + third(key, notes)
}

/// What they cost if each note may be heard in the key or in its dominant: the cheapest way, found
/// note by note.
fn in_key_or_dominant(key: Key, notes: &[Note]) -> u32 {
    let Ok(dominant) = key.dominant() else { return in_key(key, notes) };
    let (mut at_home, mut away) = (opening(key, notes), CHANGE + opening(dominant, notes));
    for index in 0..notes.len() {
        let (here, there) = (at_home.min(away + CHANGE), away.min(at_home + CHANGE));
        at_home = here + foreignness(key, notes, index);
        away = there + 2 * foreignness(dominant, notes, index);
        // In the dominant minor it is the major third of the tonic.
        away += if is_lone_raised_sixth(dominant, notes, index) { LONE_SIXTH } else { 0 };
    }
    let home = at_home + ending(key, notes, &[1, 3, 5, 7]);
    home.min(away + ending(dominant, notes, &[1, 3])) + third(key, notes)
}

fn degree(key: Key, note: &Note) -> Degree {
    key.degree(note.pitch().class())
}

/// What one note costs in a key: nothing in the scale, little on the degrees that are altered every
/// day, more on others, and one more if the alteration does not move on by step.
fn foreignness(key: Key, notes: &[Note], index: usize) -> u32 {
    let degree = degree(key, &notes[index]);
    let minor = key.mode().has_minor_third();
    let cost = match (degree.number(), degree.alteration()) {
        (_, 0) | (7, 1) => 0,
        (6, 1) if minor => 0,
        // The leading note of the dominant, the seventh that leads to the subdominant.
        (4, 1) | (7, -1) => 1,
        // The other applied leading notes, the lowered degrees borrowed from minor, the Neapolitan.
        (3, 1) | (2, -1) if minor => 2,
        (1 | 2 | 5, 1) | (3 | 6, -1) if !minor => 2,
        (_, -1 | 1) => 4,
        _ => 6,
    };
    let loose = (1..=2).contains(&cost) && !moves_on_by_step(notes, index);
    cost + u32::from(loose)
}

fn moves_on_by_step(notes: &[Note], index: usize) -> bool {
    notes.get(index + 1).is_some_and(|next| {
        let interval = next.pitch() - notes[index].pitch();
        interval.steps().abs() <= 1 && interval != Interval::UNISON
    })
}

/// Whether a raised sixth in minor stands without the raised seventh beside it, for whose sake it is
/// raised (common practice: melodic minor).
fn is_lone_raised_sixth(key: Key, notes: &[Note], index: usize) -> bool {
    let raised_seventh = Degree::of_steps(6).altered(1);
    let beside = [index.checked_sub(1), index.checked_add(1)];
    let mut beside = beside.into_iter().flatten().filter_map(|at| notes.get(at));
    key.mode() == Mode::Minor
        && degree(key, &notes[index]) == Degree::of_steps(5).altered(1)
        && !beside.any(|note| degree(key, note) == raised_seventh)
}

fn opening(key: Key, notes: &[Note]) -> u32 {
    let Some(first) = notes.first().map(|note| degree(key, note)) else { return 0 };
    match (first.number(), first.alteration()) {
        (1 | 5, 0) => 0,
        (3 | 7, _) => 1,
        _ => ODD_END,
    }
}

fn ending(key: Key, notes: &[Note], usual: &[u8]) -> u32 {
    let last = notes.last().map(|note| degree(key, note).number());
    if last.is_some_and(|last| !usual.contains(&last)) { ODD_END } else { 0 }
}

/// What it costs if the third of the other mode sounds and that of the key never does. In minor the
/// sixth of the signature speaks for the key as the third does: then the raised third is the leading
/// note of the subdominant.
fn third(key: Key, notes: &[Note]) -> u32 {
    let minor = key.mode().has_minor_third();
    let sounds = |wanted: Degree| notes.iter().any(|note| degree(key, note) == wanted);
    let other = Degree::MEDIANT.altered(if minor { 1 } else { -1 });
    let confirmed = sounds(Degree::MEDIANT) || (minor && sounds(Degree::of_steps(5)));
    if sounds(other) && !confirmed { OTHER_THIRD } else { 0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;

    /// The ground on which [`CLEARLY`] stands.
    #[test]
    fn no_key_comes_more_than_two_below_the_right_one() {
        let text = include_str!("../../shared/handbook/answers.json");
        let examples: Vec<serde_json::Value> = serde_json::from_str(text).unwrap();
        for example in &examples {
            let key = example["key"].as_str().unwrap().parse().unwrap();
            let line: Line = example["subject"].as_str().unwrap().parse().unwrap();
            let given = in_key_or_dominant(key, line.notes());
            let (other, name) = best_other(key, line.notes()).unwrap();
            assert!(given <= other + 2, "{}: {key} costs {given}, {name} {other}", example["id"]);
        }
    }

    #[test]
    fn modulation_costs_its_change_alone() {
        let line: Line = "G4:1/4 B4 E5 C#5 D5".parse().unwrap();
        assert_eq!(in_key_or_dominant("G major".parse().unwrap(), line.notes()), CHANGE);
    }
}
