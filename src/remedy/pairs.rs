//! Changes of two notes at once.

use super::candidate::{Candidate, Kind};
use super::ground::Refusal;
use crate::rules::Change;
use std::iter;

/// The most pairs of changes that are tried for a finding.
pub const MAX_PAIRS: usize = 240;

/// How many of the smallest changes of one note are paired with each other.
const PAIRED: usize = 40;

/// Whether a change may be one of two: a moved pitch that is no last resort.
fn is_move(candidate: &Candidate) -> bool {
    candidate.size.kind <= Kind::Pitch && !candidate.size.last_resort
}

/// Two changes of different notes, the pairs with the smaller parts first: they go by the sum of
/// the places that their parts have among the single changes. What makes a new mark alone goes with what changes
/// notes of that mark, or notes beside them, for nothing else takes it away. `refusals` says of the first single
/// changes why they are no remedy.
pub(super) fn pairs(singles: &[Candidate], refusals: &[Refusal]) -> Vec<Vec<Change>> {
    let all = singles.iter().zip(refusals.iter().map(Some).chain(iter::repeat(None)));
    let moves: Vec<Move<'_>> = all.filter(|(single, _)| is_move(single)).take(PAIRED).collect();
    let (mut pairs, mut tried) = (Vec::new(), 0);
    for sum in 1..2 * moves.len() {
        for first in 0..sum.div_ceil(2) {
            let (Some(&one), Some(&other)) = (moves.get(first), moves.get(sum - first)) else { continue };
            if note(one.0) != note(other.0) && !stand_still(one.0, other.0) {
                tried += 1;
                if may_mend(one, other) && may_mend(other, one) {
                    let mut changes = [one.0.changes.as_slice(), other.0.changes.as_slice()].concat();
                    changes.sort_by_key(|change| (change.voice, change.note));
                    pairs.push(changes);
                }
            }
            if tried == MAX_PAIRS {
                return pairs;
            }
        }
    }
    pairs
}

/// A moved pitch, and why it is no remedy alone.
type Move<'s> = (&'s Candidate, Option<&'s Refusal>);

/// Whether a change may take away what another makes anew.
fn may_mend((one, _): Move<'_>, (_, refusal): Move<'_>) -> bool {
    let (Some(Refusal::Adds(notes)), Some((voice, index))) = (refusal, note(one)) else { return true };
    notes.iter().any(|note| note.0 == voice && note.1.abs_diff(index) <= 1)
}

/// Whether of two moved pitches one follows the other in a voice and they become one pitch: a line that moved would
/// stand still.
fn stand_still(one: &Candidate, other: &Candidate) -> bool {
    let of = |candidate: &Candidate| {
        let change = candidate.changes.first()?;
        Some((change.voice, change.note, change.from.pitch(), change.to.first()?.pitch()))
    };
    let (Some(one), Some(other)) = (of(one), of(other)) else { return false };
    one.0 == other.0 && one.1.abs_diff(other.1) == 1 && one.2 != other.2 && one.3 == other.3
}

/// The note that a moved pitch changes.
fn note(candidate: &Candidate) -> Option<(usize, usize)> {
    candidate.changes.first().map(|change| (change.voice, change.note))
}
