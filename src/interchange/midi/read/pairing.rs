//! Which release ends which note where one key is struck again while it sounds.
//!
//! The Standard says nothing on it: a release names channel and key alone, and where two voices of one
//! channel meet on a key either note may be meant. So it is decided by what can be written: of the ways
//! in which each release ends a note struck before it, the one stands whose notes are the simplest, and
//! of equals the one in which the first note struck is the first to end.

use super::clock::Clock;
use crate::time::Time;

/// The most notes on one key of which all ways are tried: more fingers or voices do not meet there.
const MOST: usize = 5;
/// What a length costs that is no note value: more than any that is one.
const UNWRITTEN: i64 = 1024;

/// For each note, when it ends: the strikes and the releases of one key from silence to silence, in
/// order and as many of each.
pub(super) fn ends(strikes: &[i64], releases: &[i64], clock: Clock) -> Vec<i64> {
    let first_to_end = releases.to_vec();
    if strikes.len() < 2 || strikes.len() > MOST {
        return first_to_end;
    }
    let mut best = (price(strikes, &first_to_end, clock), first_to_end);
    let mut tried = Vec::with_capacity(strikes.len());
    try_all(strikes, &mut releases.to_vec(), &mut tried, &mut |ends| {
        let price = price(strikes, ends, clock);
        if price < best.0 {
            best = (price, ends.to_vec());
        }
    });
    best.1
}

/// Gives the next note each of the releases left that come after its strike, in turn.
fn try_all(strikes: &[i64], left: &mut Vec<i64>, tried: &mut Vec<i64>, found: &mut impl FnMut(&[i64])) {
    let Some(&strike) = strikes.get(tried.len()) else { return found(tried) };
    for index in 0..left.len() {
        if left[index] <= strike {
            continue;
        }
        tried.push(left.remove(index));
        try_all(strikes, left, tried, found);
        left.extend(tried.pop());
        left[index..].rotate_right(1);
    }
}

/// How far the notes are from simple ones: the parts of a whole note that are needed to write them.
fn price(strikes: &[i64], ends: &[i64], clock: Clock) -> i64 {
    let written = |from: i64, to: i64| -> Option<Time> {
        let end = clock.release(from, to).or_else(|| clock.value(to))?;
        end.checked_sub(clock.value(from)?).ok().filter(|length| length.is_positive())
    };
    strikes.iter().zip(ends).map(|(&from, &to)| written(from, to).map_or(UNWRITTEN, Time::denominator)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn release_ends_the_note_that_makes_note_values() {
        let clock = Clock { per_quarter: 480 };
        let rows = [
            ([0, 480], [480, 960], [480, 960], "struck again in the tick of its release"),
            ([0, 480], [490, 970], [490, 970], "struck again before its release"),
            ([0, 240], [480, 1200], [480, 1200], "equals: the first struck ends first"),
            ([0, 240], [450, 1140], [450, 1140], "released early, the second held"),
            ([0, 480], [960, 1900], [1900, 960], "released early, the first held"),
        ];
        for (strikes, releases, expected, case) in rows {
            assert_eq!(ends(&strikes, &releases, clock), expected, "{case}");
        }
    }
}
