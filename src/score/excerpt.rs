//! Excerpts: a few lines of text as a score.

use super::{Part, Score, ScoreError};
use crate::key::KeyError;
use crate::line::LineError;
use crate::meter::MeterError;
use crate::time::Time;
use crate::voice::{Compass, Voice};

/// Names and compasses of the voices of an excerpt, from the top: the practical choral compass
/// with its outermost notes. Source: common practice.
const CHOIR: [(&str, &str, &str); 4] =
    [("soprano", "C4", "A5"), ("alto", "G3", "E5"), ("tenor", "C3", "A4"), ("bass", "E2", "E4")];

/// What makes texts no excerpt.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ExcerptError {
    /// The key.
    #[error(transparent)]
    Key(#[from] KeyError),
    /// The meter.
    #[error(transparent)]
    Meter(#[from] MeterError),
    /// A line.
    #[error("voice {}: {source}", voice + 1)]
    Line {
        /// The voice, counted from 0.
        voice: usize,
        /// What is wrong.
        source: LineError,
    },
    /// The lines together.
    #[error(transparent)]
    Score(#[from] ScoreError),
}

impl ExcerptError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Key(error) => error.code(),
            Self::Meter(error) => error.code(),
            Self::Line { .. } => "excerpt-line",
            Self::Score(error) => error.code(),
        }
    }
}

impl Score {
    /// The score of a few lines of text, top part first, without a pickup: for examples and tests.
    ///
    /// The voices are called soprano, alto, tenor and bass, have the compass of a choir, and from
    /// the fifth on are numbered and have none.
    ///
    /// ```
    /// use soggetto::score::Score;
    /// let score = Score::excerpt("C major", "4/4", &["E5:1/2 D5", "C5:1/2 B4"])?;
    /// assert_eq!(score.parts()[1].voice.name(), "alto");
    /// # Ok::<(), soggetto::score::ExcerptError>(())
    /// ```
    ///
    /// # Errors
    /// If key, meter or a line cannot be read, or the lines make no score.
    pub fn excerpt(key: &str, meter: &str, lines: &[&str]) -> Result<Self, ExcerptError> {
        let part = |(voice, line): (usize, &&str)| {
            let line = line.parse().map_err(|source| ExcerptError::Line { voice, source })?;
            Ok(Part { voice: chorister(voice), line })
        };
        let parts: Result<Vec<Part>, ExcerptError> = lines.iter().enumerate().map(part).collect();
        Ok(Self::new(key.parse()?, meter.parse()?, Time::ZERO, parts?)?)
    }
}

fn chorister(voice: usize) -> Voice {
    let Some((name, lowest, highest)) = CHOIR.get(voice) else {
        return Voice::new(format!("voice {}", voice + 1));
    };
    let compass = || Compass::new(lowest.parse().ok()?, highest.parse().ok()?).ok();
    match compass() {
        Some(compass) => Voice::new(*name).with_compass(compass),
        None => Voice::new(*name),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn choir_has_names_and_compasses_and_further_voices_have_numbers() {
        let score = Score::excerpt("A minor", "3/4", &["A4:3/4"; 5]).unwrap();
        let voices: Vec<String> = score
            .parts()
            .iter()
            .map(|part| match part.voice.compass() {
                Some(compass) => format!("{} {compass}", part.voice.name()),
                None => part.voice.name().to_owned(),
            })
            .collect();
        assert_eq!(voices, ["soprano C4-A5", "alto G3-E5", "tenor C3-A4", "bass E2-E4", "voice 5"]);
    }

    #[test]
    fn error_names_the_voice() {
        let error = Score::excerpt("C major", "4/4", &["C5:1", "H4:1"]).unwrap_err();
        assert_eq!(
            error.to_string(),
            "voice 2: note 1: \"H4\" is not a pitch: letters run from A to G (write B4 or Bb4)"
        );
        assert_eq!(error.code(), "excerpt-line");
        assert_eq!(Score::excerpt("C major", "4/0", &["C5:1"]).unwrap_err().code(), "meter-lower");
    }
}
