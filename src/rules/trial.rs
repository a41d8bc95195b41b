//! Tries a rule on lines of text, for the tests of the rules.

use super::Rule;
use crate::score::Score;
use crate::texture::Texture;

/// What the rule finds in lines in C major, each finding as place, severity, voices, notes and
/// message.
pub(super) fn found(rule: &dyn Rule, meter: &str, lines: &[&str]) -> Vec<String> {
    found_in(rule, "C major", meter, lines)
}

/// The same in another key.
pub(super) fn found_in(rule: &dyn Rule, key: &str, meter: &str, lines: &[&str]) -> Vec<String> {
    let score = Score::excerpt(key, meter, lines).unwrap();
    let mark = |finding: super::Finding| {
        let super::Finding { place, severity, notes, message, .. } = finding;
        format!("{place}: {severity} {notes:?} {message}")
    };
    Texture::of(&score).marks(rule).into_iter().map(mark).collect()
}
