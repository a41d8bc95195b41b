//! From ticks to note values.

use crate::time::{Time, TimeError};

/// How far from a note value an onset may lie to be moved onto it: the eighth part of a sixteenth
/// triplet's quarter, 10 ticks where a quarter has 480.
const TOLERANCE: (i64, i64) = (1, 192);
/// The grid onto which times are moved: sixteenths and sixteenth triplets, 48 to the whole note.
const GRID: i64 = 48;

/// A gap after a note that is no rest but a manner of playing: at most this part of its length.
pub(super) const ARTICULATION: i64 = 8;
/// Parts of a whole note on which notes end, the simplest first.
const ENDS: [i64; 12] = [1, 2, 4, 8, 16, 3, 6, 12, 24, 32, 48, 64];

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
        let scaled = i128::from(ticks) * i128::from(GRID);
        let nearest = (scaled + whole / 2).div_euclid(whole);
        let apart = (scaled - nearest * whole).abs() * i128::from(TOLERANCE.1);
        let near = apart <= whole * i128::from(GRID) * i128::from(TOLERANCE.0);
        near.then(|| Time::new(i64::try_from(nearest).ok()?, GRID).ok())?
    }

    /// Where a note is written to end that is released between the note values: at the simplest of them that
    /// lies within the tolerance before its release or, for notes are often released early, an eighth of
    /// its length after it (common practice of playing).
    pub(super) fn release(self, from: i64, to: i64) -> Option<Time> {
        let whole = i128::from(self.per_quarter) * 4;
        let earliest = i128::from(to) - whole * i128::from(TOLERANCE.0) / i128::from(TOLERANCE.1);
        let latest = i128::from(to) + i128::from(to - from) / i128::from(ARTICULATION);
        ENDS.into_iter().find_map(|part| {
            let count = (earliest.max(0) * i128::from(part) + whole - 1) / whole;
            let end = || Time::new(i64::try_from(count).ok()?, part).ok();
            (count * whole <= latest * i128::from(part)).then(end)?
        })
    }
}

/// Whether a time falls on the simple note values: down to 64ths, and in thirds, fifths, sevenths
/// or ninths of them no shorter than a 48th of a whole note.
fn is_value(time: Time) -> bool {
    let denominator = time.denominator();
    let odd = denominator >> denominator.trailing_zeros();
    matches!(odd, 1 | 3 | 5 | 7 | 9) && denominator <= if odd == 1 { 64 } else { 48 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_near_a_note_value_are_moved_onto_it() {
        let clock = Clock { per_quarter: 480 };
        let rows =
            [(480, Some("1/4")), (160, Some("1/12")), (489, Some("1/4")), (471, Some("1/4")), (500, None)];
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
            ((0, 101), None),
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
