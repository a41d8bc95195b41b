//! One error for scripts that use `?` across the layers.

/// Any error of this library.
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
    Score(#[from] crate::score::ScoreError),
    /// An excerpt.
    #[error(transparent)]
    Excerpt(#[from] crate::score::ExcerptError),
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
    /// Drawing a picture.
    #[cfg(feature = "svg")]
    #[error(transparent)]
    Picture(#[from] crate::interchange::svg::PictureError),
    /// A harmonic plan.
    #[error(transparent)]
    Harmony(#[from] crate::harmony::HarmonyError),
    /// A subject.
    #[error(transparent)]
    Subject(#[from] crate::subject::SubjectError),
}
