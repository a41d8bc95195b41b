//! Where everything stands on the page, in tenths of a pixel.

use super::error::PictureError;
use crate::score::{Part, Score};
use crate::time::{Grid, Time};

/// The most bars of a picture.
pub(super) const MAX_BARS: i64 = 1_000;
/// The width of the page.
pub(super) const WIDTH: i64 = 12_000;
/// Where time begins: room for the names of the voices to the left.
pub(super) const LEFT: i64 = 1_750;
/// Room for time.
const ROOM: i64 = WIDTH - LEFT - 300;
/// The least and the most room for a quarter note.
const QUARTER: (i64, i64) = (330, 1_100);
/// Room for the title.
const HEAD: i64 = 950;
/// A semitone upwards.
const SEMITONE: i64 = 42;
/// The thickness of a note.
pub(super) const NOTE: i64 = 104;
/// Room over the notes of a lane for the word of an entry, and under them.
const LANE_HEAD: i64 = 270;
const LANE_FOOT: i64 = 110;
const LANE_GAP: i64 = 60;
/// Room over the lanes of a system for bar numbers and codettas.
pub(super) const SYSTEM_HEAD: i64 = 260;
/// Room under them for the signs of findings.
const SYSTEM_FOOT: i64 = 520;

/// The lane of a voice, measured from the top of its system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Lane {
    pub(super) top: i64,
    pub(super) height: i64,
    /// The sounding height of its highest and lowest note.
    pub(super) highest: i32,
    pub(super) lowest: i32,
}

/// A row of bars.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct System {
    pub(super) top: i64,
    /// The first bar line and the last, as the number of the bar that begins there.
    pub(super) bars: (i64, i64),
    /// Where it begins and ends, in ticks.
    pub(super) span: (i64, i64),
}

/// The layout of a score.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    grid: Grid,
    /// The number of the first bar.
    first: i64,
    /// Where each bar begins, in ticks, and after the last where it ends.
    bar_lines: Vec<i64>,
    /// Room for a whole note.
    whole: i64,
    pub(super) lanes: Vec<Lane>,
    pub(super) systems: Vec<System>,
}

impl Layout {
    /// Lays out a score.
    pub(super) fn of(score: &Score) -> Result<Self, PictureError> {
        let grid = score.grid().map_err(|source| PictureError::Grid { source })?;
        let first = score.first_bar();
        let bars = score.bar_count().max(first);
        if bars > MAX_BARS {
            return Err(PictureError::Bars { bars });
        }
        let start = |bar| score.bar_start(bar).map(|start| grid.ticks(start));
        let bar_lines = (first..=bars + 1).map(start).collect::<Result<_, _>>();
        let bar_lines = bar_lines.map_err(|source| PictureError::Grid { source })?;
        let (lanes, whole) = (lanes(score.parts()), 4 * QUARTER.0);
        let mut layout = Self { grid, first, bar_lines, whole, lanes, systems: Vec::new() };
        layout.lay_systems(bars);
        Ok(layout)
    }

    /// Fills the rows evenly, the pickup standing before bar 1 of the first.
    fn lay_systems(&mut self, bars: i64) {
        let per_whole = self.grid.per_whole();
        let longest = self.bar_lines.windows(2).map(|bar| bar[1] - bar[0]).max().unwrap_or(0);
        let fits = (ROOM * per_whole / (longest * self.whole).max(1)).max(1);
        let rows = ((bars + fits - 1) / fits).max(1);
        let per_row = ((bars + rows - 1) / rows).max(1);
        for row in 0..rows {
            let from = if row == 0 { self.first } else { row * per_row + 1 };
            let to = ((row + 1) * per_row).min(bars) + 1;
            let top = HEAD + row * self.system_height();
            self.systems.push(System {
                top,
                bars: (from, to),
                span: (self.bar_line(from), self.bar_line(to)),
            });
        }
        let longest = self.systems.iter().map(|system| system.span.1 - system.span.0).max().unwrap_or(0);
        self.whole = (ROOM * per_whole / longest.max(1)).clamp(1, 4 * QUARTER.1);
    }

