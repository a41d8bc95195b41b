//! What a strict teacher finds: faults of every class are planted into clean expositions, which are
//! then reviewed as a stranger's score is, without a word on where subject and entries lie.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test may panic, and prints what it measures"
)]

mod cadence;
mod chance;
mod class;
#[path = "../common/mod.rs"]
mod common;
mod entries;
mod faults;
mod mending;
mod music;
mod plant;
mod rhythm;
mod timing;

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
use std::fmt;

/// What a user gets for a score.
fn review(score: &Score, book: &RuleBook) -> Vec<Finding> {
    let outline = recognize(score).map(|found| found.outline);
    book.review(&Texture::of(score).with_outline(outline.as_ref()))
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
        let known = review(clean.music.frame(), book);
        for class in CLASSES.iter().filter(|class| class.rules.iter().any(|rule| book.rule(rule).is_some())) {
            let mut chance = Chance::new(u64::try_from(seed).unwrap());
            let share: &mut Share = shares.entry(class.name).or_default();
            for plant in (class.plants)(clean, &mut chance, count) {
                if is_known(&plant, class, &known, clean.music.frame().meter().bar()) {
                    continue;
                }
                share.planted += 1;
                let findings = review(&plant.music.score(), book);
                let found = is_marked(&plant, class, &findings, clean.music.beat());
                share.found += usize::from(found);
                if !found {
                    println!("missed: {}; marked {}", told(&plant, clean, class), places(&findings, class));
                }
            }
        }
    }
    shares
}

/// Whether a finding before planting is within a bar of a plant, or in a passage that may reach it: then no clean
/// place has been spoilt, for what recurs in a passage is marked once, at its worst place, and the plant does not
/// count.
fn is_known(plant: &Plant, class: &Class, known: &[Finding], bar: Time) -> bool {
    known.iter().any(|it| is_about(it, &plant.fault, class, bar.scaled(times(&it.message), 1).unwrap()))
}

/// How often the passage of a finding has what is marked; from one to the next it is less than a bar.
fn times(message: &str) -> i64 {
    let Some((_, passage)) = message.rsplit_once(", ") else { return 1 };
    match passage.strip_suffix(" in close succession") {
        Some("twice") => 2,
        Some(count) => count.strip_suffix(" times").map_or(1, |count| count.parse().unwrap()),
        None => 1,
    }
}

/// Whether a finding within so long is about the fault of a plant.
fn is_marked(plant: &Plant, class: &Class, findings: &[Finding], within: Time) -> bool {
    findings.iter().any(|it| is_about(it, &plant.fault, class, within))
}

/// Where the rules of a class have found something.
fn places(findings: &[Finding], class: &Class) -> String {
    let of_class = findings.iter().filter(|it| class.rules.contains(&it.rule.as_str()));
    let places: Vec<String> = of_class.map(|it| format!("{} {:?}", it.place, it.voices)).collect();
    if places.is_empty() { "nowhere".to_owned() } else { places.join(", ") }
}

/// Where and what a plant is, for one that was not found.
fn told(plant: &Plant, clean: &Clean, class: &Class) -> String {
    let place = plant.music.frame().place(plant.fault.from).unwrap();
    format!("{}: {} at {place}, voices {:?}", clean.name, class.name, plant.fault.voices)
}

/// The least share in percent of each class, and of all.
const FLOORS: (usize, usize) = (95, 99);

impl Share {
    fn percent(self) -> usize {
        (self.found * 100).checked_div(self.planted).unwrap_or(100)
    }
}

/// Prints the shares and the share of all.
fn print(book: &RuleBook, shares: &BTreeMap<&'static str, Share>) -> Share {
    let mut all = Share::default();
    println!("{}", book.name());
    for class in CLASSES {
        let Some(share) = shares.get(class.name) else { continue };
        println!("    {:32} {:4} of {:4}  {:3} %", class.name, share.found, share.planted, share.percent());
        all.planted += share.planted;
        all.found += share.found;
    }
    println!("    {:32} {:4} of {:4}  {:3} %", "in all", all.found, all.planted, all.percent());
    all
}

fn assert_shares(drafts: &[Clean], count: usize) {
    for book in [RuleBook::free_baroque(), RuleBook::strict_school()] {
        let shares = shares(drafts, &book, count);
        let all = print(&book, &shares);
        for (class, share) in &shares {
            assert!(share.percent() >= FLOORS.0, "{}: {class}: {} %", book.name(), share.percent());
        }
        assert!(all.planted >= 50 * drafts.len() && all.percent() >= FLOORS.1, "{}", book.name());
    }
}

#[test]
fn planted_faults_are_found() {
    assert_shares(&drafts(1), 3);
}

/// The same with thousands: `cargo test --release --test planted -- --ignored --nocapture thousands`.
#[test]
#[ignore = "takes minutes"]
fn thousands_of_planted_faults_are_found() {
    assert_shares(&drafts(6), 4);
}

