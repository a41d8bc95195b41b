//! The names of dissonances.

use super::turn::Resolution;
use std::fmt;

/// Whether a dissonance is heavier than what follows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Weight {
    /// On a lighter or an equally heavy place.
    Light,
    /// On a heavier place than that on which it is left.
    Accented,
}

/// What a dissonant note is.
///
/// Sources: Grove, *A Dictionary of Music and Musicians*, vol. 3, "Strict Counterpoint", Second to
/// Fourth Order; Cherubini, *A Treatise on Counterpoint and Fugue*, two parts, second to fourth
/// order; accented passing note, double neighbour, échappée, anticipation and pedal: common practice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Figure {
    /// Between two notes a third apart (or a chromatic way), by step in one direction.
    Passing(Weight),
    /// A step away from a note and back.
    Neighbour(Weight),
    /// Upper and lower neighbour in turn.
    DoubleNeighbour,
    /// Prepared as a consonance, held or struck again, resolved by falling a step.
    Suspension(Resolution),
    /// Prepared like a suspension, resolved by rising a semitone.
    Retardation,
    /// Struck on a heavy place without preparation by step, left by step.
    Appoggiatura,
    /// The next note ahead of its time.
    Anticipation,
    /// Leapt to on a light place, left by step the other way: half of a neighbour note.
    IncompleteNeighbour,
    /// Reached by step, left by leap the other way.
    Echappee,
    /// Reached by step, left by a third the same way, then a step back.
    Cambiata,
    /// Held, or struck again and again, for more than a bar while the other voice moves through consonance and
    /// dissonance; or the note to which its own voice returns between the notes of a line.
    Pedal,
    /// The seventh of a chord, falling by step; prepared if it was there before.
    ChordSeventh {
        /// Whether it was held or repeated from a consonance.
        prepared: bool,
    },
    /// A diminished fifth or augmented fourth whose notes go where they tend.
    Tritone,
    /// Another diminished or augmented interval whose notes go where they tend.
    Altered,
    /// A note of a seventh chord as a voice leaps through the chord, whose third is heard.
    BrokenChord,
    /// The seventh of a chord whose resolution another voice takes over.
    ExchangedResolution,
    /// The fifth of a chord in the bass as the bass goes through the chord.
    SixFour,
    /// The root of a chord over its fifth, which the bass holds or strikes again while its third sounds.
    HeldSixFour,
    /// The root of a seventh chord over its fifth, which the bass has while third and seventh sound.
    SixFourThree,
    /// Prepared and struck like a suspension, but it does not fall.
    UnresolvedSuspension,
    /// Leapt to and left by leap, struck with a note that goes by step, and no note of a chord.
    Leapt,
    /// None of these.
    Unexplained,
}

impl Figure {
    /// Whether it is in order: everything but [`Figure::UnresolvedSuspension`], [`Figure::Leapt`] and
    /// [`Figure::Unexplained`].
    pub const fn is_explained(self) -> bool {
        !matches!(self, Self::UnresolvedSuspension | Self::Leapt | Self::Unexplained)
    }

    /// Whether the dissonant note was there, as a consonance, before it became dissonant.
    pub const fn is_prepared(self) -> bool {
        matches!(
            self,
            Self::Suspension(_)
                | Self::Retardation
                | Self::Pedal
                | Self::ChordSeventh { prepared: true }
                | Self::UnresolvedSuspension
        )
    }

    /// Whether it belongs to a chord of thirds, so that it may be struck without preparation (handbooks of
    /// harmony; common practice): a seventh or tense interval that goes where it tends, in its own voice or in
    /// another, a broken chord, a six-four.
    pub const fn is_chordal(self) -> bool {
        matches!(
            self,
            Self::ChordSeventh { .. }
                | Self::Tritone
                | Self::Altered
                | Self::BrokenChord
                | Self::ExchangedResolution
                | Self::SixFour
                | Self::HeldSixFour
                | Self::SixFourThree
        )
    }

    /// Whether it goes by step through its line: passing note, neighbour note, double neighbour.
    pub const fn is_stepwise(self) -> bool {
        matches!(self, Self::Passing(_) | Self::Neighbour(_) | Self::DoubleNeighbour)
    }

    /// The name of the trade.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Passing(Weight::Light) => "passing note",
            Self::Passing(Weight::Accented) => "accented passing note",
            Self::Neighbour(Weight::Light) => "neighbour note",
            Self::Neighbour(Weight::Accented) => "accented neighbour note",
            Self::DoubleNeighbour => "double neighbour",
            Self::Suspension(Resolution::Direct) => "suspension",
            Self::Suspension(Resolution::Ornamented) => "suspension with ornamented resolution",
            Self::Retardation => "retardation",
            Self::Appoggiatura => "appoggiatura",
            Self::Anticipation => "anticipation",
            Self::IncompleteNeighbour => "incomplete neighbour note",
            Self::Echappee => "échappée",
            Self::Cambiata => "cambiata",
            Self::Pedal => "pedal",
            Self::ChordSeventh { prepared: true } => "prepared chord seventh",
            Self::ChordSeventh { prepared: false } => "unprepared chord seventh",
            Self::Tritone => "resolving tritone",
            Self::Altered => "resolving altered interval",
            Self::BrokenChord => "broken chord",
            Self::ExchangedResolution => "resolution in another voice",
            Self::SixFour => "arpeggiated six-four",
            Self::HeldSixFour => "six-four over a held bass",
            Self::SixFourThree => "six-four-three",
            Self::UnresolvedSuspension => "unresolved suspension",
            Self::Leapt => "leapt dissonance",
            Self::Unexplained => "unexplained dissonance",
        }
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}
