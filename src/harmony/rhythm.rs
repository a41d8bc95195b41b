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
