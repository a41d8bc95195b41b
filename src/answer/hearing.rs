//! Why a note is heard in the tonic or in the dominant: the states of the search.

use super::Reading;

/// Why a note is heard as it is.
///
/// Two of the four readings of a melody sound alike: what differs is the reason, and with it the
/// rules that allow it. The order breaks ties: the plainer hearing comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Hearing {
    /// In the tonic.
    Home,
    /// A dominant at the opening, which stands for the dominant as such.
    Opening,
    /// One of a small group round the leading note, heard in the dominant without a modulation.
    Aside,
    /// In the dominant, to which the subject has gone.
    Away,
}

impl Hearing {
    /// All hearings, in order.
    pub const ALL: [Self; 4] = [Self::Home, Self::Opening, Self::Aside, Self::Away];

    /// The reading that follows from it.
    pub const fn reading(self) -> Reading {
        match self {
            Self::Home => Reading::Tonic,
            Self::Opening | Self::Aside | Self::Away => Reading::Dominant,
        }
    }

    /// Whether the next note may be heard so: a group set aside falls back to the tonic, and an
    /// opening is followed by no group.
    pub(super) const fn may_precede(self, next: Self) -> bool {
        !matches!(
            (self, next),
            (Self::Opening | Self::Away, Self::Aside)
                | (Self::Aside, Self::Away | Self::Opening)
                | (Self::Away, Self::Opening)
        )
    }
}
