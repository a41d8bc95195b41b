//! The quality of an interval.

use std::fmt;

/// Perfect, major, minor, or so many times augmented or diminished.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quality {
    /// Diminished, once or more.
    Diminished(u8),
    /// Minor (seconds, thirds, sixths, sevenths).
    Minor,
    /// Perfect (unisons, fourths, fifths, octaves).
    Perfect,
    /// Major (seconds, thirds, sixths, sevenths).
    Major,
    /// Augmented, once or more.
    Augmented(u8),
}

/// Whether intervals of so many steps are of the perfect kind (unison, fourth, fifth, octave).
pub(super) const fn is_perfect_kind(steps: i32) -> bool {
    matches!(steps.rem_euclid(7), 0 | 3 | 4)
}

impl Quality {
    /// The quality of an interval of so many steps that lies so many semitones above (or, negative,
    /// below) the perfect or major one.
    pub(super) fn of(steps: i32, alteration: i32) -> Self {
        let times = |n: i32| u8::try_from(n).unwrap_or(u8::MAX);
        match (is_perfect_kind(steps), alteration) {
            (true, 0) => Self::Perfect,
            (false, 0) => Self::Major,
            (false, -1) => Self::Minor,
            (_, up) if up > 0 => Self::Augmented(times(up)),
            (true, down) => Self::Diminished(times(-down)),
            (false, down) => Self::Diminished(times(-down - 1)),
        }
    }

    /// The inverse of [`Quality::of`]; `None` where the quality does not go with the number.
    pub(super) fn alteration_of(self, steps: i32) -> Option<i32> {
        match (self, is_perfect_kind(steps)) {
            (Self::Perfect, true) | (Self::Major, false) => Some(0),
            (Self::Minor, false) => Some(-1),
            (Self::Augmented(n), _) if n > 0 => Some(n.into()),
            (Self::Diminished(n), true) if n > 0 => Some(-i32::from(n)),
            (Self::Diminished(n), false) if n > 0 => Some(-i32::from(n) - 1),
            _ => None,
        }
    }

    /// How many times augmented or diminished; 0 for perfect, major and minor.
    pub fn count(self) -> i32 {
        match self {
            Self::Diminished(n) | Self::Augmented(n) => n.into(),
            _ => 0,
        }
    }
}

impl fmt::Display for Quality {
    /// The short form: `P`, `M`, `m`, `A`, `dd`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (sign, times) = match self {
            Self::Perfect => ("P", 1),
            Self::Major => ("M", 1),
            Self::Minor => ("m", 1),
            Self::Augmented(n) => ("A", usize::from(*n)),
            Self::Diminished(n) => ("d", usize::from(*n)),
        };
        f.write_str(&sign.repeat(times))
    }
}
