//! Changes of two notes at once.

use super::candidate::{Candidate, Kind};
use crate::rules::Change;

/// The most pairs of changes that are tried for a finding.
pub const MAX_PAIRS: usize = 240;

/// How many of the smallest changes of one note are paired with each other.
const PAIRED: usize = 40;

/// Whether a change may be one of two: a moved pitch that is no last resort.
fn is_move(candidate: &Candidate) -> bool {
    candidate.size.kind <= Kind::Pitch && !candidate.size.last_resort
}

/// Two changes of different notes, the pairs with the smaller parts first: they go by the sum of
/// the places that their parts have among the single changes.
pub(super) fn pairs(singles: &[Candidate]) -> Vec<Vec<Change>> {
    let moves: Vec<&Candidate> = singles.iter().filter(|single| is_move(single)).take(PAIRED).collect();
    let mut pairs = Vec::new();
    for sum in 1..2 * moves.len() {
        for first in 0..sum.div_ceil(2) {
            let (Some(one), Some(other)) = (moves.get(first), moves.get(sum - first)) else { continue };
            if note(one) != note(other) && !stand_still(one, other) {
                let mut changes = [one.changes.as_slice(), other.changes.as_slice()].concat();
                changes.sort_by_key(|change| (change.voice, change.note));
                pairs.push(changes);
            }
            if pairs.len() == MAX_PAIRS {
                return pairs;
            }
        }
    }
    pairs
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
