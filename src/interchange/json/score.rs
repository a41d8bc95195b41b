//! Scores, plain or with the exposition that they are.

use super::super::reading::ReadScore;
use super::error::ReadError;
use super::fields::{Fields, parse};
use super::{page, read_exposition};
use crate::score::Score;

/// What a score has in JSON.
const FIELDS: [&str; 5] = ["key", "meter", "pickup", "meters", "voices"];

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
    let fields = Fields::of(&value, "", &FIELDS)?;
    fields.need("key", "a key, as in \"D minor\"")?;
    fields.need("meter", "a meter, as in \"4/4\"")?;
    fields.need("voices", "a list of voices, each with its name and its line")?;
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn other_shapes_are_refused_by_their_fields() {
        let refused = |text: &str| read_score(text).unwrap_err().to_string();
        assert_eq!(
            refused(r#"{"name": "x", "value": [1, 2]}"#),
            "name: there is no such field (the fields here are key, meter, pickup, meters, voices)"
        );
        assert_eq!(
            refused(r#"{"key": "D minor"}"#),
            "meter: the field is missing (write it as a meter, as in \"4/4\")"
        );
        assert_eq!(refused("[1]"), "the text: write it as an object, not as a list");
    }
}
