//! One note in which an answer differs from the real one, and why.

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
    /// The neighbour note of the opening dominant, or the dominant to which it returns, moves along.
    Neighbour,
    /// The leading note and its neighbours are heard in the dominant though the subject stays at home.
    LeadingNoteGroup,
    /// The subject has gone to the dominant, so the answer goes back to the tonic.
    Modulation,
    /// The subject lies wholly in the dominant, so the answer lies in the tonic.
    DominantSubject,
    /// The answer is in the subdominant.
    Subdominant,
    /// The minor third at the close is answered by the major third.
    ClosingThird,
}

impl Reason {
    /// The reason in a teacher's words.
    pub const fn clause(self) -> &'static str {
        match self {
            Self::OpeningDominant => "the dominant at the opening is answered by the tonic",
            Self::Neighbour => "the neighbour note and its dominant move along with the opening dominant",
            Self::LeadingNoteGroup => {
                "the leading note and its neighbours are heard as third of the dominant with its neighbours"
            }
            Self::Modulation => "the subject has gone to the dominant, so the answer goes back to the tonic",
            Self::DominantSubject => {
                "the subject lies wholly in the dominant, so the answer lies in the tonic"
            }
            Self::Subdominant => "dominant harmony is answered by tonic harmony, in the subdominant",
            Self::ClosingThird => "the minor third at the close may be answered by the major third",
        }
    }

    /// Where the handbooks say so.
    pub const fn source(self) -> Source {
        Source::Handbook(match self {
            Self::OpeningDominant => "Prout, Fugue, §§86-88, 102",
            Self::Neighbour => "Prout, Fugue, §102",
            Self::LeadingNoteGroup => "Prout, Fugue, §133",
            Self::Modulation => "Prout, Fugue, §§114-121",
            Self::DominantSubject => "Prout, Fugue, §70",
            Self::Subdominant => "Prout, Fugue, §§71-80, 110",
            Self::ClosingThird => "Prout, Fugue, §§68-69",
        })
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.clause())
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

impl fmt::Display for Alteration {
    /// `note 2: C4 for D4, since the dominant at the opening is answered by the tonic`, notes
    /// counted from 1.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "note {}: {} for {}, since {}", self.note + 1, self.chosen, self.real, self.reason)
    }
}
