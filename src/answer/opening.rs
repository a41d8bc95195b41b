//! The opening: a dominant that asks for an answer of its own.

use super::facts::{NoteFacts, strength};
use crate::meter::Strength;
use crate::scale::Degree;
use crate::subject::Subject;

/// The dominant at the opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Opening {
    /// Its first note.
    pub(super) first: usize,
    /// Its last note, if it is repeated.
    pub(super) last: usize,
    /// Whether it is a note of a tonic chord that the opening runs through.
    pub(super) in_chord: bool,
    /// Whether the answer would begin with the tonic chord if it began with the tonic.
    pub(super) makes_chord: bool,
    /// Whether it begins a sequence.
    pub(super) in_sequence: bool,
    /// Whether its lower neighbour follows and leads back.
    pub(super) has_neighbour: bool,
}

/// The opening dominant: the first note, or the dominant to which the tonic leaps, directly or
/// through the third, whatever neighbour notes stand before (Prout §§86-87, 102).
pub(super) fn find(subject: &Subject, facts: &[NoteFacts]) -> Option<Opening> {
    let first = facts.iter().position(|note| note.degree == Degree::DOMINANT)?;
    let head = &facts[..first];
    let leaps = head.last().is_none_or(|last| {
        facts[0].degree == Degree::TONIC
            && is_any(last.degree, &[1, 3])
            && (0..first).all(|index| is_any(facts[index].degree, &[1, 3]) || is_neighbour(facts, index))
    });
    if !leaps {
        return None;
    }
    let same = |note: &NoteFacts| note.pitch == facts[first].pitch;
    let last = first + facts[first..].iter().take_while(|note| same(note)).count() - 1;
    let in_chord = match head.iter().any(|note| note.degree.number() == 3) {
        _ if first == 0 => stands_in_chord(subject, facts, last),
        true => !is_goal(subject, facts, first, last),
        false => passes_through_chord(subject, facts, first, last),
    };
    Some(Opening {
        first,
        last,
        in_chord,
        makes_chord: first == 0 && makes_chord(facts, last),
        in_sequence: first == 0 && is_sequence(facts),
        has_neighbour: returns_from_below(facts, last),
    })
}

/// How many notes of the opening are held as tonic harmony: a tonic that begins, or the whole
/// tonic chord (Prout §127).
pub(super) fn tonic_hold(facts: &[NoteFacts]) -> usize {
    let run = chord_run(facts);
    let has = |number| facts[..run].iter().any(|note| note.degree.number() == number);
    let begins_on = |degree| facts.first().is_some_and(|note| note.degree == degree);
    match facts.iter().position(|note| note.degree == Degree::TONIC) {
        Some(tonic) if tonic < run && has(3) && has(5) => run,
        Some(tonic) if tonic < run || begins_on(Degree::DOMINANT) => tonic + 1,
        _ if begins_on(Degree::DOMINANT) => run,
        _ => 0,
    }
}

fn is_any(degree: Degree, numbers: &[u8]) -> bool {
    degree.alteration() == 0 && numbers.contains(&degree.number())
}

/// How many notes from the beginning belong to the tonic chord.
fn chord_run(facts: &[NoteFacts]) -> usize {
    facts.iter().take_while(|note| is_any(note.degree, &[1, 3, 5])).count()
}

/// Whether a note leaves the one before by step and is followed by it again.
fn is_neighbour(facts: &[NoteFacts], index: usize) -> bool {
    let Some(before) = index.checked_sub(1).map(|before| &facts[before]) else { return false };
    let Some(after) = facts.get(index + 1) else { return false };
    (facts[index].pitch - before.pitch).is_step()
        && (after.pitch - facts[index].pitch).is_step()
        && is_any(before.degree, &[1, 3])
        && is_any(after.degree, &[1, 3])
}

/// Whether sixth and tonic follow, which the dominant answers with third and fifth of the tonic.
fn makes_chord(facts: &[NoteFacts], last: usize) -> bool {
    match facts.get(last + 1..last + 3) {
        Some([a, b]) => is_any(a.degree, &[1, 6]) && is_any(b.degree, &[1, 6]) && a.degree != b.degree,
        _ => false,
    }
}

fn returns_from_below(facts: &[NoteFacts], last: usize) -> bool {
    let Some([neighbour, after]) = facts.get(last + 1..last + 3) else { return false };
    (neighbour.pitch - facts[last].pitch).steps() == -1 && after.pitch == facts[last].pitch
}

/// Whether a dominant that begins belongs to the tonic chord: the chord is run through and comes
/// back to it, or it stands long or on the downbeat before the tonic (Prout §§105-106).
fn stands_in_chord(subject: &Subject, facts: &[NoteFacts], last: usize) -> bool {
    let run = chord_run(facts);
    let returns = facts[last + 1..run.max(last + 1)].iter().any(|note| note.degree == Degree::DOMINANT);
    let to_tonic = facts.get(last + 1).is_some_and(|note| note.degree == Degree::TONIC);
    let notes = subject.line().notes();
    let pulse = subject.meter().pulses().next().map_or(subject.meter().unit(), |(_, length)| length);
    let shorter = notes.iter().filter(|note| note.duration() < notes[0].duration()).count();
    let long = notes[0].duration() >= pulse && 2 * shorter > notes.len();
    returns || (to_tonic && (long || strength(subject, notes[0]) == Strength::Downbeat))
}

/// Whether the dominant reached through the third is a goal: on the downbeat, longer than the note
/// before it and not shorter than the one after it, unless a rest follows (Prout §§87, 94).
fn is_goal(subject: &Subject, facts: &[NoteFacts], first: usize, last: usize) -> bool {
    let notes = subject.line().notes();
    let duration = facts[first].duration;
    let longest = duration > facts[first - 1].duration
        && facts.get(last + 1).is_none_or(|next| next.duration <= duration);
    let rests = notes.get(first + 1).is_none_or(|next| next.onset() > notes[first].end());
    strength(subject, notes[first]) == Strength::Downbeat && (rests || longest)
}

/// Whether the line goes on in the tonic chord from a dominant that lies below the tonic it came
/// from, or is shorter (Prout §95).
fn passes_through_chord(subject: &Subject, facts: &[NoteFacts], first: usize, last: usize) -> bool {
    let goes_on = facts.get(last + 1).is_some_and(|note| is_any(note.degree, &[1, 3]));
    let falls = (facts[first].pitch - facts[first - 1].pitch).is_descending();
    let notes = subject.line().notes();
    let duration = notes[last].end().checked_sub(notes[first].onset()).unwrap_or(facts[first].duration);
    goes_on && (falls || duration < facts[first - 1].duration)
}

/// Whether the opening figure of two to four notes is repeated at once on other degrees.
fn is_sequence(facts: &[NoteFacts]) -> bool {
    let step = |index: usize| (facts[index + 1].pitch - facts[index].pitch).steps().rem_euclid(7);
    (2..=4).any(|period| {
        2 * period < facts.len() && (0..period).all(|index| step(index) == step(index + period))
    })
}
