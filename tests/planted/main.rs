//! What a strict teacher finds: faults of every class are planted into clean expositions, which are
//! then reviewed as a stranger's score is, without a word on where subject and entries lie.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test may panic, and prints what it measures"
)]

mod chance;
mod class;
mod entries;
mod faults;
mod mending;
mod music;
mod plant;
mod rhythm;

use chance::Chance;
use class::{CLASSES, Class};
use faults::Fault;
use music::{Clean, drafts};
use plant::Plant;
use soggetto::recognize::recognize;
use soggetto::rules::{Finding, RuleBook};
use soggetto::score::Score;
use soggetto::texture::Texture;
use soggetto::time::Time;
use std::collections::{BTreeMap, BTreeSet};

/// What a user gets for a score.
fn review(score: &Score, book: &RuleBook) -> Vec<Finding> {
    let outline = recognize(score).map(|found| found.outline);
    let texture = Texture::of(score);
    match &outline {
        Some(outline) => book.review(&texture.with_outline(outline)),
        None => book.review(&texture),
    }
}

/// Rule, onset and voices: what makes two findings the same.
type Key = (String, Time, Vec<usize>);

fn key(finding: &Finding) -> Key {
    let mut voices = finding.voices.clone();
    voices.sort_unstable();
    (finding.rule.to_string(), finding.place.onset, voices)
}

/// Whether a finding is about a fault: its rule, its place within a beat, its voices.
fn is_about(finding: &Finding, fault: &Fault, class: &Class, beat: Time) -> bool {
    let onset = finding.place.onset;
    class.rules.contains(&finding.rule.as_str())
        && onset.checked_add(beat).unwrap() >= fault.from
        && onset <= fault.to.checked_add(beat).unwrap()
        && fault.voices.iter().all(|voice| finding.voices.contains(voice))
}

#[derive(Clone, Copy, Default)]
struct Share {
    planted: usize,
    found: usize,
}

/// Plants into each exposition so many faults of each class, and counts what a book finds.
fn shares(drafts: &[Clean], book: &RuleBook, count: usize) -> BTreeMap<&'static str, Share> {
    let mut shares = BTreeMap::new();
    for (seed, clean) in drafts.iter().enumerate() {
        let known: BTreeSet<Key> = review(clean.music.frame(), book).iter().map(key).collect();
        for class in CLASSES {
            let mut chance = Chance::new(u64::try_from(seed).unwrap());
            let share: &mut Share = shares.entry(class.name).or_default();
            for plant in (class.plants)(clean, &mut chance, count) {
                share.planted += 1;
                let found = is_found(&plant, clean, class, book, &known);
                share.found += usize::from(found);
                if !found && std::env::var("MISSES").is_ok_and(|name| class.name.contains(&name)) {
                    tell(&plant, clean, class, book);
                }
            }
        }
    }
    shares
}

fn is_found(plant: &Plant, clean: &Clean, class: &Class, book: &RuleBook, known: &BTreeSet<Key>) -> bool {
    let beat = clean.music.beat();
    let findings = review(&plant.music.score(), book);
    findings.iter().any(|it| is_about(it, &plant.fault, class, beat) && !known.contains(&key(it)))
}

/// Prints a plant that was not found.
fn tell(plant: &Plant, clean: &Clean, class: &Class, book: &RuleBook) {
    let score = plant.music.score();
    let (from, to) = (score.place(plant.fault.from).unwrap(), score.place(plant.fault.to).unwrap());
    println!(
        "--- {}: {} at {from} to {to}, voices {:?}, note {:?}",
        clean.name, class.name, plant.fault.voices, plant.note
    );
    let near = |note: &&soggetto::line::Note| {
        note.end().checked_add(clean.music.beat()).unwrap() >= plant.fault.from
            && note.onset() <= plant.fault.to.checked_add(clean.music.beat()).unwrap()
    };
    for (voice, line) in plant.music.lines.iter().enumerate() {
        let notes = line.iter().filter(near);
        let notes = notes.map(|it| format!("{}@{}:{} ", it.pitch(), it.onset(), it.duration()));
        println!("    {voice}: {}", notes.collect::<String>());
    }
    if let Some((voice, index)) = plant.note {
        println!("    was {}", clean.music.lines[voice][index].pitch());
    }
    let texture = Texture::of(&score);
    for it in texture.dissonances().iter().filter(|it| texture.time(it.onset) == plant.fault.from) {
        println!("    dissonance {:?} {:?} {:?}", it.note, it.against, it.figure);
    }
    let outline = recognize(&score).map(|it| it.outline);
    for entry in outline.iter().flat_map(|it| &it.entries) {
        println!("    {} {} {} {:?}", entry.role.name(), entry.voice, entry.onset, entry.notes);
    }
    for finding in review(&score, book) {
        println!("    {} {} {:?} {}", finding.place, finding.rule, finding.voices, finding.message);
    }
}

