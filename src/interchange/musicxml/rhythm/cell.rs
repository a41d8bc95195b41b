//! The metrical tree of a bar: the bar, its halves, its pulses and their divisions.

use crate::meter::Meter;

/// A stretch of a bar that is heard as one, in ticks from the bar line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cell<'m> {
    pub(super) start: i64,
    pub(super) end: i64,
    /// Ticks of one unit of the meter.
    unit: i64,
    division: Division<'m>,
}

/// How a cell divides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Division<'m> {
    /// Into the pulses of the meter, or two halves of them.
    Pulses(&'m [u8]),
    /// Into units, three of a compound pulse for instance.
    Units,
    /// Into two halves.
    Halves,
}

impl<'m> Cell<'m> {
    /// A whole bar; `unit` is one unit of the meter in ticks.
    pub(super) fn bar(meter: &'m Meter, unit: i64) -> Self {
        Self::of(0, meter.groups(), unit)
    }

    fn of(start: i64, groups: &'m [u8], unit: i64) -> Self {
        let units: i64 = groups.iter().map(|&group| i64::from(group)).sum();
        let division = match groups {
            [group] if group.is_power_of_two() => Division::Halves,
            [_] => Division::Units,
            _ => Division::Pulses(groups),
        };
        Self { start, end: start + units * unit, unit, division }
    }

    pub(super) const fn length(&self) -> i64 {
        self.end - self.start
    }

    /// The cells it divides into; none where a half would be finer than a tick.
    pub(super) fn children(&self) -> Vec<Self> {
        match self.division {
            Division::Pulses(groups) => self.of_groups(groups),
            Division::Units => (self.start..self.end)
                .step_by(usize::try_from(self.unit).unwrap_or(usize::MAX))
                .map(|start| self.half(start, start + self.unit))
                .collect(),
            Division::Halves if self.length() % 2 == 0 => {
                let middle = self.start + self.length() / 2;
                vec![self.half(self.start, middle), self.half(middle, self.end)]
            }
            Division::Halves => Vec::new(),
        }
    }

    /// Four, six or more equal pulses divide in the middle of the bar, others into single pulses.
    fn of_groups(&self, groups: &'m [u8]) -> Vec<Self> {
        let equal = groups.iter().all(|group| Some(group) == groups.first());
        let size =
            if equal && groups.len() > 2 && groups.len().is_multiple_of(2) { groups.len() / 2 } else { 1 };
        let mut start = self.start;
        let mut cells = Vec::new();
        for run in groups.chunks(size) {
            let cell = Self::of(start, run, self.unit);
            start = cell.end;
            cells.push(cell);
        }
        cells
    }

    const fn half(&self, start: i64, end: i64) -> Self {
        Self { start, end, unit: self.unit, division: Division::Halves }
    }

    /// Whether it and all below it divide by two alone.
    pub(super) fn is_binary(&self) -> bool {
        self.division == Division::Halves || {
            let children = self.children();
            children.len() == 2
                && children[0].length() == children[1].length()
                && children.iter().all(Self::is_binary)
        }
    }

    /// Whether its children divide by two alone, as the beats of a simple meter do.
    pub(super) fn is_simple(&self) -> bool {
        let children = self.children();
        children.iter().all(|child| child.is_binary() && child.length() == children[0].length())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn halves(meter: &str) -> Vec<(i64, i64)> {
        let meter: Meter = meter.parse().unwrap();
        Cell::bar(&meter, 4).children().iter().map(|cell| (cell.start, cell.end)).collect()
    }

    #[test]
    fn four_pulses_divide_in_the_middle() {
        assert_eq!(halves("4/4"), [(0, 8), (8, 16)]);
        assert_eq!(halves("12/8"), [(0, 24), (24, 48)]);
    }

    #[test]
    fn three_pulses_and_irregular_groups_divide_into_pulses() {
        assert_eq!(halves("3/4"), [(0, 4), (4, 8), (8, 12)]);
        assert_eq!(halves("2+2+3/8"), [(0, 8), (8, 16), (16, 28)]);
        assert_eq!(halves("3/8"), [(0, 4), (4, 8), (8, 12)]);
    }

    #[test]
    fn only_meters_of_two_are_binary() {
        let binary = |meter: &str| Cell::bar(&meter.parse().unwrap(), 4).is_binary();
        assert!(binary("2/4") && binary("4/4") && binary("2/2"));
        assert!(!binary("3/4") && !binary("6/8") && !binary("3+3+2/8"));
    }
}
