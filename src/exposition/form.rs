//! The forms in which a theme may be stated.

/// The form of a statement.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Form {
    /// As first heard.
    #[default]
    Straight,
    /// Turned upside down.
    Inverted,
    /// In notes twice as long.
    Augmented,
    /// In notes half as long.
    Diminished,
    /// Turned upside down, in notes twice as long.
    InvertedAugmented,
    /// Turned upside down, in notes half as long.
    InvertedDiminished,
}

impl Form {
    /// All forms.
    pub const ALL: [Self; 6] = [
        Self::Straight,
        Self::Inverted,
        Self::Augmented,
        Self::Diminished,
        Self::InvertedAugmented,
        Self::InvertedDiminished,
    ];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Inverted => "inverted",
            Self::Augmented => "augmented",
            Self::Diminished => "diminished",
            Self::InvertedAugmented => "inverted and augmented",
            Self::InvertedDiminished => "inverted and diminished",
        }
    }

    /// Whether rising and falling change places.
    pub const fn is_inverted(self) -> bool {
        matches!(self, Self::Inverted | Self::InvertedAugmented | Self::InvertedDiminished)
    }

    /// By what all times are multiplied, and by what they are divided.
    pub const fn scale(self) -> (i64, i64) {
        match self {
            Self::Straight | Self::Inverted => (1, 1),
            Self::Augmented | Self::InvertedAugmented => (2, 1),
            Self::Diminished | Self::InvertedDiminished => (1, 2),
        }
    }
}
