use super::*;
use crate::exposition::{Entry, Outline, Role};
use crate::rules::{Finding, RuleBook, Severity};
use crate::score::Score;
use crate::subject::Subject;
use crate::texture::Texture;
use crate::time::Time;

fn score(lines: &[&str]) -> Score {
    Score::excerpt("C major", "4/4", lines).unwrap()
}

/// The one finding of a rule, in the book that drafts are held to, which has them all in full.
fn finding(rule: &str, texture: &Texture<'_>) -> Finding {
    let mut findings = RuleBook::drafting().review(texture);
    findings.retain(|finding| finding.rule.as_str() == rule);
    assert_eq!(findings.len(), 1, "{rule}: {findings:?}");
    findings.remove(0)
}

/// The remedy for the one finding of a rule.
fn remedy(rule: &str, texture: &Texture<'_>) -> Option<String> {
    Some(search(texture, &finding(rule, texture), &RuleBook::drafting())?.to_string())
}

/// Checked by hand: each clears the fault, and no smaller change in the stated order does.
#[test]
fn each_kind_of_fault_has_the_smallest_remedy() {
    let rows: [(&str, &[&str], &str); 7] = [
        ("parallel-perfects", &["G4:1/2 A4 G4:1", "C4:1/2 D4 E4:1"], "soprano: F4 for A4 at bar 1, beat 3"),
        ("out-of-compass", &["C5:1/2 B5:1/2 C5:1", "E4:1 E4:1"], "soprano: E5 for B5 at bar 1, beat 3"),
        ("wide-leap", &["E4:1/2 D5 C5:1", "C4:1 E4:1"], "soprano: A4 for D5 at bar 1, beat 3"),
        ("augmented-interval", &["F4:1/2 B4 C5:1", "D4:1 E4:1"], "soprano: A4 for B4 at bar 1, beat 3"),
        ("voice-crossing", &["E4:1/2 C4 E4:1", "C4:1/2 F4 C4:1"], "alto: C4 for F4 at bar 1, beat 3"),
        (
            "unexplained-dissonance",
            &["C5:1/2 D5:1/4 A5 C5:1", "A4:1/2 G4 A4:1"],
            "soprano: E5 for A5 at bar 1, beat 4",
        ),
        (
            "empty-beat",
            &["E5:1/4 D5 C5:1/2 D5:1/4 E5", "C5:1/4 B4 A4:1/2 B4:1/4 C5"],
            "soprano: C5:1/4 C5:1/4 for C5:1/2 at bar 1, beat 3",
        ),
    ];
    for (rule, lines, expected) in rows {
        assert_eq!(remedy(rule, &Texture::of(&score(lines))).as_deref(), Some(expected), "{rule}");
    }
}

#[test]
fn two_notes_change_where_one_is_not_enough() {
    // Fifths in both steps: whatever the second note becomes, the rules of the leap or the other fifths stand.
    let score = score(&["A4:1/2 F4:1/2 E4:1", "D4:1/2 Bb3:1/2 A3:1"]);
    let texture = Texture::of(&score);
    let book = RuleBook::free_baroque();
    for finding in book.review(&texture) {
        let remedy = search(&texture, &finding, &book);
        assert!(remedy.is_some_and(|remedy| remedy.changes().len() <= 2), "{finding}");
    }
}

/// The outline of a fugue whose only entry is the notes of a voice from the first to an index.
fn outline(score: &Score, voice: usize, notes: usize) -> Outline {
    let line = &score.parts()[voice].line;
    let subject = Subject::new(score.key(), score.meter(), Time::ZERO, line.clone()).unwrap();
    let entry = Entry { role: Role::Subject, voice, onset: Time::ZERO, notes: 0..notes, key: score.key() };
    Outline { subject, entries: vec![entry], others: Vec::new(), codettas: Vec::new(), end: line.length() }
}

#[test]
fn notes_of_entries_are_left_as_they_are() {
    let score = score(&["G4:1/2 A4 G4:1", "C4:1/2 D4 E4:1"]);
    let outline = outline(&score, 0, 3);
    let texture = Texture::of(&score).with_outline(&outline);
    assert_eq!(remedy("parallel-perfects", &texture).as_deref(), Some("alto: E4 for C4 at bar 1, beat 1"));
}

