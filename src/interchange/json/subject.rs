//! The subject file.

use super::error::ReadError;
use super::fields::{Fields, parse};
use super::line;
use crate::key::Key;
use crate::line::Line;
use crate::meter::Meter;
use crate::subject::{Subject, SubjectError};
use crate::time::Time;
use serde::Serialize;

/// The fields of a subject file.
pub(super) const FIELDS: [&str; 7] = ["id", "title", "key", "meter", "offset", "subject", "harmony"];

/// A subject as it stands in a file.
#[derive(Serialize)]
pub(super) struct SubjectFile<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    key: Key,
    meter: Meter,
    offset: Time,
    subject: &'a Line,
    #[serde(skip_serializing_if = "Option::is_none")]
    harmony: Option<String>,
}

impl<'a> From<&'a Subject> for SubjectFile<'a> {
    fn from(subject: &'a Subject) -> Self {
        Self {
            id: subject.id(),
            title: subject.title(),
            key: subject.key(),
            meter: subject.meter(),
            offset: subject.offset(),
            subject: subject.line(),
            harmony: subject.harmony().map(ToString::to_string),
        }
    }
}

/// Writes a subject as one line of JSON.
pub fn write_subject(subject: &Subject) -> String {
    line(&SubjectFile::from(subject))
}

/// Reads a subject: `{"id"?, "title"?, "key", "meter", "offset", "subject", "harmony"?}`, all of
/// them text. Bar lines in the subject are checked against meter and offset.
///
/// # Errors
/// If the text is no JSON, a field is missing, unknown or of the wrong kind, or its value cannot be.
pub fn read_subject(text: &str) -> Result<Subject, ReadError> {
    let value = parse(text)?;
    read(&Fields::of(&value, "", &FIELDS)?)
}

/// Reads a subject from its fields.
pub(super) fn read(fields: &Fields<'_>) -> Result<Subject, ReadError> {
    let key = fields.parsed("key")?;
    let meter: Meter = fields.parsed("meter")?;
    let offset: Time = fields.parsed("offset")?;
    if offset < Time::ZERO || offset >= meter.bar() {
        return Err(fields.refused("offset", &SubjectError::Offset { offset, meter }));
    }
    let line = Line::parse_in(fields.text("subject")?, meter, offset);
    let line = line.map_err(|error| fields.refused("subject", &error))?;
    let subject = Subject::new(key, meter, offset, line);
    let mut subject = subject.map_err(|error| fields.refused(field_of(&error), &error))?;
    if let Some(id) = fields.optional_text("id")? {
        subject = subject.with_id(id);
    }
    if let Some(title) = fields.optional_text("title")? {
        subject = subject.with_title(title);
    }
    match fields.optional("harmony")? {
        Some(harmony) => subject.with_harmony(harmony).map_err(|error| fields.refused("harmony", &error)),
        None => Ok(subject),
    }
}

/// The field that an error about a subject is to be looked for in.
const fn field_of(error: &SubjectError) -> &'static str {
    match error {
        SubjectError::Key { .. } => "key",
        SubjectError::Offset { .. } => "offset",
        _ => "subject",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WALTZ: &str = concat!(
        r#"{"id":"w1","title":"Waltz","key":"A minor","meter":"3/4","offset":"1/2","#,
        r#""subject":"E4:1/4 A4:1/2 B4:1/4","harmony":"V:1/4 i:3/4"}"#
    );

    fn refused(from: &str, to: &str) -> (String, &'static str) {
        assert!(WALTZ.contains(from), "{from}");
        let error = read_subject(&WALTZ.replacen(from, to, 1)).unwrap_err();
        (error.to_string(), error.code())
    }

    #[test]
    fn subject_is_written_as_it_was_read() {
        let subject = read_subject(WALTZ).unwrap();
        assert_eq!(subject.id(), Some("w1"));
        assert_eq!(subject.offset().to_string(), "1/2");
        assert_eq!(write_subject(&subject), WALTZ);
    }

    #[test]
    fn title_id_and_harmony_may_be_left_out() {
        let text = r#"{"key":"A minor","meter":"3/4","offset":"0","subject":"A4:1/4 | C5:3/4 |"}"#;
        let text = text.replace("A4:1/4", "A4:3/4");
        let subject = read_subject(&text).unwrap();
        assert_eq!((subject.id(), subject.title()), (None, None));
        assert!(subject.harmony().is_none());
    }

    #[test]
    fn every_error_names_its_field() {
        let rows = [
            (
                r#""A minor""#,
                r#""H minor""#,
                "key: \"H minor\" is not a key: \"H\" is not a pitch: letters run from A to G (write B4 or Bb4)",
                "key-tonic",
            ),
            (
                r#""3/4","offset""#,
                r#""3/5","offset""#,
                "meter: \"3/5\" is not a meter: the lower figure is 1, 2, 4, 8, 16, 32 or 64",
                "meter-lower",
            ),
            (
                r#""1/2","subject""#,
                r#""3/4","subject""#,
                "offset: the offset 3/4 is not a place in a bar of 3/4: it must be at least 0 and less than 3/4",
                "subject-offset",
            ),
            (
                "A4:1/2",
                "H4:1/2",
                "subject: note 2: \"H4\" is not a pitch: letters run from A to G (write B4 or Bb4)",
                "pitch-letter",
            ),
            (
                "i:3/4",
                "i:1/2",
                "harmony: the harmony is too short by 1/4: it lasts 3/4 where the subject lasts 1 (lengthen the \
                 last chord by 1/4)",
                "harmony-length",
            ),
            (r#""key":"A minor","#, "", "key: the field is missing (write it as text)", "json-missing"),
            (r#""A minor""#, "5", "key: write it as text, not as such a number", "json-kind"),
            (
                r#""key""#,
                r#""tonality""#,
                "tonality: there is no such field (the fields here are id, title, key, meter, offset, subject, harmony)",
                "json-unknown",
            ),
        ];
        for (from, to, message, code) in rows {
            let (found, found_code) = refused(from, to);
            assert_eq!((found.as_str(), found_code), (message, code));
        }
    }

    #[test]
    fn text_that_is_no_json_is_refused_with_its_place() {
        let error = read_subject("{\"key\":").unwrap_err();
        assert_eq!(
            error.to_string(),
            "the text is not JSON: EOF while parsing a value at line 1 column 7 (compare it with the example in \
             the guide)"
        );
        assert_eq!((error.code(), error.field()), ("json-syntax", None));
    }

    #[test]
    fn list_is_no_subject() {
        assert_eq!(
            read_subject("[]").unwrap_err().to_string(),
            "the text: write it as an object, not as a list"
        );
    }
}
