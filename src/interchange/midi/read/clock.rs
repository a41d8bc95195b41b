//! From ticks to note values.

use crate::time::{Time, TimeError};

/// How far from a note value an onset may lie to be moved onto it: the eighth part of a sixteenth
/// triplet's quarter, 10 ticks where a quarter has 480.
const TOLERANCE: (i64, i64) = (1, 192);
/// The grid onto which times are moved: sixteenths and sixteenth triplets, 48 to the whole note.
const GRID: i64 = 48;

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
}