fn print(book: &RuleBook, shares: &BTreeMap<&'static str, Share>) -> Share {
    let mut all = Share::default();
    println!("{}", book.name());
    for class in CLASSES {
        let share = shares[class.name];
        println!("    {:32} {:4} of {:4}  {:5.1} %", class.name, share.found, share.planted, percent(share));
        all.planted += share.planted;
        all.found += share.found;
    }
    println!("    {:32} {:4} of {:4}  {:5.1} %", "in all", all.found, all.planted, percent(all));
    all
}

fn percent(share: Share) -> f64 {
    100.0 * f64::from(u32::try_from(share.found).unwrap())
        / f64::from(u32::try_from(share.planted.max(1)).unwrap())
}

#[test]
fn planted_faults_are_found() {
    let rounds = std::env::var("ROUNDS").map_or(2, |it| it.parse().unwrap());
    let drafts = drafts(rounds);
    for book in [RuleBook::free_baroque(), RuleBook::strict_school()] {
        let shares = shares(&drafts, &book, 3);
        print(&book, &shares);
    }
}

/// How many findings of planted notes have a remedy, and how many get back the note that was spoilt.
#[derive(Clone, Copy, Default)]
struct Mended {
    found: usize,
    mended: usize,
    restored: usize,
}

fn role_of(clean: &Clean, (voice, note): (usize, usize)) -> &'static str {
    clean.entry_of(voice, note).map_or("free", |entry| match entry.role {
        soggetto::exposition::Role::Countersubject => "countersubject",
        _ => "theme",
    })
}

#[test]
fn nine_in_ten_planted_notes_have_a_remedy_and_every_remedy_holds() {
    let rounds = std::env::var("ROUNDS").map_or(1, |it| it.parse().unwrap());
    let book = RuleBook::free_baroque();
    let mut all: BTreeMap<(&str, &str), Mended> = BTreeMap::new();
    for (seed, clean) in drafts(rounds).iter().enumerate() {
        let known: BTreeSet<Key> = review(clean.music.frame(), &book).iter().map(key).collect();
        for class in CLASSES {
            let mut chance = Chance::new(u64::try_from(seed).unwrap());
            for plant in (class.plants)(clean, &mut chance, 2) {
                let Some(note) = plant.note else { continue };
                let score = plant.music.score();
                let outline = recognize(&score).map(|it| it.outline);
                let mut findings = review(&score, &book);
                findings.retain(|it| {
                    is_about(it, &plant.fault, class, clean.music.beat()) && !known.contains(&key(it))
                });
                soggetto::remedy::remedies(&score, outline.as_ref(), &book, &mut findings);
                for finding in &findings {
                    let mended = all.entry((class.name, role_of(clean, note))).or_default();
                    mended.found += 1;
                    if let Some(remedy) = &finding.remedy {
                        mended.mended += 1;
                        mended.restored += usize::from(mending::restores(clean, &plant, remedy));
                        mending::prove(clean, &plant, &book, finding);
                    } else if std::env::var("UNMENDED").is_ok_and(|name| class.name.contains(&name)) {
                        tell(&plant, clean, class, &book);
                        println!("{finding}");
                    }
                }
            }
        }
    }
    let mut sums: BTreeMap<&str, Mended> = BTreeMap::new();
    for ((class, role), it) in &all {
        println!("    {class:32} {role:16} {:4} {:4} {:4}", it.found, it.mended, it.restored);
        for name in [*role, "all"] {
            let sum = sums.entry(name).or_default();
            sum.found += it.found;
            sum.mended += it.mended;
            sum.restored += it.restored;
        }
    }
    for (role, it) in sums {
        println!("    {role:32} {:4} {:4} {:4}", it.found, it.mended, it.restored);
    }
}
