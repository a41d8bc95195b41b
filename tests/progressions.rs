//! What the handbooks forbid and allow, progression by progression: each row of
//! `shared/handbook/progressions.json` names every mark that a book makes there, and no other.
#![expect(clippy::unwrap_used, reason = "a test may panic: that is how it fails")]

use serde_json::Value;
use soggetto::rules::RuleBook;
use soggetto::score::Score;
use soggetto::texture::Texture;

const PROGRESSIONS: &str = include_str!("../shared/handbook/progressions.json");

/// Rules that look at the rhythm of whole phrases: an exercise note against note has none.
const RHYTHM: [&str; 2] = ["empty-beat", "rhythmic-unison"];

fn texts(value: &Value) -> Vec<&str> {
    value.as_array().unwrap().iter().map(|text| text.as_str().unwrap()).collect()
}

/// The marks of a book, written as in the table: bar and beat, weight, rule.
fn marks(score: &Score, book: &RuleBook) -> Vec<String> {
    let mut findings = book.review(&Texture::of(score));
    findings.retain(|it| !RHYTHM.contains(&it.rule.as_str()));
    findings
        .iter()
        .map(|it| format!("{}:{} {} {}", it.place.bar, it.place.beat, it.severity, it.rule))
        .collect()
}

#[test]
fn all_progressions_are_marked_as_the_handbooks_have_them() {
    let table: Value = serde_json::from_str(PROGRESSIONS).unwrap();
    let rows = table["progressions"].as_array().unwrap();
    assert_eq!(rows.len(), 74);
    let mut wrong = Vec::new();
    for row in rows {
        let field = |name: &str| row[name].as_str().unwrap();
        let score = Score::excerpt(field("key"), field("meter"), &texts(&row["voices"])).unwrap();
        for (name, book) in [("free", RuleBook::free_baroque()), ("strict", RuleBook::strict_school())] {
            let (found, expected) = (marks(&score, &book), texts(&row[name]));
            if found != expected {
                wrong.push(format!("{}, {name}: {found:?} instead of {expected:?}", field("id")));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}
