//! Subjects: the theme of a fugue, with its key and meter.
//!
//! A [`Subject`] is a [`Line`] in a [`Key`] and a [`Meter`], its first note standing at an *offset*
//! in its bar, perhaps with the [`Harmony`] that its composer thought of. Its [`Profile`] says what
//! a teacher would say of it.
//!
//! ```
//! use soggetto::subject::Subject;
//! let subject = Subject::from_text("A minor", "3/4", "1/2", "E4:1/4 | A4 G#4 A4 | B4 G#4 E4 | A4:1/2")?;
//! assert_eq!(subject.length().to_string(), "9/4");
//! assert!(Subject::from_text("C major", "4/4", "0", "D4:1/4 F#4 A4 D5 C#5 D5").is_err());
//! # Ok::<(), soggetto::subject::SubjectError>(())
//! ```

mod error;
mod profile;
mod tonality;

pub use error::SubjectError;
pub use profile::{
    Climax, Ending, Leap, MAX_VOICES_ADVISED, Modulation, ModulationKind, Profile, Remark, Sequence,
};

use crate::harmony::Harmony;
use crate::key::Key;
use crate::line::Line;
use crate::meter::Meter;
use crate::time::Time;
use std::borrow::Cow;

/// The most notes of a subject: many times what eight bars can hold.
pub const MAX_NOTES: usize = 1000;
/// The most bars of a subject; the craft's own limit of eight is a remark of its [`Profile`].
pub const MAX_BARS: i64 = 64;

/// A subject.
///
/// Every subject guarantees: it has at least two notes, begins and ends with a note, lies in a key
/// that its notes do not contradict, its offset is a place in the bar, and its harmony, if given, is
/// as long as its notes. A subject in C major that goes D F# A C# D cannot exist.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Subject {
    id: Option<String>,
    title: Option<String>,
    key: Key,
    meter: Meter,
    offset: Time,
    line: Line,
    harmony: Option<Harmony>,
}

impl Subject {
    /// A subject whose line begins at `offset` in its bar.
    ///
    /// Rests before the first note move the offset on, whole bars of them left out; rests after the
    /// last note are dropped: the subject lasts from its first note to the end of its last.
    ///
    /// # Errors
    /// - if there is no note, or only one, or more than [`MAX_NOTES`];
    /// - if the offset is no place in the bar;
    /// - if it lasts longer than [`MAX_BARS`];
    /// - if the notes contradict the key (the criterion stands in [`SubjectError::Key`]).
    pub fn new(key: Key, meter: Meter, offset: Time, line: Line) -> Result<Self, SubjectError> {
        let subject = Self::heard_in(key, meter, offset, line)?;
        tonality::check(key, subject.line.notes())?;
        Ok(subject)
    }

    /// A subject whose key a whole piece has told, which knows better than the notes of the theme.
    ///
    /// # Errors
    /// As [`Subject::new`], but that the notes may contradict the key.
    pub(crate) fn heard_in(key: Key, meter: Meter, offset: Time, line: Line) -> Result<Self, SubjectError> {
        check_offset(meter, offset)?;
        let (silence, line) = trimmed(line)?;
        let offset = offset.checked_add(silence).and_then(|place| meter.place(place))?;
        check_size(&line, meter)?;
        Ok(Self { id: None, title: None, key, meter, offset, line, harmony: None })
    }

    /// A subject from the texts of key, meter, offset and line, as in a subject file; bar lines in
    /// the line are checked against meter and offset.
    ///
    /// # Errors
    /// If a text cannot be read, a bar is too long or too short, or as [`Subject::new`].
    pub fn from_text(key: &str, meter: &str, offset: &str, line: &str) -> Result<Self, SubjectError> {
        let meter: Meter = meter.parse()?;
        let offset: Time = offset.parse()?;
        check_offset(meter, offset)?;
        let line = Line::parse_in(line, meter, offset)?;
        Self::new(key.parse()?, meter, offset, line)
    }

    /// With a title.
    #[must_use]
    pub fn with_title(self, title: impl Into<String>) -> Self {
        Self { title: Some(title.into()), ..self }
    }

    /// With an id.
    #[must_use]
    pub fn with_id(self, id: impl Into<String>) -> Self {
        Self { id: Some(id.into()), ..self }
    }

    /// With the harmony that its composer thought of.
    ///
    /// # Errors
    /// If the plan is not exactly as long as the subject; the error says by how much it is short or long.
    pub fn with_harmony(self, harmony: Harmony) -> Result<Self, SubjectError> {
        harmony.check_length(self.length())?;
        Ok(Self { harmony: Some(harmony), ..self })
    }

    /// The id, if it has one.
    pub fn id(&self) -> Option<&str> {
        self.id.as_deref()
    }

    /// The title, if it has one.
    pub fn title(&self) -> Option<&str> {
        self.title.as_deref()
    }

    /// The key.
    pub const fn key(&self) -> Key {
        self.key
    }

    /// The meter.
    pub const fn meter(&self) -> Meter {
        self.meter
    }

    /// The place of the first note in its bar.
    pub const fn offset(&self) -> Time {
        self.offset
    }

    /// The notes, from the first note at time zero.
    pub const fn line(&self) -> &Line {
        &self.line
    }

    /// The length, from the first note to the end of the last.
    pub const fn length(&self) -> Time {
        self.line.length()
    }

    /// The harmony, if the composer gave it.
    pub const fn harmony(&self) -> Option<&Harmony> {
        self.harmony.as_ref()
    }

    /// The harmony that the composer gave, or else the plainest that the notes imply.
    pub fn plan(&self) -> Cow<'_, Harmony> {
        match &self.harmony {
            Some(given) => Cow::Borrowed(given),
            None => Cow::Owned(Harmony::infer(&self.line, self.key, self.meter, self.offset)),
        }
    }

    /// What a teacher would say of it.
    pub fn profile(&self) -> Profile {
        Profile::of(self)
    }
}

/// The silence before the first note, and the line from its first note to the end of its last.
fn trimmed(line: Line) -> Result<(Time, Line), SubjectError> {
    let [first, .., last] = line.notes() else {
        return Err(if line.is_silent() { SubjectError::Empty } else { SubjectError::OneNote });
    };
    let (silence, end) = (first.onset(), last.end());
    if silence == Time::ZERO && end == line.length() {
        return Ok((silence, line));
    }
    let sounding = line.events().into_iter().filter(|event| event.onset >= silence && event.onset < end);
    Ok((silence, Line::from_events(sounding.map(|event| (event.pitch, event.duration)))?))
}

fn check_offset(meter: Meter, offset: Time) -> Result<(), SubjectError> {
    if offset < Time::ZERO || offset >= meter.bar() {
        return Err(SubjectError::Offset { offset, meter });
    }
    Ok(())
}

fn check_size(line: &Line, meter: Meter) -> Result<(), SubjectError> {
    let (notes, length) = (line.notes().len(), line.length());
    if notes > MAX_NOTES {
        return Err(SubjectError::TooManyNotes { notes });
    }
    let limit = meter.bar().scaled(MAX_BARS, 1)?;
    if length > limit {
        return Err(SubjectError::TooLong { length, limit });
    }
    Ok(())
}

#[cfg(test)]
mod tests;
