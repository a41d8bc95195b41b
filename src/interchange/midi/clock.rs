//! Ticks of the file, and tempo.

use super::super::sheet::Sheet;
use super::error::WriteError;
use crate::time::{Grid, Time};
use midly::num::{u15, u24};

/// Fewer ticks a quarter would make players shift the notes that they add themselves.
const LEAST_TICKS: i64 = 96;
const MICROSECONDS_A_MINUTE: i64 = 60_000_000;

/// The division of the quarter note into ticks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Clock {
    grid: Grid,
    /// Ticks of the file in four ticks of the grid.
    factor: i64,
    per_quarter: u15,
}

impl Clock {
    /// The coarsest clock of at least [`LEAST_TICKS`] on which all times of a grid fall.
    pub(super) fn of(grid: Grid) -> Result<Self, WriteError> {
        let smallest = if grid.per_whole() % 4 == 0 { grid.per_whole() / 4 } else { grid.per_whole() };
        let mut ticks = smallest;
        while ticks < LEAST_TICKS {
            ticks *= 2;
        }
        let fine = WriteError::Fine { ticks };
        let per_quarter = u16::try_from(ticks).ok().and_then(u15::try_from).ok_or(fine)?;
        Ok(Self { grid, factor: 16 * ticks / grid.per_whole(), per_quarter })
    }

    /// Ticks a quarter note.
    pub(super) const fn per_quarter(self) -> u15 {
        self.per_quarter
    }

    /// A time in ticks.
    pub(super) const fn ticks(self, time: Time) -> i64 {
        self.grid.ticks(time) * self.factor / 4
    }
}

/// How long a quarter note lasts, in microseconds, to the nearest below.
pub(super) fn quarter(sheet: &Sheet<'_>) -> Result<u24, WriteError> {
    let pulse = sheet.pulse();
    let microseconds =
        MICROSECONDS_A_MINUTE * pulse.denominator() / (4 * pulse.numerator() * i64::from(sheet.tempo()));
    let fits = u32::try_from(microseconds).ok().and_then(u24::try_from);
    fits.ok_or(WriteError::Tempo { microseconds })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ticks(times: &[&str]) -> Result<(u16, Vec<i64>), WriteError> {
        let times: Vec<Time> = times.iter().map(|text| text.parse().unwrap()).collect();
        let clock = Clock::of(Grid::of(times.iter().copied()).unwrap())?;
        let per_quarter = clock.per_quarter().as_int();
        Ok((per_quarter, times.into_iter().map(|time| clock.ticks(time)).collect()))
    }

    #[test]
    fn every_time_of_the_grid_is_a_whole_number_of_ticks() {
        assert_eq!(ticks(&["1/8", "3/4"]).unwrap(), (128, vec![64, 384]));
        assert_eq!(ticks(&["1/12", "1/20"]).unwrap(), (120, vec![40, 24]));
        assert_eq!(ticks(&["1/3", "1/2"]).unwrap(), (96, vec![128, 192]));
        assert_eq!(ticks(&["1", "2"]).unwrap(), (128, vec![512, 1024]));
    }

    #[test]
    fn too_fine_a_grid_is_refused() {
        let error = ticks(&["1/999983"]).unwrap_err();
        assert_eq!(
            error.to_string(),
            "the notes divide the quarter into 999983 ticks: the format has at most 32767 (use simpler durations)"
        );
        assert_eq!(error.code(), "midi-fine");
    }
}
