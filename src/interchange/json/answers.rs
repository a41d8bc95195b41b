//! The answers to a subject, and failures, one line each.

use super::line;
use crate::answer::{Alteration, Answer};
use crate::key::Key;
use crate::line::Line;
use serde::Serialize;

#[derive(Serialize)]
struct AnswersLine<'a> {
    id: Option<&'a str>,
    answers: Vec<AnswerFile<'a>>,
}

/// An answer as it stands in a file.
#[derive(Serialize)]
pub(super) struct AnswerFile<'a> {
    kind: &'static str,
    key: Key,
    line: &'a Line,
    cost: u32,
    alterations: Vec<AlterationFile>,
}

#[derive(Serialize)]
struct AlterationFile {
    note: usize,
    degree: String,
    real: String,
    chosen: String,
    reason: String,
    source: String,
}

#[derive(Serialize)]
struct FailureLine<'a> {
    id: Option<&'a str>,
    error: Failure<'a>,
}

#[derive(Serialize)]
struct Failure<'a> {
    code: &'a str,
    message: &'a str,
}

impl<'a> From<&'a Answer> for AnswerFile<'a> {
    fn from(answer: &'a Answer) -> Self {
        Self {
            kind: answer.kind().name(),
            key: answer.key(),
            line: answer.line(),
            cost: answer.cost(),
            alterations: answer.alterations().iter().map(AlterationFile::from).collect(),
        }
    }
}

impl From<&Alteration> for AlterationFile {
    fn from(alteration: &Alteration) -> Self {
        Self {
            note: alteration.note,
            degree: alteration.degree.to_string(),
            real: alteration.real.to_string(),
            chosen: alteration.chosen.to_string(),
            reason: alteration.reason.to_string(),
            source: alteration.source().to_string(),
        }
    }
}

/// Writes answers as one line: `{"id", "answers": [{"kind", "key", "line", "cost", "alterations":
/// [{"note", "degree", "real", "chosen", "reason", "source"}]}]}`.
pub fn write_answers(id: Option<&str>, answers: &[Answer]) -> String {
    line(&AnswersLine { id, answers: answers.iter().map(AnswerFile::from).collect() })
}

/// Writes what stands in the place of a result that failed: `{"id", "error": {"code", "message"}}`.
pub fn write_failure(id: Option<&str>, code: &str, message: &str) -> String {
    line(&FailureLine { id, error: Failure { code, message } })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;

    #[test]
    fn answers_are_one_line_with_every_alteration() {
        let exposition = fixture::exposition();
        let text = write_answers(Some("fughetta"), std::slice::from_ref(exposition.answer()));
        let value: serde_json::Value = serde_json::from_str(&text).unwrap();
        let answer = &value["answers"][0];
        assert_eq!(value["id"], "fughetta");
        assert_eq!(answer["kind"], "tonal");
        assert_eq!(answer["key"], "A minor");
        assert_eq!(answer["line"], exposition.answer().line().to_string());
        assert_eq!(answer["alterations"][0]["degree"], "5");
        assert_eq!(answer["alterations"][0]["real"], "E4");
        assert_eq!(answer["alterations"][0]["chosen"], "D4");
        assert_eq!(text.lines().count(), 1);
    }

    #[test]
    fn failure_keeps_the_id() {
        assert_eq!(
            write_failure(Some("x"), "json-value", "key: \"H\""),
            r#"{"id":"x","error":{"code":"json-value","message":"key: \"H\""}}"#
        );
        assert!(write_failure(None, "a", "b").starts_with(r#"{"id":null,"#));
    }
}
