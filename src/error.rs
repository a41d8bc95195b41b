//! One error for scripts that use `?` across the layers.

/// Any error of this library: each layer raises its own, and `?` turns it into this one.
///
/// The message is that of the layer's error: what is wrong, where, and how to mend it. The largest
/// errors are boxed, so that a `Result` stays small.
///
/// ```
/// use soggetto::{Error, Pitch, Time};
/// fn read(pitch: &str, duration: &str) -> Result<(Pitch, Time), Error> {
///     Ok((pitch.parse()?, duration.parse()?))
/// }
/// let error = read("H4", "1/4").unwrap_err();
/// assert_eq!(error.to_string(), "\"H4\" is not a pitch: letters run from A to G (write B4 or Bb4)");
/// assert_eq!(error.code(), "pitch-letter");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// An interval.
    #[error(transparent)]
    Interval(#[from] crate::interval::IntervalError),
    /// A pitch.
    #[error(transparent)]
    Pitch(#[from] crate::pitch::PitchError),
    /// A ratio or a concert pitch.
    #[error(transparent)]
    Tuning(#[from] crate::tuning::TuningError),
    /// A time.
    #[error(transparent)]
    Time(#[from] crate::time::TimeError),
    /// A meter.
    #[error(transparent)]
    Meter(#[from] crate::meter::MeterError),
    /// A key.
    #[error(transparent)]
    Key(#[from] crate::key::KeyError),
    /// A degree of the scale.
    #[error(transparent)]
    Degree(#[from] crate::scale::DegreeError),
    /// A Roman numeral.
    #[error(transparent)]
    Numeral(#[from] crate::chord::NumeralError),
    /// A line.
    #[error(transparent)]
    Line(#[from] crate::line::LineError),
    /// A compass.
    #[error(transparent)]
    Compass(#[from] crate::voice::CompassError),
    /// A clef.
    #[error(transparent)]
    Clef(#[from] crate::voice::ClefError),
    /// An ensemble.
    #[error(transparent)]
    Ensemble(#[from] crate::ensemble::EnsembleError),
    /// A score.
    #[error(transparent)]
    Score(Box<crate::score::ScoreError>),
    /// An excerpt.
    #[error(transparent)]
    Excerpt(Box<crate::score::ExcerptError>),
    /// A harmonic plan.
    #[error(transparent)]
    Harmony(#[from] crate::harmony::HarmonyError),
    /// A subject.
    #[error(transparent)]
    Subject(#[from] crate::subject::SubjectError),
    /// An answer.
    #[error(transparent)]
    Answer(#[from] crate::answer::AnswerError),
    /// A set of rules.
    #[error(transparent)]
    RuleBook(#[from] crate::rules::RuleBookError),
    /// A remedy that does not fit a score.
    #[error(transparent)]
    Remedy(Box<crate::rules::RemedyError>),
    /// A draft.
    #[error(transparent)]
    Compose(Box<crate::compose::ComposeError>),
    /// A file.
    #[error(transparent)]
    File(#[from] crate::interchange::files::FileError),
    /// Reading JSON.
    #[cfg(feature = "serde")]
    #[error(transparent)]
    Json(#[from] crate::interchange::json::ReadError),
    /// Writing MusicXML.
    #[cfg(feature = "musicxml")]
    #[error(transparent)]
    MusicXml(#[from] crate::interchange::musicxml::WriteError),
    /// Writing a Standard MIDI File.
    #[cfg(feature = "midi")]
    #[error(transparent)]
    Midi(#[from] crate::interchange::midi::WriteError),
    /// Reading a score of any format.
    #[error(transparent)]
    Read(#[from] crate::interchange::ReadError),
    /// Drawing a picture.
    #[cfg(feature = "svg")]
    #[error(transparent)]
    Picture(#[from] crate::interchange::svg::PictureError),
}

impl Error {
    /// The stable word for scripts that the layer's own error has, as in `line-pitch`.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Interval(error) => error.code(),
            Self::Pitch(error) => error.code(),
            Self::Tuning(error) => error.code(),
            Self::Time(error) => error.code(),
            Self::Meter(error) => error.code(),
            Self::Key(error) => error.code(),
            Self::Degree(error) => error.code(),
            Self::Numeral(error) => error.code(),
            Self::Line(error) => error.code(),
            Self::Compass(error) => error.code(),
            Self::Clef(error) => error.code(),
            Self::Ensemble(error) => error.code(),
            Self::Score(error) => error.code(),
            Self::Excerpt(error) => error.code(),
            Self::Harmony(error) => error.code(),
            Self::Subject(error) => error.code(),
            Self::Answer(error) => error.code(),
            Self::RuleBook(error) => error.code(),
            Self::Remedy(error) => error.code(),
            Self::Compose(error) => error.code(),
            Self::File(error) => error.code(),
            #[cfg(feature = "serde")]
            Self::Json(error) => error.code(),
            #[cfg(feature = "musicxml")]
            Self::MusicXml(error) => error.code(),
            #[cfg(feature = "midi")]
            Self::Midi(error) => error.code(),
            Self::Read(error) => error.code(),
            #[cfg(feature = "svg")]
            Self::Picture(error) => error.code(),
        }
    }
}

/// Boxes a large error on its way up.
macro_rules! boxed {
    ($($variant:ident($error:ty)),+ $(,)?) => {$(
        impl From<$error> for Error {
            fn from(error: $error) -> Self {
                Self::$variant(Box::new(error))
            }
        }
    )+};
}

boxed!(
    Score(crate::score::ScoreError),
    Excerpt(crate::score::ExcerptError),
    Compose(crate::compose::ComposeError),
    Remedy(crate::rules::RemedyError),
);

#[cfg(test)]
mod tests {
    use super::*;

    fn exposition(line: &str, voices: usize) -> Result<usize, Error> {
        let subject = crate::subject::Subject::from_text("C major", "4/4", "0", line)?;
        let ensemble = crate::ensemble::Ensemble::named("recorder-consort")?;
        let order = vec![0; voices];
        let options = crate::compose::DraftOptions::new(ensemble).with_order(order);
        Ok(crate::compose::draft(&subject, &options)?.entries().len())
    }

    #[test]
    fn question_mark_keeps_the_message_and_the_code_of_the_layer() {
        let error = exposition("C4:1/4 H4", 4).unwrap_err();
        assert!(matches!(error, Error::Subject(_)), "{error:?}");
        assert_eq!(
            error.to_string(),
            "note 2: \"H4\" is not a pitch: letters run from A to G (write B4 or Bb4)"
        );
        let error = exposition("C4:1/4 D4 E4 C4", 4).unwrap_err();
        assert_eq!(error.code(), "compose-order");
    }
}
