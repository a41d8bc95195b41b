//! JSON: subjects, answers, expositions, reviews.
//!
//! Values stand in it as their text: `"A minor"`, `"2+2+3/8"`, `"F#4:1/8 R:1/4"`, fractions as
//! `"3/16"`. Unknown fields are refused, and every error names its field.
//!
//! | what | functions | form |
//! |---|---|---|
//! | a subject | [`read_subject`], [`write_subject`] | one line |
//! | its answers | [`write_answers`], [`write_failure`] | one line |
//! | a score | [`read_score`], [`write_score`] | a page |
//! | an exposition | [`read_exposition`], [`write_exposition`], [`write_exposition_line`] | a page, or one line |
//! | a [`Review`](super::Review) | [`write_review`], [`write_review_line`] | a page, or one line |
//!
//! ```
//! use soggetto::interchange::json;
//! let text = r#"{"key":"A minor","meter":"3/4","offset":"0","subject":"A4:1/4 C5 E5"}"#;
//! let subject = json::read_subject(text)?;
//! assert_eq!(json::write_subject(&subject), text.replace("C5 E5", "C5:1/4 E5:1/4"));
//! let error = json::read_subject(&text.replace("A minor", "H minor")).unwrap_err();
//! assert!(error.to_string().starts_with("key: "));
//! # Ok::<(), json::ReadError>(())
//! ```

mod answers;
mod error;
mod exposition;
mod fields;
mod read_exposition;
mod review;
mod score;
mod subject;

pub use answers::{write_answers, write_failure};
pub use error::ReadError;
pub use exposition::{write_exposition, write_exposition_line};
pub use read_exposition::read_exposition;
pub use review::{write_review, write_review_line};
pub use score::{read_score, write_score};
pub use subject::{read_subject, write_subject};

use serde::Serialize;

/// One line of JSON. The structs of this module have text for keys and finite numbers, so that
/// writing them cannot fail.
fn line(value: &impl Serialize) -> String {
    let text = serde_json::to_string(value);
    debug_assert!(text.is_ok(), "these structs can always be written");
    text.unwrap_or_default()
}

/// A page of JSON, indented, with a line feed at the end.
fn page(value: &impl Serialize) -> String {
    let text = serde_json::to_string_pretty(value);
    debug_assert!(text.is_ok(), "these structs can always be written");
    text.unwrap_or_default() + "\n"
}
