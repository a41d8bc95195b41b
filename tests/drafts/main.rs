//! Drafts of every demo subject for every ensemble, looked over by a checker of its own.
//!
//! `checker` knows nothing of the library's texture and rules: it cuts the music into slices by
//! plain arithmetic, so that an error in those cannot hide an error in the drafts. `figures` measures
//! the countersubjects with the same plain means. Problems are collected, and listed all together.
#![expect(clippy::unwrap_used, clippy::print_stdout, reason = "a test may panic and print")]

mod checker;
#[path = "../common/mod.rs"]
mod common;
mod figures;

use common::subjects;
use figures::Figures;
use soggetto::compose::{DraftOptions, draft};
use soggetto::ensemble::Ensemble;
use soggetto::rules::{RuleBook, Severity};
use soggetto::texture::Texture;

/// Drafts every subject for an ensemble, prints its figures, and lists every problem.
fn problems(ensemble: &Ensemble) -> Vec<String> {
    let (mut problems, mut figures) = (Vec::new(), Vec::new());
    for (name, subject) in subjects() {
        let case = format!("{name}, {} in {}", ensemble.name(), ensemble.voices().len());
        let exposition = match draft(&subject, &DraftOptions::new(ensemble.clone())) {
            Ok(exposition) => exposition,
            Err(error) => {
                problems.push(format!("{case}: {error}"));
                continue;
            }
        };
        let outline = exposition.outline();
        let texture = Texture::of(exposition.score()).with_outline(&outline);
        let found = RuleBook::free_baroque().review(&texture);
        let faults = found.iter().filter(|finding| finding.severity == Severity::Fault);
        let faults = faults.map(|fault| format!("{}: {} ({})", fault.place, fault.message, fault.rule));
        let found = checker::problems(&exposition).into_iter().chain(faults);
        problems.extend(found.map(|problem| format!("{case}: {problem}")));
        let measured = Figures::of(&exposition);
        if measured.imperfect < 60 {
            println!("{case}: imperfect consonances have {} % of the time", measured.imperfect);
        }
        figures.push(measured);
    }
    println!("{} in {}: {}", ensemble.name(), ensemble.voices().len(), figures::medians(&figures));
    problems
}

fn assert_none(problems: &[String]) {
    assert!(problems.is_empty(), "{} problems:\n{}", problems.len(), problems.join("\n"));
}

fn plain(voices: usize) -> Ensemble {
    Ensemble::named("plain").unwrap().with_voices(voices).unwrap()
}

#[test]
fn drafts_in_two_voices_are_clean() {
    assert_none(&problems(&plain(2)));
}

#[test]
fn drafts_in_three_voices_are_clean() {
    assert_none(&problems(&plain(3)));
}

#[test]
fn drafts_in_four_voices_are_clean() {
    assert_none(&problems(&plain(4)));
}

#[test]
fn drafts_in_five_voices_are_clean() {
    assert_none(&problems(&plain(5)));
}

#[test]
fn drafts_for_all_named_ensembles_are_clean() {
    let named = Ensemble::NAMES.iter().filter(|name| **name != "plain");
    let found = named.flat_map(|name| problems(&Ensemble::named(name).unwrap()));
    assert_none(&found.collect::<Vec<_>>());
}

#[test]
fn same_seed_gives_the_same_draft() {
    for (name, subject) in subjects() {
        let options = || DraftOptions::new(plain(3)).with_seed(5);
        assert_eq!(draft(&subject, &options()), draft(&subject, &options()), "{name}");
    }
}
