//! Harmonic rhythm: the places at which a chord may change.
//!
//! Chords change at pulses: what the conductor beats. A note that begins between two pulses, or a
//! pickup that does, belongs to a stretch cut off by the next pulse.

use crate::line::Line;
use crate::meter::{Meter, Strength};
use crate::time::{Grid, Time};

/// The most stretches between possible changes of chord; a line with more pulses is read with
/// changes at every bar, or at every second bar, and so on, so that the search stays small.
pub const MAX_CHANGES: usize = 4096;

/// A stretch of time in one harmony, in ticks of the [`Rhythm`]'s grid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stretch {
    /// When it begins.
    pub(super) start: i64,
    /// When it ends.
    pub(super) end: i64,
    /// How heavy the place is at which it begins.
    pub(super) strength: Strength,
}

/// The stretches of a line in order, without gaps.
#[derive(Clone, Debug)]
pub(super) struct Rhythm {
    /// The grid of all times here.
    pub(super) grid: Grid,
    /// Ticks of a bar, at least 1.
    pub(super) bar: i64,
    /// Pulses of a bar.
    pub(super) pulses: i64,
    /// The stretches.
    pub(super) stretches: Vec<Stretch>,
}

impl Rhythm {
    /// The rhythm of a line whose first moment stands at `offset` in its bar; `None` for a line of
    /// no length.
    ///
    /// A line so fine that it shares no grid with the meter has its changes rounded down to its own grid.
    pub(super) fn of(line: &Line, meter: Meter, offset: Time) -> Option<Self> {
        let own = line.grid().ok()?;
        let grid = Grid::of([Time::new(1, own.per_whole()).ok()?, offset, meter.unit()]).unwrap_or(own);
        let (bar, length) = (grid.ticks(meter.bar()).max(1), grid.ticks(line.length()));
        if length <= 0 {
            return None;
        }
        let mut rhythm = Self { grid, bar, pulses: 0, stretches: Vec::new() };
        let pulses: Vec<(i64, Strength)> =
            meter.pulses().map(|(start, _)| (grid.ticks(start), meter.strength(start))).collect();
        rhythm.pulses = i64::try_from(pulses.len()).unwrap_or(1);
        rhythm.fill(&pulses, length, grid.ticks(offset).rem_euclid(bar));
        Some(rhythm)
    }

    /// Cuts the length at the pulses, or at every so many bars if that would be too often.
    fn fill(&mut self, pulses: &[(i64, Strength)], length: i64, offset: i64) {
        let bars = (length + offset).div_euclid(self.bar) + 1;
        let most = i64::try_from(MAX_CHANGES).unwrap_or(i64::MAX);
        let coarse = bars.saturating_mul(self.pulses) > most;
        let (pulses, stride) = if coarse { (&pulses[..1], bars / most + 1) } else { (pulses, 1) };
        let mut open = Stretch { start: 0, end: length, strength: Strength::Subdivision };
        for bar in (0..bars).step_by(usize::try_from(stride).unwrap_or(1)) {
            for &(pulse, strength) in pulses {
                let at = bar * self.bar + pulse - offset;
                if at <= open.start {
                    open.strength = if at == open.start { strength } else { open.strength };
                } else if at < length {
                    self.stretches.push(Stretch { end: at, ..open });
                    open = Stretch { start: at, strength, ..open };
                }
            }
        }
        self.stretches.push(open);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn starts(line: &str, meter: &str, offset: &str) -> Vec<(String, Strength)> {
        let line: Line = line.parse().unwrap();
        let rhythm = Rhythm::of(&line, meter.parse().unwrap(), offset.parse().unwrap()).unwrap();
        let start = |stretch: &Stretch| rhythm.grid.time(stretch.start).unwrap().to_string();
        rhythm.stretches.iter().map(|stretch| (start(stretch), stretch.strength)).collect()
    }

    #[test]
    fn chords_change_at_pulses() {
        use Strength::{Accent, Downbeat, Pulse};
        let all = starts("C4:1", "4/4", "0");
        let expected = [("0", Downbeat), ("1/4", Pulse), ("1/2", Accent), ("3/4", Pulse)];
        assert_eq!(all, expected.map(|(start, strength)| (start.to_owned(), strength)));
    }

    #[test]
    fn pickup_is_cut_off_by_the_next_pulse() {
        use Strength::{Downbeat, Pulse, Subdivision};
        let all = starts("C4:1/8 D4:3/4", "6/8", "5/8");
        let expected = [("0", Subdivision), ("1/8", Downbeat), ("1/2", Pulse)];
        assert_eq!(all, expected.map(|(start, strength)| (start.to_owned(), strength)));
    }

    #[test]
    fn irregular_groups_are_pulses() {
        let all: Vec<String> = starts("C4:7/8", "2+2+3/8", "0").into_iter().map(|(start, _)| start).collect();
        assert_eq!(all, ["0", "1/4", "1/2"]);
    }

    #[test]
    fn stretches_stay_within_their_limit() {
        for length in ["1000", "100000", "1000000"] {
            let count = starts(&format!("C4:{length}"), "16/16", "0").len();
            assert!((1000..=MAX_CHANGES).contains(&count), "{length}: {count}");
        }
    }

    #[test]
    fn line_too_fine_for_the_meter_is_still_cut() {
        assert!(starts("C4:999983/999983 D4:2/999983", "4/64", "0").len() > 1);
    }
}