#[test]
fn wrong_note_of_an_answer_becomes_the_right_one() {
    let score = score(&["R:2 G4:1/4 A4 B4 D5 B4:1/2 G4", "C4:1/4 D4 E4 F4 E4:1/2 C4"]);
    let outline = Outline::marked(&score, &[(Role::Subject, 1, 0..6), (Role::Answer, 0, 0..6)]).unwrap();
    let texture = Texture::of(&score).with_outline(&outline);
    let remedy = remedy("wrong-answer-note", &texture);
    assert_eq!(remedy.as_deref(), Some("soprano: C5 for D5 at bar 3, beat 4"));
}

#[test]
fn nothing_is_sought_where_every_note_belongs_to_an_entry() {
    let score = score(&["G4:1/2 A4 G4:1", "C4:1/2 D4 E4:1"]);
    let mut outline = outline(&score, 0, 3);
    outline.entries.push(Entry { voice: 1, ..outline.entries[0].clone() });
    let texture = Texture::of(&score).with_outline(&outline);
    assert_eq!(remedy("parallel-perfects", &texture), None);
}

#[test]
fn all_findings_of_a_review_are_looked_after() {
    let score = score(&["G4:1/2 A4 G4:1", "C4:1/2 D4 E4:1"]);
    let book = RuleBook::free_baroque();
    let mut findings = book.review(&Texture::of(&score));
    assert!(findings.iter().any(|finding| finding.severity == Severity::Fault));
    remedies(&score, None, &book, &mut findings);
    assert!(findings.iter().all(|finding| finding.remedy.is_some()));
}

/// A crossing of two beats and a half was once 'cleared' by a unison on its first eighth: there were two beats left.
#[test]
fn mark_that_moves_is_not_cleared() {
    let lines = [
        "Bb4:1/2 Ab4:1/4 G4:1/4 F4:1/2 F4:1/2",
        "E4:1/4 D4:1/8 E4:1/8 F4:1/4 G4:1/8 Ab4:1/8 Bb4:1/4 Ab4:1/4 G4:1/2",
        "C4:1 F3:1/2 Db4:1/2",
    ];
    let score = Score::excerpt("F minor", "4/4", &lines).unwrap();
    let book = RuleBook::free_baroque();
    let crossings = |score: &Score| {
        let texture = Texture::of(score);
        let all = book.review(&texture).into_iter().filter(|it| it.rule.as_str() == "voice-crossing");
        let remedy = |it: Finding| search(&texture, &it, &book);
        all.map(remedy).collect::<Vec<_>>()
    };
    let remedies = crossings(&score);
    assert!(!remedies.is_empty());
    for remedy in remedies.into_iter().flatten() {
        assert!(crossings(&remedy.apply(&score).unwrap()).is_empty(), "{remedy}");
    }
}

#[test]
fn long_pieces_are_left_alone() {
    let line = "G4:1/8 ".repeat(MAX_NOTES / 2) + "A4:1/8";
    let score = score(&[&line, &line.replace('G', "C").replace('A', "D")]);
    let book = RuleBook::free_baroque();
    let mut findings = book.review(&Texture::of(&score));
    assert!(!findings.is_empty());
    remedies(&score, None, &book, &mut findings);
    assert!(findings.iter().all(|finding| finding.remedy.is_none()));
    assert_eq!(search(&Texture::of(&score), &findings[0], &book), None);
}

#[test]
fn all_threads_find_what_one_finds() {
    let score = score(&["G4:1/2 A4 B4 G5:1/4 F4 E4:1", "C4:1/2 D4 E4 F4 C4:1"]);
    let (book, alone) = (RuleBook::free_baroque(), review(&score, None, &RuleBook::free_baroque()));
    assert!(alone.iter().filter(|finding| finding.remedy.is_some()).count() >= 2);
    for threads in [0, 2, 3, 64] {
        let mut findings = book.review(&Texture::of(&score));
        remedies_in_parallel(&score, None, &book, &mut findings, threads);
        assert_eq!(findings, alone, "{threads} threads");
    }
}
