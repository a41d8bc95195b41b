//! Scores, plain or with the exposition that they are.

use super::super::reading::ReadScore;
use super::error::ReadError;
use super::fields::parse;
use super::{page, read_exposition};
use crate::score::Score;

/// Reads a score as [`write_score`] writes it, or an exposition as
/// [`super::write_exposition`] does, which then has its outline.
///
/// # Errors
/// If the text is no JSON, or a field is missing, unknown, or cannot be.
pub fn read_score(text: &str) -> Result<ReadScore, ReadError> {
    let value = parse(text)?;
    if value.get("score").is_some() {
        let exposition = read_exposition(text)?;
        let outline = Some(exposition.outline());
        return Ok(ReadScore { score: exposition.score().clone(), remarks: Vec::new(), outline });
    }
    let score: Score = serde_json::from_value(value).map_err(|error| ReadError::Value {
        field: "score".to_owned(),
        message: error.to_string(),
        code: "json-value",
    })?;
    Ok(ReadScore { score, remarks: Vec::new(), outline: None })
}

/// Writes a score as a page.
pub fn write_score(score: &Score) -> String {
    page(score)
}
