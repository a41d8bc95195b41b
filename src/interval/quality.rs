//! The quality of an interval.

use std::fmt;

/// Perfect, major, minor, or so many times augmented or diminished.
///
/// No interval is augmented or diminished no times, or more than
/// [`MAX_ALTERATION`](super::MAX_ALTERATION) times: [`Interval::new`](super::Interval::new) refuses both.
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

    /// The inverse of [`Quality::of`] for steps upwards; where the quality does not go with the
    /// number, the way out.
    pub(super) fn alteration_of(self, steps: i32) -> Result<i32, &'static str> {
        match (self, is_perfect_kind(steps)) {
            (Self::Augmented(0) | Self::Diminished(0), _) => {
                Err("an interval is augmented or diminished at least once")
            }
            (Self::Diminished(_), _) if steps == 0 => {
                Err("a unison cannot be diminished (write -A1 for one that falls)")
            }
            (Self::Perfect, true) | (Self::Major, false) => Ok(0),
            (Self::Minor, false) => Ok(-1),
            (Self::Augmented(n), _) => Ok(n.into()),
            (Self::Diminished(n), true) => Ok(-i32::from(n)),
            (Self::Diminished(n), false) => Ok(-i32::from(n) - 1),
            (_, true) => Err("unisons, fourths, fifths and octaves are perfect, augmented or diminished"),
            (_, false) => {
                Err("seconds, thirds, sixths and sevenths are major, minor, augmented or diminished")
            }
        }
    }

    /// How many times augmented or diminished; 0 for perfect, major and minor.
    pub fn count(self) -> i32 {
        match self {
            Self::Diminished(n) | Self::Augmented(n) => n.into(),
            _ => 0,
        }
    }

    /// The quality of the inversion: perfect stays perfect, major and minor, augmented and
    /// diminished change places (common practice).
    #[must_use]
    pub const fn inverted(self) -> Self {
        match self {
            Self::Perfect => Self::Perfect,
            Self::Major => Self::Minor,
            Self::Minor => Self::Major,
            Self::Augmented(n) => Self::Diminished(n),
            Self::Diminished(n) => Self::Augmented(n),
        }
    }
}

impl fmt::Display for Quality {
    /// The short form: `P`, `M`, `m`, `A`, `dd`; the impossible none times augmented is `A0`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Perfect => f.pad("P"),
            Self::Major => f.pad("M"),
            Self::Minor => f.pad("m"),
            Self::Augmented(0) => f.pad("A0"),
            Self::Diminished(0) => f.pad("d0"),
            Self::Augmented(n) => f.pad(&"A".repeat((*n).into())),
            Self::Diminished(n) => f.pad(&"d".repeat((*n).into())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interval::any_interval;
    use proptest::prelude::*;

    #[test]
    fn all_alterations_of_a_kind_roundtrip() {
        for steps in [1, 2, 3, 4, 5, 6, 7] {
            for alteration in -8..=7 {
                assert_eq!(Quality::of(steps, alteration).alteration_of(steps), Ok(alteration));
            }
        }
    }

    proptest! {
        #[test]
        fn prop_inversion_turns_the_quality_round(interval in any_interval()) {
            let up = interval.simple().abs();
            if let Ok(inverted) = up.inverted() {
                prop_assert_eq!(inverted.quality(), up.quality().inverted());
            }
        }
    }
}