    /// The ticks at which a bar begins.
    pub(super) fn bar_line(&self, number: i64) -> i64 {
        let index = usize::try_from(number - self.first).unwrap_or(0);
        self.bar_lines.get(index).or(self.bar_lines.last()).copied().unwrap_or(0)
    }

    fn lanes_height(&self) -> i64 {
        self.lanes.last().map_or(0, |lane| lane.top + lane.height)
    }

    pub(super) fn system_height(&self) -> i64 {
        self.lanes_height() + SYSTEM_FOOT
    }

    /// The bottom of the lanes of a system.
    pub(super) fn bottom(&self, system: &System) -> i64 {
        system.top + self.lanes_height()
    }

    /// The bottom of the last system.
    pub(super) fn foot(&self) -> i64 {
        HEAD + i64::try_from(self.systems.len()).unwrap_or(0) * self.system_height()
    }

    pub(super) const fn ticks(&self, time: Time) -> i64 {
        self.grid.ticks(time)
    }

    /// The place of a time in a system, kept within it.
    pub(super) fn x(&self, system: &System, ticks: i64) -> i64 {
        let inside = ticks.clamp(system.span.0, system.span.1) - system.span.0;
        LEFT + inside * self.whole / self.grid.per_whole()
    }

    /// The upper edge of a note of a sounding height in a lane of a system.
    pub(super) fn y(system: &System, lane: &Lane, height: i32) -> i64 {
        system.top + lane.top + LANE_HEAD + i64::from(lane.highest - height) * SEMITONE
    }
}

/// Lanes under each other, as high as their voices' notes need.
fn lanes(parts: &[Part]) -> Vec<Lane> {
    let mut top = SYSTEM_HEAD;
    let mut lanes = Vec::new();
    for part in parts {
        let heights = || part.line.notes().iter().map(|note| note.pitch().height());
        let (lowest, highest) = (heights().min().unwrap_or(60), heights().max().unwrap_or(60));
        let height = LANE_HEAD + i64::from(highest - lowest) * SEMITONE + NOTE + LANE_FOOT;
        lanes.push(Lane { top, height, highest, lowest });
        top += height + LANE_GAP;
    }
    lanes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;

    fn systems(meter: &str, pickup: &str, bars: usize) -> Vec<(i64, i64)> {
        let line = format!("C4:{pickup} {}", "C4:1 ".repeat(bars));
        let line = if pickup == "0" { "C4:1 ".repeat(bars) } else { line };
        let score = fixture::score("C major", meter, pickup, &[&line]);
        Layout::of(&score).unwrap().systems.iter().map(|system| system.bars).collect()
    }

    #[test]
    fn few_bars_stand_in_one_row() {
        assert_eq!(systems("4/4", "0", 4), [(1, 5)]);
        assert_eq!(systems("4/4", "1/4", 4), [(0, 5)]);
    }

    #[test]
    fn many_bars_fill_rows_evenly() {
        assert_eq!(systems("4/4", "0", 10), [(1, 6), (6, 11)]);
        assert_eq!(systems("4/4", "0", 60).len(), 9);
    }

    #[test]
    fn rows_keep_within_the_page() {
        for bars in 1..=60 {
            let line = "C4:1 ".repeat(bars);
            let score = fixture::score("C major", "4/4", "1/2", &[&line]);
            let layout = Layout::of(&score).unwrap();
            for system in &layout.systems {
                assert!(layout.x(system, system.span.1) <= LEFT + ROOM, "{bars} bars");
            }
        }
    }

    #[test]
    fn one_theme_has_one_shape_in_every_lane() {
        let score = fixture::score("C major", "4/4", "0", &["C5:1/4 G5", "C3:1/4 G3"]);
        let layout = Layout::of(&score).unwrap();
        let system = layout.systems[0];
        let rise = |lane: &Lane, low: i32| Layout::y(&system, lane, low) - Layout::y(&system, lane, low + 7);
        assert_eq!(rise(&layout.lanes[0], 72), rise(&layout.lanes[1], 48));
    }
}
