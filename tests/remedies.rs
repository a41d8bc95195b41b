//! Remedies under trial: single notes of our own drafts are spoilt, and what is found is to be mended.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test may panic, and prints what it measures"
)]

mod common;

use common::{mended, subjects};
use soggetto::compose::{DraftOptions, draft};
use soggetto::ensemble::Ensemble;
use soggetto::exposition::{Exposition, Outline, Role};
use soggetto::line::{Line, Note};
use soggetto::remedy::remedies;
use soggetto::rules::{Finding, RuleBook, Severity};
use soggetto::score::{Part, Score};
use soggetto::texture::Texture;
use soggetto::time::Time;
use std::collections::BTreeMap;

/// Drafts of every demo subject, in three and four voices.
fn drafts() -> Vec<Exposition> {
    let voices = [3, 4].into_iter().cycle();
    let expositions = subjects().into_iter().zip(voices).map(|((_, subject), voices)| {
        let ensemble = Ensemble::named("plain").unwrap().with_voices(voices).unwrap();
        draft(&subject, &DraftOptions::new(ensemble)).unwrap()
    });
    expositions.collect()
}

/// The score with one note at another pitch, by an interval in text; `None` if it cannot be written.
fn spoilt(score: &Score, voice: usize, note: usize, by: &str) -> Option<Score> {
    let mut parts: Vec<Part> = score.parts().to_vec();
    let line = &parts[voice].line;
    let mut notes = line.notes().to_vec();
    let old = notes[note];
    notes[note] = Note::new(old.pitch().moved(by.parse().unwrap()).ok()?, old.onset(), old.duration());
    parts[voice].line = Line::from_notes(notes, line.length()).unwrap();
    Some(Score::new(score.key(), score.meter(), score.pickup(), parts).unwrap())
}

fn review(score: &Score, outline: &Outline, book: &RuleBook) -> Vec<Finding> {
    book.review(&Texture::of(score).with_outline(outline))
}

/// Rule, weight, onset and voices, whichever of them is blamed: what makes two findings the same.
type Key = (String, Severity, String, Vec<usize>);

fn key(finding: &Finding) -> Key {
    let (rule, onset) = (finding.rule.to_string(), finding.place.onset.to_string());
    let mut voices = finding.voices.clone();
    voices.sort_unstable();
    (rule, finding.severity, onset, voices)
}

fn counted(findings: &[Finding]) -> BTreeMap<Key, usize> {
    let mut counts = BTreeMap::new();
    for finding in findings {
        *counts.entry(key(finding)).or_insert(0) += 1;
    }
    counts
}

/// That a remedy holds: its finding is gone, nothing as grave is new, and every note of an entry
/// sounds as it did, or again as it did in the draft.
fn prove(
    (draft, score): (&Score, &Score),
    spoilt: (usize, usize),
    outline: &Outline,
    book: &RuleBook,
    finding: &Finding,
) {
    let before = &review(score, outline, book);
    let remedy = finding.remedy.as_ref().unwrap();
    let told = format!("{finding}");
    assert!((1..=2).contains(&remedy.changes().len()), "{told}");
    let after_score = mended(score, remedy);
    assert_eq!(remedy.apply(score).unwrap(), after_score, "{told}");
    let after = review(&after_score, outline, book);
    let is_left = |it: &Finding| key(&Finding { severity: finding.severity, ..it.clone() }) == key(finding);
    assert!(!after.iter().any(is_left), "{told}\nis still there");
    let before = counted(before);
    for (key, count) in counted(&after) {
        let known = before.get(&key).copied().unwrap_or(0);
        assert!(count <= known || key.1 < finding.severity, "{told}\nadds {key:?}");
    }
    for entry in &outline.entries {
        let notes = |score| sounds(score, entry.voice, entry.onset, entry.notes.len());
        let is_own =
            entry.role == Role::Countersubject && entry.voice == spoilt.0 && entry.notes.contains(&spoilt.1);
        for ((now, was), first) in notes(&after_score).zip(notes(score)).zip(notes(draft)) {
            assert!(
                now == was || now == first || is_own,
                "{told}\ntouches the {}, {spoilt:?}",
                entry.role.name()
            );
        }
    }
}

/// So many notes of a voice from an onset on.
fn sounds(score: &Score, voice: usize, from: Time, count: usize) -> impl Iterator<Item = Note> {
    let notes = score.parts()[voice].line.notes();
    notes.iter().copied().filter(move |note| note.onset() >= from).take(count)
}

/// How many findings have a remedy, of how many.
#[derive(Clone, Copy, Default, Debug)]
struct Share {
    mended: usize,
    found: usize,
}

/// By what a note is spoilt: steps, octaves, semitones, and what tears a line.
const MOVES: [&str; 10] = ["M2", "-M2", "m2", "-m2", "P8", "-P8", "A1", "-A1", "m3", "-P4"];

/// The drafts with one note of each of many places spoilt: voice and note.
fn plants(exposition: &Exposition) -> Vec<(usize, usize, Score)> {
    let score = exposition.score();
    let places = score
        .parts()
        .iter()
        .enumerate()
        .flat_map(|(voice, part)| (0..part.line.notes().len()).map(move |note| (voice, note)));
    let spoil = |(voice, note): (usize, usize)| {
        let by = MOVES[(note * 7 + voice * 3) % MOVES.len()];
        Some((voice, note, spoilt(score, voice, note, by)?))
    };
    places.filter_map(spoil).collect()
}

impl Share {
    fn count(&mut self, finding: &Finding) {
        self.found += 1;
        self.mended += usize::from(finding.remedy.is_some());
    }

    fn is_nine_in_ten(self) -> bool {
        self.mended * 10 >= self.found * 9
    }
}

/// To what a note of a draft belongs.
fn kind(outline: &Outline, voice: usize, note: usize) -> &'static str {
    let entry = outline.entries.iter().find(|entry| entry.voice == voice && entry.notes.contains(&note));
    match entry.map(|entry| entry.role) {
        None => "free",
        Some(Role::Countersubject) => "countersubject",
        Some(Role::Subject | Role::Answer) => "theme",
    }
}

#[test]
fn nine_in_ten_planted_faults_have_a_remedy_and_every_remedy_holds() {
    let book = RuleBook::free_baroque();
    let (mut kinds, mut rules) = (BTreeMap::<&str, Share>::new(), BTreeMap::<String, Share>::new());
    for exposition in drafts() {
        let (draft, outline) = (exposition.score(), exposition.outline());
        let clean = counted(&review(draft, &outline, &book));
        for (voice, note, spoilt) in plants(&exposition) {
            let mut found = review(&spoilt, &outline, &book);
            found.retain(|it| it.severity > Severity::Remark && !clean.contains_key(&key(it)));
            remedies(&spoilt, Some(&outline), &book, &mut found);
            for finding in &found {
                kinds.entry(kind(&outline, voice, note)).or_default().count(finding);
                rules.entry(finding.rule.to_string()).or_default().count(finding);
                if finding.remedy.is_some() {
                    prove((draft, &spoilt), (voice, note), &outline, &book, finding);
                }
            }
        }
    }
    println!("{kinds:?}; by rule {rules:?}");
    for kind in ["free", "theme", "countersubject"] {
        let share = kinds[kind];
        assert!(share.found >= 200 && share.is_nine_in_ten(), "{kind}: {share:?}; {rules:?}");
    }
}
