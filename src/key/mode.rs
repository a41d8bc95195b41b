//! Modes.

use std::fmt;

/// A mode: the order of tones and semitones above the tonic.
///
/// The text form is the English name in small letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Mode {
    /// Major.
    Major,
    /// Minor; the scale of the signature is the natural one.
    Minor,
    /// Dorian: minor with a major sixth.
    Dorian,
    /// Phrygian: minor with a minor second.
    Phrygian,
    /// Lydian: major with an augmented fourth.
    Lydian,
    /// Mixolydian: major with a minor seventh.
    Mixolydian,
}

impl Mode {
    /// All modes.
    pub const ALL: [Self; 6] =
        [Self::Major, Self::Minor, Self::Dorian, Self::Phrygian, Self::Lydian, Self::Mixolydian];

    /// Semitones of the seven degrees above the tonic.
    pub const fn semitones(self) -> [i32; 7] {
        match self {
            Self::Major => [0, 2, 4, 5, 7, 9, 11],
            Self::Minor => [0, 2, 3, 5, 7, 8, 10],
            Self::Dorian => [0, 2, 3, 5, 7, 9, 10],
            Self::Phrygian => [0, 1, 3, 5, 7, 8, 10],
            Self::Lydian => [0, 2, 4, 6, 7, 9, 11],
            Self::Mixolydian => [0, 2, 4, 5, 7, 9, 10],
        }
    }

    /// Sharps that its signature has more than that of the major key on the same tonic, fewer if
    /// negative.
    pub const fn fifths(self) -> i32 {
        match self {
            Self::Lydian => 1,
            Self::Major => 0,
            Self::Mixolydian => -1,
            Self::Dorian => -2,
            Self::Minor => -3,
            Self::Phrygian => -4,
        }
    }

    /// Whether the third above the tonic is minor.
    pub const fn has_minor_third(self) -> bool {
        self.semitones()[2] == 3
    }

    /// The name in English.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Major => "major",
            Self::Minor => "minor",
            Self::Dorian => "dorian",
            Self::Phrygian => "phrygian",
            Self::Lydian => "lydian",
            Self::Mixolydian => "mixolydian",
        }
    }

    /// The mode of a name, in either case.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|mode| mode.name().eq_ignore_ascii_case(name))
    }
}

impl fmt::Display for Mode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each mode against major or minor, as its definition says.
    #[test]
    fn modes_differ_from_major_and_minor_in_one_degree() {
        let differences = |mode: Mode, from: Mode| {
            let pairs = (1..).zip(mode.semitones().into_iter().zip(from.semitones()));
            pairs.filter(|(_, (here, there))| here != there).map(|(n, (a, b))| (n, a - b)).collect::<Vec<_>>()
        };
        assert_eq!(differences(Mode::Dorian, Mode::Minor), [(6, 1)]);
        assert_eq!(differences(Mode::Phrygian, Mode::Minor), [(2, -1)]);
        assert_eq!(differences(Mode::Lydian, Mode::Major), [(4, 1)]);
        assert_eq!(differences(Mode::Mixolydian, Mode::Major), [(7, -1)]);
        assert_eq!(differences(Mode::Minor, Mode::Major), [(3, -1), (6, -1), (7, -1)]);
    }

    #[test]
    fn all_names_are_read_back() {
        for mode in Mode::ALL {
            assert_eq!(Mode::from_name(mode.name()), Some(mode));
            assert_eq!(Mode::from_name(&mode.name().to_uppercase()), Some(mode));
            let minor_third = matches!(mode, Mode::Minor | Mode::Dorian | Mode::Phrygian);
            assert_eq!(mode.has_minor_third(), minor_third);
        }
        assert_eq!(Mode::from_name("locrian"), None);
    }
}
