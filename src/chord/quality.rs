//! The kinds of triads and of sevenths.

use crate::interval::Interval;

/// The kind of a triad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Triad {
    /// Major third, perfect fifth.
    Major,
    /// Minor third, perfect fifth.
    Minor,
    /// Minor third, diminished fifth.
    Diminished,
    /// Major third, augmented fifth.
    Augmented,
}

impl Triad {
    /// All kinds.
    pub const ALL: [Self; 4] = [Self::Major, Self::Minor, Self::Diminished, Self::Augmented];

    /// Third and fifth above the root.
    pub const fn intervals(self) -> [Interval; 2] {
        match self {
            Self::Major => [Interval::MAJOR_THIRD, Interval::PERFECT_FIFTH],
            Self::Minor => [Interval::MINOR_THIRD, Interval::PERFECT_FIFTH],
            Self::Diminished => [Interval::MINOR_THIRD, Interval::between(4, 6)],
            Self::Augmented => [Interval::MAJOR_THIRD, Interval::between(4, 8)],
        }
    }

    /// Whether the third above the root is minor: such numerals are written small.
    pub const fn has_minor_third(self) -> bool {
        matches!(self, Self::Minor | Self::Diminished)
    }

    /// The triad with a third and fifth of so many semitones, if there is one.
    pub(super) fn of_semitones(third: i32, fifth: i32) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.intervals().map(Interval::semitones) == [third, fifth])
    }
}

/// The kind of the seventh above the root of a chord.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Seventh {
    /// Major: eleven semitones.
    Major,
    /// Minor: ten semitones.
    Minor,
    /// Diminished: nine semitones.
    Diminished,
}

impl Seventh {
    /// All kinds.
    pub const ALL: [Self; 3] = [Self::Major, Self::Minor, Self::Diminished];

    /// The interval above the root.
    pub const fn interval(self) -> Interval {
        match self {
            Self::Major => Interval::between(6, 11),
            Self::Minor => Interval::between(6, 10),
            Self::Diminished => Interval::between(6, 9),
        }
    }

    /// The seventh that a figure without further sign means over a triad: the diminished one over
    /// a diminished triad, else the minor one.
    pub(super) const fn usual_over(triad: Triad) -> Self {
        if matches!(triad, Triad::Diminished) { Self::Diminished } else { Self::Minor }
    }

    /// The seventh of so many semitones, if there is one.
    pub(super) fn of_semitones(semitones: i32) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.interval().semitones() == semitones)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn triads_are_the_intervals_of_the_handbooks() {
        let spelled = |kind: Triad| kind.intervals().map(|interval| interval.to_string()).join(" ");
        let table = Triad::ALL.map(spelled);
        assert_eq!(table, ["M3 P5", "m3 P5", "m3 d5", "M3 A5"]);
    }

    #[test]
    fn sevenths_are_the_intervals_of_the_handbooks() {
        assert_eq!(Seventh::ALL.map(|kind| kind.interval().to_string()), ["M7", "m7", "d7"]);
    }
}
