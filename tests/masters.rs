//! What a review makes of a few bars that every teacher knows: `shared/masters`.
#![expect(clippy::unwrap_used, reason = "a test may panic: that is how it fails")]

use soggetto::interchange::read_score;
use soggetto::recognize::recognize;
use soggetto::rules::RuleBook;
use soggetto::score::Score;
use soggetto::texture::Texture;

fn score(name: &str) -> Score {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/shared/masters");
    let read = read_score(format!("{folder}/{name}.json")).unwrap();
    assert_eq!(read.remarks, []);
    read.score
}

/// Every mark of a book as place, weight and rule.
fn marks(score: &Score, book: &RuleBook) -> Vec<String> {
    let outline = recognize(score).map(|found| found.outline);
    let findings = book.review(&Texture::of(score).with_outline(outline.as_ref()));
    findings.iter().map(|it| format!("{}: {} {}", it.place, it.severity, it.rule)).collect()
}

#[test]
fn first_exercise_of_the_gradus_is_clean_in_the_strict_school() {
    let score = score("gradus-dorian-first-species");
    let note_against_note = ["bar 1, beat 1: Remark rhythmic-unison"];
    assert_eq!(marks(&score, &RuleBook::strict_school()), note_against_note);
    assert_eq!(marks(&score, &RuleBook::free_baroque()), note_against_note);
    assert!(recognize(&score).is_none());
}

#[test]
fn opening_of_an_invention_is_clean_in_the_free_style_and_breaks_three_rules_of_the_strict_school() {
    let score = score("bwv772-opening");
    assert!(marks(&score, &RuleBook::free_baroque()).is_empty());
    // B over F, the leap of the bass under a rising octave, F over C: dissonant or open, and all by design.
    let strict = [
        "bar 1, beat 4: Fault unprepared-dissonance",
        "bar 2, beat 1: Fault direct-perfects",
        "bar 2, beat 4: Fault unprepared-dissonance",
    ];
    assert_eq!(marks(&score, &RuleBook::strict_school()), strict);
    assert!(recognize(&score).is_none(), "it is answered at the octave alone");
}