/// How many findings of planted notes have a remedy, how many get back the note that was spoilt, and how many remedies
/// do not hold.
#[derive(Clone, Copy, Default)]
struct Mended {
    found: usize,
    with_remedy: usize,
    restored: usize,
    failing: usize,
}

impl Mended {
    fn plus(&mut self, other: Self) {
        self.found += other.found;
        self.with_remedy += other.with_remedy;
        self.restored += other.restored;
        self.failing += other.failing;
    }
}

impl fmt::Display for Mended {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:4} {:4} {:4} {:4}", self.found, self.with_remedy, self.restored, self.failing)
    }
}

fn role_of(clean: &Clean, (voice, note): (usize, usize)) -> &'static str {
    clean.entry_of(voice, note).map_or("free", |entry| match entry.role {
        soggetto::exposition::Role::Countersubject => "countersubject",
        _ => "theme",
    })
}

/// What becomes of the findings about a plant of a single note.
fn mended(clean: &Clean, plant: &Plant, class: &Class, known: &BTreeSet<Key>, book: &RuleBook) -> Mended {
    let score = plant.music.score();
    let outline = recognize(&score).map(|it| it.outline);
    let mut findings = review(&score, book);
    findings.retain(|it| is_about(it, &plant.fault, class, clean.music.beat()) && !known.contains(&key(it)));
    soggetto::remedy::remedies(&score, outline.as_ref(), book, &mut findings);
    let mut mended = Mended { found: findings.len(), ..Mended::default() };
    for finding in findings.iter().filter(|finding| finding.remedy.is_some()) {
        mended.with_remedy += 1;
        let remedy = finding.remedy.as_ref();
        mended.restored += usize::from(remedy.is_some_and(|it| mending::restores(clean, plant, it)));
        if let Some(objection) = mending::objection(clean, plant, book, finding) {
            println!("{objection}");
            mended.failing += 1;
        }
    }
    mended
}

/// The same for so many plants of each class in each exposition: by the role of the spoilt note, and all. Prints them by
/// class.
fn remedies_of(scores: &[Clean], book: &RuleBook, count: usize) -> BTreeMap<&'static str, Mended> {
    let mut all: BTreeMap<(&str, &str), Mended> = BTreeMap::new();
    for (seed, clean) in scores.iter().enumerate() {
        let known: BTreeSet<Key> = review(clean.music.frame(), book).iter().map(key).collect();
        for class in CLASSES {
            let mut chance = Chance::new(u64::try_from(seed).unwrap());
            for plant in (class.plants)(clean, &mut chance, count) {
                let Some(note) = plant.note else { continue };
                let mended = mended(clean, &plant, class, &known, book);
                all.entry((class.name, role_of(clean, note))).or_default().plus(mended);
            }
        }
    }
    let mut sums: BTreeMap<&str, Mended> = BTreeMap::new();
    for ((class, role), it) in &all {
        println!("    {class:32} {role:16} {it}");
        sums.entry(role).or_default().plus(*it);
        sums.entry("all").or_default().plus(*it);
    }
    for (role, it) in &sums {
        println!("    {role:32} {it}");
    }
    sums
}

#[test]
fn nine_in_ten_planted_notes_have_a_remedy_and_every_remedy_holds() {
    let sums = remedies_of(&drafts(1), &RuleBook::free_baroque(), 2);
    for (role, it) in &sums {
        assert!(it.with_remedy * 10 >= it.found * 9, "{role}: {it}");
        assert_eq!(it.failing, 0, "{role}: {it}");
    }
    assert!(sums["all"].found >= 300 && sums["all"].restored * 10 >= sums["all"].found * 6);
}

/// The scores of the folder that `SCORES` names.
fn of_folder() -> Vec<Clean> {
    let folder = std::env::var("SCORES").unwrap();
    music::strangers(std::path::Path::new(&folder))
}

/// The same on fugues of your own: `SCORES=folder cargo test --release --test planted -- --ignored --nocapture mended`.
#[test]
#[ignore = "needs a folder of scores"]
fn planted_notes_are_mended_in_scores_of_a_folder() {
    let scores = of_folder();
    for book in [RuleBook::free_baroque(), RuleBook::strict_school()] {
        println!("{}", book.name());
        remedies_of(&scores, &book, 3);
    }
}

/// The shares on fugues of your own: `SCORES=folder cargo test --release --test planted -- --ignored --nocapture folder`.
#[test]
#[ignore = "needs a folder of scores"]
fn planted_faults_are_found_in_scores_of_a_folder() {
    let scores = of_folder();
    for book in [RuleBook::free_baroque(), RuleBook::strict_school()] {
        print(&book, &shares(&scores, &book, 6));
    }
}
