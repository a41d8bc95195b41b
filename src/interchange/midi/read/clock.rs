//! From ticks to note values.

use crate::time::{Time, TimeError};

/// How far from a note value an onset may lie to be moved onto it: such a part of a whole note, 10 ticks where a quarter
/// has 480.
const TOLERANCE: i128 = 192;
/// The grids onto which times are moved: sixteenths and sixteenth triplets, 48 to the whole note, and
/// thirty-seconds.
const GRIDS: [i64; 2] = [48, 32];
/// The grid of the shortest notes, onto which only what is a tick off is moved.
const SHORT: i64 = 64;

/// A gap after a note that is no rest but a manner of playing: at most this part of its length,
pub(super) const ARTICULATION: i64 = 8;
/// or this part where the note would else end between the note values: programs that play for us let a note last for
/// three quarters at least unless it is marked (common practice).
pub(super) const DETACHED: i64 = 3;
/// Parts of a whole note on which notes end, the simplest first,
const ENDS: [i64; 8] = [1, 2, 4, 8, 16, 3, 6, 12];
/// and those on which few do.
const FINE_ENDS: [i64; 4] = [24, 32, 48, 64];

/// Ticks of a file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Clock {
    pub(super) per_quarter: i64,
}

impl Clock {
    /// The exact time of so many ticks.
    pub(super) fn exact(self, ticks: i64) -> Result<Time, TimeError> {
        Time::new(ticks, self.per_quarter.saturating_mul(4))
    }

    /// The note value at a time: itself if it is one, else the one within the tolerance.
    pub(super) fn value(self, ticks: i64) -> Option<Time> {
        let exact = Time::new(ticks, self.per_quarter.saturating_mul(4)).ok();
        if let Some(exact) = exact.filter(|&exact| is_value(exact)) {
            return Some(exact);
        }
        let whole = i128::from(self.per_quarter) * 4;
        let near = |grid: i64, most: i128| {
            let scaled = i128::from(ticks) * i128::from(grid);
            let nearest = (scaled + whole / 2).div_euclid(whole);
            let apart = (scaled - nearest * whole).abs();
            let value = || Time::new(i64::try_from(nearest).ok()?, grid).ok();
            let is_near = apart <= most * i128::from(grid) && apart * TOLERANCE <= whole * i128::from(grid);
            is_near.then(|| Some((apart * whole / i128::from(grid), value()?)))?
        };
        let moved = || GRIDS.iter().filter_map(|&grid| near(grid, whole)).min_by_key(|found| found.0);
        near(SHORT, 1).or_else(moved).map(|found| found.1)
    }

    /// Where a note is written to end that is released between the note values: at the simplest of them that lies within
    /// the tolerance before its release or, for notes are often released early, an eighth of its length after it, or
    /// else a third; or at a finer one.
    pub(super) fn release(self, from: i64, to: i64) -> Option<Time> {
        let whole = i128::from(self.per_quarter) * 4;
        let earliest = (i128::from(to) - whole / TOLERANCE).max(i128::from(from) + 1);
        let end = |part: i64, latest: i128| {
            let count = (earliest * i128::from(part) + whole - 1) / whole;
            let end = || Time::new(i64::try_from(count).ok()?, part).ok();
            (count * whole <= latest * i128::from(part)).then(end)?
        };
        let within = |parts: &[i64], share: i64| {
            let latest = i128::from(to) + i128::from(to - from) / i128::from(share);
            parts.iter().find_map(|&part| end(part, latest))
        };
        let simple = || within(&ENDS, ARTICULATION).or_else(|| within(&ENDS, DETACHED));
        let fine = || within(&FINE_ENDS, ARTICULATION).or_else(|| end(SHORT, i128::from(i64::MAX)));
        simple().or_else(fine)
    }

    /// A time as it stands if it is a note value in halves and thirds or, like the note that began at `from`, in fifths,
    /// sevenths or ninths: others are early releases by a fifth, say.
    pub(super) fn plain(self, from: i64, to: i64) -> Option<Time> {
        let exact = |ticks| self.exact(ticks).ok();
        let kind = |time: Time| odd(time).max(3);
        exact(to).filter(|&end| is_value(end) && (kind(end) == 3 || exact(from).map(kind) == Some(kind(end))))
    }
}

/// Whether a time falls on the simple note values: down to 64ths, and in thirds, fifths, sevenths
/// or ninths of them no shorter than a 48th of a whole note.
fn is_value(time: Time) -> bool {
    let (odd, denominator) = (odd(time), time.denominator());
    matches!(odd, 1 | 3 | 5 | 7 | 9) && denominator <= if odd == 1 { 64 } else { 48 }
}

/// The odd part of the denominator.
fn odd(time: Time) -> i64 {
    time.denominator() >> time.denominator().trailing_zeros()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_near_a_note_value_are_moved_onto_it() {
        let clock = Clock { per_quarter: 480 };
        let rows = [
            (480, Some("1/4")),
            (160, Some("1/12")),
            (489, Some("1/4")),
            (471, Some("1/4")),
            (62, Some("1/32")),
            (31, Some("1/64")),
            (25, None),
            (500, None),
        ];
        for (ticks, value) in rows {
            assert_eq!(clock.value(ticks).map(|time| time.to_string()).as_deref(), value, "{ticks}");
        }
    }

    #[test]
    fn early_release_lasts_until_the_simplest_note_value() {
        let clock = Clock { per_quarter: 480 };
        let rows = [
            ((0, 451), Some("1/4")),
            ((0, 1805), Some("1")),
            ((0, 963), Some("1/2")),
            ((480, 1157), Some("5/8")),
            ((320, 621), Some("1/3")),
            ((0, 101), Some("1/16")),
            ((0, 384), Some("1/4")),
            ((1920, 1942), Some("65/64")),
        ];
        for ((from, to), end) in rows {
            assert_eq!(
                clock.release(from, to).map(|time| time.to_string()).as_deref(),
                end,
                "{from} to {to}"
            );
        }
    }
}
