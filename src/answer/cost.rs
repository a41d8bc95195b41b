//! The table of costs: what each way of hearing a note goes against, and which rule says so.
//!
//! Costs are small whole numbers on one scale. 1 is hardly worth a thought; 2 or 3 tip the balance
//! between equals; 4 to 6 is the weight of an old rule, which binds unless something speaks against
//! it; 8 is what a key says; 10 and more is what no master does without need.

use crate::source::Source;
use std::fmt;

/// A line of the table of costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Charge {
    /// The leap from tonic to dominant at the opening is not answered by that from dominant to tonic.
    LeapKept,
    /// The dominant at the opening, if it begins or is reached through the third, is answered like any
    /// other note.
    OpeningKept,
    /// The tonic answers a dominant that is but a note of the tonic chord at the opening.
    ChordBroken,
    /// The answer begins with the tonic chord where the subject does not.
    ChordMade,
    /// The sequence with which the subject begins is broken.
    SequenceBroken,
    /// The neighbour note and the dominant to which it returns move along with the opening dominant.
    NeighbourFollows,
    /// The neighbour note that moves along is a semitone for a whole tone, or the other way about.
    SecondChanged,
    /// A neighbour note no longer leaves and returns.
    NeighbourLost,
    /// A tonic at the opening is answered at the fourth.
    TonicDenied,
    /// The answer is in the subdominant.
    Subdominant,
    /// The same, where the opening invites it.
    SubdominantInvited,
    /// The answer goes to the tonic where the subject does not go to the dominant.
    NoModulation,
    /// The subject goes to the dominant, the answer does not come back to the tonic.
    NotLedBack,
    /// The same, but the subject only implies the dominant.
    CloseMissed,
    /// A note that contradicts the dominant is heard in it.
    Foreign,
    /// The same, but the note is short and light.
    ForeignPassing,
    /// The change comes so many notes later than it could.
    Late,
    /// The change comes when the leading note of the dominant has already been heard.
    AfterLeadingNote,
    /// The answer changes back.
    Return,
    /// A leading note that may be the third of the dominant is not so heard, or is parted from the third
    /// it leaps to.
    LeadingNoteKept,
    /// An interval changes its size.
    IntervalChanged,
    /// A step becomes a repeated note.
    RepetitionMade,
    /// A repeated note becomes a step.
    RepetitionLost,
    /// A step becomes a chromatic shift of the same note.
    StepLost,
    /// A dissonant leap is lost.
    DissonanceLost,
    /// A dissonant leap arises.
    DissonanceMade,
    /// The minor third at the close is answered by the major third.
    ThirdRaised,
    /// The answer closes on the minor third of a third main key.
    ThirdNotRaised,
    /// The harmony given by the composer says otherwise.
    AgainstHarmony,
}

/// What the table says of a charge.
struct Row {
    weight: u32,
    clause: &'static str,
    source: &'static str,
}

const fn row(weight: u32, clause: &'static str, source: &'static str) -> Row {
    Row { weight, clause, source }
}

impl Charge {
    /// All charges, in the order of the table.
    pub const ALL: [Self; 29] = [
        Self::LeapKept,
        Self::OpeningKept,
        Self::ChordBroken,
        Self::ChordMade,
        Self::SequenceBroken,
        Self::NeighbourFollows,
        Self::SecondChanged,
        Self::NeighbourLost,
        Self::TonicDenied,
        Self::Subdominant,
        Self::SubdominantInvited,
        Self::NoModulation,
        Self::NotLedBack,
        Self::CloseMissed,
        Self::Foreign,
        Self::ForeignPassing,
        Self::Late,
        Self::AfterLeadingNote,
        Self::Return,
        Self::LeadingNoteKept,
        Self::IntervalChanged,
        Self::RepetitionMade,
        Self::RepetitionLost,
        Self::StepLost,
        Self::DissonanceLost,
        Self::DissonanceMade,
        Self::ThirdRaised,
        Self::ThirdNotRaised,
        Self::AgainstHarmony,
    ];

