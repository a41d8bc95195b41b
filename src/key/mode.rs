//! Modes.

/// A mode: the order of tones and semitones above the tonic.
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
}
