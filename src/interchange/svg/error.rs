//! Why an exposition cannot be drawn.

use super::layout::MAX_BARS;
use crate::time::TimeError;

/// Why an exposition cannot be drawn.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PictureError {
    /// More bars than a picture holds.
    #[error("{bars} bars are too many for a picture: at most {MAX_BARS} (draw a shorter passage)")]
    Bars {
        /// How many there would be.
        bars: i64,
    },
    /// The times of the score have no common division.
    #[error("the parts have no common division of time: {source}")]
    Grid {
        /// What is wrong.
        source: TimeError,
    },
}

impl PictureError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Bars { .. } => "svg-bars",
            Self::Grid { .. } => "svg-grid",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_without_a_common_division_are_refused() {
        let source = TimeError::Range { numerator: 1, denominator: 2_000_000 };
        let error = PictureError::Grid { source };
        assert_eq!(
            error.to_string(),
            "the parts have no common division of time: 1/2000000 is out of range: denominators go to 1000000, \
             times to 1000000 whole notes"
        );
        assert_eq!(error.code(), "svg-grid");
    }
}