    /// The table.
    const fn row(self) -> Row {
        match self {
            Self::LeapKept => row(
                10,
                "the leap from tonic to dominant is not answered by that from dominant to tonic",
                "Prout, Fugue, §§86-87",
            ),
            Self::OpeningKept => {
                row(6, "the dominant at the opening is not answered by the tonic", "Prout, Fugue, §§86, 102")
            }
            Self::ChordBroken => row(
                6,
                "the tonic chord at the opening is not answered by the dominant chord",
                "Prout, Fugue, §§91-100, 105-106",
            ),
            Self::ChordMade => row(
                6,
                "the answer begins with the tonic chord where the subject does not",
                "Prout, Fugue, §§100, 107-108",
            ),
            Self::SequenceBroken => row(10, "the sequence at the opening is broken", "Prout, Fugue, §105"),
            Self::NeighbourFollows => {
                row(6, "more than the dominant at the opening is altered", "Prout, Fugue, §§88, 102")
            }
            Self::SecondChanged => row(1, "a second changes its size", "Prout, Fugue, §144"),
            Self::NeighbourLost => row(4, "a neighbour note is lost", "Prout, Fugue, §107"),
            Self::TonicDenied => {
                row(6, "the tonic at the opening is not answered by the dominant", "Prout, Fugue, §74")
            }
            Self::Subdominant => {
                row(10, "the subject does not call for the subdominant", "Prout, Fugue, §§71-80, 110")
            }
            Self::SubdominantInvited => row(5, "the answer is in the subdominant", "Prout, Fugue, §§71-80"),
            Self::NoModulation => row(
                20,
                "the subject does not go to the dominant where the answer changes",
                "Prout, Fugue, §§58, 150",
            ),
            Self::NotLedBack => row(
                8,
                "the answer to a modulating subject is not led back to the tonic",
                "Prout, Fugue, §§114-116",
            ),
            Self::CloseMissed => row(
                5,
                "the close implies the dominant, but is not answered in the tonic",
                "Prout, Fugue, §§118-119, 129",
            ),
            Self::Foreign => {
                row(10, "a note foreign to the dominant is heard in it", "Prout, Fugue, §§126, 129, 169")
            }
            Self::ForeignPassing => {
                row(1, "a passing note foreign to the dominant is heard in it", "Prout, Fugue, §126")
            }
            Self::Late => row(1, "the change comes later than it could", "Prout, Fugue, §121"),
            Self::AfterLeadingNote => row(
                6,
                "the change comes only after the leading note of the dominant",
                "Prout, Fugue, §§117-118",
            ),
            Self::Return => row(10, "the answer changes back", "Prout, Fugue, §§37, 138"),
            Self::LeadingNoteKept => row(
                3,
                "what may be the third of the dominant is heard in the tonic",
                "Prout, Fugue, §§127, 131, 133",
            ),
            Self::IntervalChanged => row(1, "an interval changes its size", "Prout, Fugue, §89"),
            Self::RepetitionMade => row(4, "a step becomes a repeated note", "Prout, Fugue, §100"),
            Self::RepetitionLost => row(6, "a repeated note becomes a step", "Prout, Fugue, §§92-93"),
            Self::StepLost => row(10, "a step becomes a chromatic shift", "Prout, Fugue, §108"),
            Self::DissonanceLost => row(10, "a dissonant leap is lost", "Prout, Fugue, §§139, 148"),
            Self::DissonanceMade => row(3, "a dissonant leap arises", "Prout, Fugue, §139"),
            Self::ThirdRaised => {
                row(2, "the minor third at the close becomes major", "Prout, Fugue, §§68-69")
            }
            Self::ThirdNotRaised => {
                row(2, "the close is on the minor third of a third key", "Prout, Fugue, §§68, 148")
            }
            Self::AgainstHarmony => {
                row(8, "the composer's harmony says otherwise", "Prout, Fugue, §§74, 100")
            }
        }
    }

    /// What it weighs.
    pub const fn weight(self) -> u32 {
        self.row().weight
    }

    /// What it is charged for, in a teacher's words.
    pub const fn clause(self) -> &'static str {
        self.row().clause
    }

    /// Where the handbooks say so.
    pub const fn source(self) -> Source {
        Source::Handbook(self.row().source)
    }
}

impl fmt::Display for Charge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.clause())
    }
}

/// A line of an answer's account: what is charged at which note.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct CostLine {
    /// Index of the note, from 0, rests left out.
    pub note: usize,
    /// What is charged.
    pub charge: Charge,
    /// The cost: the weight, or a multiple of it.
    pub cost: u32,
}

impl fmt::Display for CostLine {
    /// `note 2: a step becomes a repeated note (4)`, notes counted from 1.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "note {}: {} ({})", self.note + 1, self.charge, self.cost)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_charges_weigh_something_and_say_why() {
        for (index, charge) in Charge::ALL.into_iter().enumerate() {
            assert_eq!(charge as usize, index, "{charge:?} is out of order");
            assert!((1..=20).contains(&charge.weight()), "{charge:?}");
            assert!(charge.source().to_string().starts_with("Prout, Fugue, §"), "{charge:?}");
        }
    }

    #[test]
    fn account_names_note_rule_and_cost() {
        let line = CostLine { note: 1, charge: Charge::RepetitionMade, cost: 4 };
        assert_eq!(line.to_string(), "note 2: a step becomes a repeated note (4)");
    }
}
