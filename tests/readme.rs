//! The README prints what the run prints: every line of its text block, in order, `...` standing for
//! any others. The code in it is tested as documentation.
#![expect(clippy::unwrap_used, reason = "a test may panic: that is how it fails")]

use soggetto::compose::{DraftOptions, draft};
use soggetto::interchange::{json, summary, svg};
use soggetto::{Ensemble, Exposition, Finding, RuleBook, Texture};

const README: &str = include_str!("../README.md");
const BUILT_IN: &str = include_str!("../shared/subjects/carillon.json");
const PICTURE: &str = include_str!("../shared/pictures/exposition.svg");

/// What the draft example makes when it is given no subject.
fn built_in_draft() -> (Exposition, Vec<Finding>) {
    let subject = json::read_subject(BUILT_IN).unwrap();
    let exposition = draft(&subject, &DraftOptions::new(Ensemble::named("plain").unwrap())).unwrap();
    let outline = exposition.outline();
    let texture = Texture::of(exposition.score()).with_outline(&outline);
    let findings = RuleBook::free_baroque().review(&texture);
    (exposition, findings)
}

#[test]
fn picture_in_the_readme_is_that_of_the_built_in_subject() {
    let (exposition, findings) = built_in_draft();
    let picture = svg::write(&exposition, &findings).unwrap();
    assert!(README.contains("shared/pictures/exposition.svg"));
    assert!(picture == PICTURE, "the picture is out of date: copy out/exposition.svg of the draft example");
}

#[test]
fn readme_shows_what_the_draft_of_the_built_in_subject_prints() {
    let (exposition, findings) = built_in_draft();
    let printed = summary::write(&exposition, &findings);

    let (_, block) = README.split_once("```text\n").unwrap();
    let (shown, _) = block.split_once("```").unwrap();
    assert!(shown.lines().count() > 10, "the README shows too little of the run:\n{shown}");
    let mut lines = printed.lines();
    for line in shown.lines().filter(|line| *line != "...") {
        assert!(
            lines.any(|other| other == line),
            "the README shows {line:?} where the run does not (copy it anew):\n{printed}"
        );
    }
}
