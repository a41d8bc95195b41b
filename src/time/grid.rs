//! The grid of ticks on which all times of a piece fall.

use super::{MAX_DENOMINATOR, Time, TimeError};

/// A division of the whole note fine enough for all the times of one piece, which then are whole
/// numbers of ticks.
///
/// ```
/// use soggetto::time::{Grid, Time};
/// let times = [Time::new(1, 4)?, Time::new(1, 6)?];
/// let grid = Grid::of(times)?;
/// assert_eq!((grid.per_whole(), times.map(|time| grid.ticks(time))), (12, [3, 2]));
/// # Ok::<(), soggetto::time::TimeError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grid {
    per_whole: i64,
}

impl Grid {
    /// One tick a whole note: the coarsest grid of all.
    pub const WHOLE: Self = Self { per_whole: 1 };

    /// The coarsest grid on which all these times fall.
    ///
    /// # Errors
    /// If it would need more than [`MAX_DENOMINATOR`] ticks a whole note.
    pub fn of(times: impl IntoIterator<Item = Time>) -> Result<Self, TimeError> {
        let mut per_whole = Self::WHOLE.per_whole;
        for time in times {
            let d = time.denominator();
            if per_whole % d == 0 {
                continue;
            }
            per_whole = per_whole / gcd(per_whole, d) * d;
            if per_whole > MAX_DENOMINATOR {
                return Err(TimeError::Range { numerator: 1, denominator: per_whole.into() });
            }
        }
        Ok(Self { per_whole })
    }

    /// Ticks a whole note, from 1 to [`MAX_DENOMINATOR`].
    pub const fn per_whole(self) -> i64 {
        self.per_whole
    }

    /// Whether a time falls on the grid.
    pub const fn contains(self, time: Time) -> bool {
        self.per_whole % time.denominator() == 0
    }

    /// A time in ticks: exact for the times that the grid was made from, otherwise the tick before
    /// it. [`Grid::exact_ticks`] refuses what lies between two ticks.
    // At most 10^12 * 10^6, which an i64 holds.
    pub const fn ticks(self, time: Time) -> i64 {
        (time.numerator() * self.per_whole).div_euclid(time.denominator())
    }

    /// A time in ticks.
    ///
    /// # Errors
    /// If it lies between two ticks.
    pub const fn exact_ticks(self, time: Time) -> Result<i64, TimeError> {
        if self.contains(time) {
            return Ok(self.ticks(time));
        }
        Err(TimeError::OffGrid { time, per_whole: self.per_whole })
    }

    /// The time of so many ticks.
    ///
    /// # Errors
    /// If it is out of range.
    pub fn time(self, ticks: i64) -> Result<Time, TimeError> {
        Time::new(ticks, self.per_whole)
    }
}

const fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::super::any_time;
    use super::*;
    use proptest::prelude::*;

    fn time(text: &str) -> Time {
        text.parse().unwrap()
    }

    #[test]
    fn grid_is_the_coarsest_that_holds_all_times() {
        let rows: [(&[&str], i64); 4] =
            [(&[], 1), (&["2", "0"], 1), (&["1/4", "3/8"], 8), (&["1/12", "3/16", "-1/5"], 240)];
        for (times, per_whole) in rows {
            let grid = Grid::of(times.iter().map(|text| time(text))).unwrap();
            assert_eq!(grid.per_whole(), per_whole, "{times:?}");
        }
    }

    #[test]
    fn time_between_ticks_is_rounded_down_or_refused() {
        let grid = Grid::of([time("1/4")]).unwrap();
        assert_eq!([grid.ticks(time("3/8")), grid.ticks(time("-1/8"))], [1, -1]);
        assert_eq!(grid.exact_ticks(time("-3/4")), Ok(-3));
        assert_eq!(
            grid.exact_ticks(time("3/8")).unwrap_err().to_string(),
            "3/8 lies between two ticks of a grid of 4 to the whole note (make the grid from all times of the piece)"
        );
    }

    #[test]
    fn refuses_grid_too_fine() {
        let error = Grid::of([time("1/999999"), time("1/1000000")]).unwrap_err();
        assert_eq!(
            error.to_string(),
            "1/999999000000 is out of range: denominators go to 1000000, times to 1000000 whole notes"
        );
    }

    proptest! {
        #[test]
        fn prop_ticks_and_times_invert_each_other(times in prop::collection::vec(any_time(), 0..8)) {
            if let Ok(grid) = Grid::of(times.iter().copied()) {
                for time in times {
                    prop_assert_eq!(grid.exact_ticks(time).and_then(|ticks| grid.time(ticks)), Ok(time));
                }
            }
        }

        #[test]
        fn prop_ticks_keep_order_and_sums(a in any_time(), b in any_time()) {
            if let Ok(grid) = Grid::of([a, b]) {
                prop_assert_eq!(grid.ticks(a).cmp(&grid.ticks(b)), a.cmp(&b));
                if let Ok(sum) = a.checked_add(b) {
                    prop_assert_eq!(grid.exact_ticks(sum), Ok(grid.ticks(a) + grid.ticks(b)));
                }
            }
        }
    }
}
