//! What makes a text or a combination no Roman numeral.

use super::Numeral;

/// What makes a text or a combination no Roman numeral.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NumeralError {
    /// Not of the form of a Roman numeral.
    #[error("{text:?} is not a Roman numeral: write i, V7, viio6, IV64 or V7/V")]
    Syntax {
        /// What was given.
        text: String,
    },
    /// A large numeral with `o` or `ø`, or a small one with `+`.
    #[error(
        "{text:?} is not a Roman numeral: diminished triads are written small (viio), augmented ones large (III+)"
    )]
    Case {
        /// What was given.
        text: String,
    },
    /// Something after the numeral that is no figures.
    #[error(
        "{text:?} is not a Roman numeral: after {numeral:?} stand no figures but 6 and 64 for triads, 7, 65, 43 and 42 for seventh chords"
    )]
    Figures {
        /// What was given.
        text: String,
        /// The part of it that is a numeral.
        numeral: String,
    },
    /// A sign for the seventh without a seventh: `viiø`, `IM6`.
    #[error(
        "{text:?} is not a Roman numeral: ø, M, m and d speak of a seventh (add 7, 65, 43 or 42, or leave the sign out)"
    )]
    NoSeventh {
        /// What was given.
        text: String,
    },
    /// Applied to something else than a plain major or minor triad.
    #[error(
        "{numeral} cannot be applied to {target:?}: only a major or minor triad in root position can become a tonic, as in V7/V or V/vi"
    )]
    Target {
        /// The chord to be applied.
        numeral: String,
        /// What it was applied to.
        target: String,
    },
    /// An inversion that the chord does not have.
    #[error("{numeral} has no inversion {inversion}: a triad has two, a seventh chord three")]
    Inversion {
        /// The chord.
        numeral: Numeral,
        /// The inversion asked for.
        inversion: u8,
    },
}

impl NumeralError {
    /// A stable word for scripts.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "numeral-syntax",
            Self::Case { .. } => "numeral-case",
            Self::Figures { .. } => "numeral-figures",
            Self::NoSeventh { .. } => "numeral-no-seventh",
            Self::Target { .. } => "numeral-target",
            Self::Inversion { .. } => "numeral-inversion",
        }
    }
}
