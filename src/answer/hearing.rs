//! Why a note is heard in the tonic or in the dominant: the states of the search.

use super::Reading;

/// Why a note is heard in the tonic or in the dominant.
///
/// The two readings alone would not do: a note is answered at the fourth for four different
/// reasons, each with its own rules of where it may begin and what may follow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Hearing {
    /// In the tonic.
    Home,
    /// The dominant at the opening, which the tonic answers (Prout, *Fugue*, §§86, 102).
    Opening,
    /// The neighbour note of that dominant, or the dominant to which it returns, moving along (§102).
    Neighbour,
    /// One of a small group round the leading note, heard in the dominant without a modulation (§133).
    Aside,
    /// In the dominant, where the subject has gone or has been from the beginning (§§70, 120).
    Away,
}

impl Hearing {
    /// All hearings, in order.
    pub const ALL: [Self; 5] = [Self::Home, Self::Opening, Self::Neighbour, Self::Aside, Self::Away];

    /// The reading that follows from it.
    pub const fn reading(self) -> Reading {
        match self {
            Self::Home => Reading::Tonic,
            Self::Opening | Self::Neighbour | Self::Aside | Self::Away => Reading::Dominant,
        }
    }

    /// Whether the note after it may be heard as `next`: the opening comes once, and a group stands
    /// alone amid the tonic.
    pub(super) const fn may_precede(self, next: Self) -> bool {
        match self {
            Self::Home => !matches!(next, Self::Neighbour),
            Self::Opening => !matches!(next, Self::Aside),
            Self::Neighbour => !matches!(next, Self::Aside | Self::Opening),
            Self::Aside => matches!(next, Self::Home | Self::Aside),
            Self::Away => matches!(next, Self::Home | Self::Away),
        }
    }
}
