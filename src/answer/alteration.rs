//! One note in which an answer differs from the real one, and why.

use super::Hearing;
use crate::pitch::Pitch;
use crate::scale::Degree;
use crate::source::Source;
use std::fmt;

/// Why a note is altered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Reason {
    /// The dominant at the opening is answered by the tonic.
    OpeningDominant,
    /// A neighbour moves along with the dominant it embellishes.
    Neighbour,
    /// The leading note and its neighbours are heard as third of the dominant and its neighbours.
    LeadingNoteGroup,
    /// The subject has gone to the dominant, so the answer goes back to the tonic.
    Modulation,
    /// The whole subject lies in the dominant, or is answered in the subdominant.
    WholeAtFourth,
    /// The minor third at the close is answered by the major third.
    ClosingThird,
}

impl Reason {
    pub(super) const fn of(hearing: Hearing, is_dominant: bool) -> Self {
        match hearing {
            Hearing::Home => Self::ClosingThird,
            Hearing::Opening if is_dominant => Self::OpeningDominant,
            Hearing::Opening => Self::Neighbour,
            Hearing::Aside => Self::LeadingNoteGroup,
            Hearing::Away => Self::Modulation,
        }
    }

    /// Where the handbooks say so.
    pub const fn source(self) -> Source {
        Source::Handbook(match self {
            Self::OpeningDominant => "Prout, Fugue, §§86-88, 102",
            Self::Neighbour => "Prout, Fugue, §102",
            Self::LeadingNoteGroup => "Prout, Fugue, §133",
            Self::Modulation => "Prout, Fugue, §§114-121",
            Self::WholeAtFourth => "Prout, Fugue, §§70-80",
            Self::ClosingThird => "Prout, Fugue, §§68-69",
        })
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::OpeningDominant => "the dominant at the opening is answered by the tonic",
            Self::Neighbour => "the neighbour note moves along with the dominant that it embellishes",
            Self::LeadingNoteGroup => {
                "the leading note is heard as third of the dominant and answered by the third of the tonic"
            }
            Self::Modulation => "the subject has gone to the dominant, so the answer goes back to the tonic",
            Self::WholeAtFourth => "the whole subject is answered at the fourth",
            Self::ClosingThird => "the minor third at the close may be answered by the major third",
        })
    }
}

/// One note in which an answer differs from the real one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Alteration {
    /// Index of the note, from 0, rests left out.
    pub note: usize,
    /// The degree of the subject's note in the subject's key.
    pub degree: Degree,
    /// What the real answer would have.
    pub real: Pitch,
    /// What the answer has.
    pub chosen: Pitch,
    /// Why.
    pub reason: Reason,
}

impl Alteration {
    /// Where the handbooks say so.
    pub const fn source(&self) -> Source {
        self.reason.source()
    }
}
