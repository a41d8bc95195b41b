//! The table of costs: what each way of hearing a note goes against, and which rule says so.
//!
//! Costs are small whole numbers on one scale: 1 is hardly worth a thought, 6 is the weight of an
//! old rule that binds unless something speaks against it, 10 and more is what no master does
//! without need.

use crate::source::Source;
use std::fmt;

/// A line of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Charge {
    /// An opening dominant is answered at the fifth, as if it were any note.
    OpeningKept,
    /// The tonic chord at the opening is broken up by the change.
    ChordBroken,
    /// The answer begins with the tonic chord where the subject does not.
    TonicChordMade,
    /// The neighbour of the opening dominant is moved along with it.
    NeighbourFollows,
    /// The tonic at the opening is answered at the fourth.
    TonicDenied,
    /// A note foreign to the dominant is heard in the dominant.
    Foreign,
    /// The same, but the note is short and light.
    ForeignPassing,
    /// A change comes later than it could.
    Late,
    /// The change comes after the leading note of the dominant has been heard.
    AfterLeadingNote,
    /// A subject that goes to the dominant is not led back.
    NotLedBack,
    /// The same, but the dominant is only implied.
    HintMissed,
    /// The answer turns to the other key where the subject does not modulate.
    NoModulation,
    /// The answer is in the subdominant.
    Subdominant,
    /// The subject goes back from the dominant to the tonic.
    Return,
    /// The third of the dominant is heard as leading note of the tonic.
    LeadingNoteKept,
    /// An interval is changed.
    IntervalChanged,
    /// A step becomes a repeated note.
    RepetitionMade,
    /// A neighbour note is lost in a repeated note.
    NeighbourLost,
    /// A repeated note is torn apart.
    RepetitionLost,
    /// A step becomes a chromatic shift.
    StepLost,
    /// A dissonant leap is lost.
    DissonanceLost,
    /// A dissonant leap arises.
    DissonanceMade,
    /// The sequence of the opening is broken.
    SequenceBroken,
    /// The minor third at the close becomes major.
    ThirdRaised,
    /// The close is on the minor third of a third main key.
    ThirdNotRaised,
    /// The harmony given speaks against the reading.
    AgainstHarmony,
}

impl Charge {
    /// What it weighs.
    pub const fn weight(self) -> u32 {
        match self {
            Self::IntervalChanged | Self::Late | Self::ForeignPassing => 1,
            Self::ThirdRaised | Self::ThirdNotRaised | Self::NeighbourFollows => 2,
            Self::DissonanceMade | Self::LeadingNoteKept => 3,
            Self::RepetitionMade | Self::NeighbourLost => 4,
            Self::HintMissed => 5,
            Self::OpeningKept
            | Self::AfterLeadingNote
            | Self::RepetitionLost
            | Self::TonicChordMade
            | Self::TonicDenied => 6,
            Self::Foreign | Self::NotLedBack | Self::AgainstHarmony | Self::Subdominant => 8,
            Self::ChordBroken
            | Self::DissonanceLost
            | Self::SequenceBroken
            | Self::StepLost
            | Self::Return => 10,
            Self::NoModulation => 15,
        }
    }

    /// What it is charged for, in a teacher's words.
    pub const fn clause(self) -> &'static str {
        match self {
            Self::OpeningKept => "the dominant at the opening is not answered by the tonic",
            Self::ChordBroken => "the tonic chord at the opening is not answered by the dominant chord",
            Self::TonicChordMade => "the answer begins with the tonic chord where the subject does not",
            Self::NeighbourFollows => "the neighbour of the opening dominant moves along with it",
            Self::TonicDenied => "the tonic at the opening is not answered by the dominant",
            Self::Foreign => "a note foreign to the dominant is heard in it",
            Self::ForeignPassing => "a passing note foreign to the dominant is heard in it",
            Self::Late => "the change comes later than it could",
            Self::AfterLeadingNote => "the change comes only after the leading note of the dominant",
            Self::NotLedBack => "the subject goes to the dominant, the answer is not led back to the tonic",
            Self::HintMissed => "the subject implies the dominant, the answer is not led back to the tonic",
            Self::NoModulation => "the subject does not go to the dominant, but is answered as if it did",
            Self::Subdominant => "the answer is in the subdominant",
            Self::Return => "the answer changes back",
            Self::LeadingNoteKept => "the third of the dominant is taken for a leading note",
            Self::IntervalChanged => "an interval changes its size",
            Self::RepetitionMade => "a step becomes a repeated note",
            Self::NeighbourLost => "a neighbour note is lost",
            Self::RepetitionLost => "a repeated note is torn apart",
            Self::StepLost => "a step becomes a chromatic shift",
            Self::DissonanceLost => "a dissonant leap is lost",
            Self::DissonanceMade => "a dissonant leap arises",
            Self::SequenceBroken => "the sequence of the opening is broken",
            Self::ThirdRaised => "the minor third at the close becomes major",
            Self::ThirdNotRaised => "the close is on a minor third outside both keys",
            Self::AgainstHarmony => "the harmony says otherwise",
        }
    }

    /// Where the handbooks say so.
    pub const fn source(self) -> Source {
        Source::Handbook(match self {
            Self::OpeningKept => "Prout, Fugue, §§86, 102",
            Self::ChordBroken => "Prout, Fugue, §§91-100, 105-106",
            Self::TonicChordMade => "Prout, Fugue, §§100, 107-108",
            Self::NeighbourFollows => "Prout, Fugue, §102",
            Self::TonicDenied => "Prout, Fugue, §74",
            Self::Foreign | Self::ForeignPassing => "Prout, Fugue, §§126, 129",
            Self::Late => "Prout, Fugue, §121",
            Self::AfterLeadingNote => "Prout, Fugue, §§117-118",
            Self::NotLedBack => "Prout, Fugue, §§114-116",
            Self::HintMissed => "Prout, Fugue, §§118-119, 129",
            Self::Subdominant => "Prout, Fugue, §§71-80, 110",
            Self::NoModulation => "Prout, Fugue, §§58, 150",
            Self::Return => "Prout, Fugue, §§37, 138",
            Self::LeadingNoteKept => "Prout, Fugue, §§131, 133",
            Self::IntervalChanged => "Prout, Fugue, §89",
            Self::RepetitionMade | Self::RepetitionLost => "Prout, Fugue, §100",
            Self::NeighbourLost | Self::StepLost => "Prout, Fugue, §107",
            Self::DissonanceLost | Self::DissonanceMade => "Prout, Fugue, §§139, 148",
            Self::SequenceBroken => "Prout, Fugue, §105",
            Self::ThirdRaised | Self::ThirdNotRaised => "Prout, Fugue, §§68-69",
            Self::AgainstHarmony => "Prout, Fugue, §§74, 100",
        })
    }
}

impl fmt::Display for Charge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.clause())
    }
}

/// A line of an answer's account: so much for that, at this note.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct CostLine {
    /// Index of the note, from 0, rests left out.
    pub note: usize,
    /// What is charged.
    pub charge: Charge,
    /// The cost: the weight, or a multiple of it.
    pub cost: u32,
}
