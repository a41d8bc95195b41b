//! How far the table of costs depends on its exact weights, and how it does on handbook sections
//! that it was not fitted to.

use super::facts::Facts;
use super::search::{Cost, Search};
use super::{Charge, Reading};
use crate::subject::Subject;
use std::collections::BTreeMap;

/// The worked answers of the handbooks, by section.
struct Case {
    section: String,
    subject: Subject,
    readings: Vec<Reading>,
}

fn cases() -> Vec<Case> {
    let text = include_str!("../../shared/handbook/answers.json");
    let pairs: Vec<serde_json::Value> = serde_json::from_str(text).unwrap();
    let case = |pair: &serde_json::Value| {
        let field = |name: &str| pair[name].as_str().unwrap_or_default().to_owned();
        let subject =
            Subject::from_text(&field("key"), &field("meter"), &field("offset"), &field("subject")).unwrap();
        let reading = |word: &str| if word.starts_with('5') { Reading::Tonic } else { Reading::Dominant };
        let readings = field("degrees_map").split_whitespace().map(reading).collect();
        let section = field("id").trim_end_matches(|c: char| c.is_alphabetic()).to_owned();
        Case { section, subject, readings }
    };
    let kept = pairs.iter().filter(|pair| pair["role"] != "rejected");
    kept.map(case).collect()
}

/// Weights of all charges, in the order of the table.
type Weights = Vec<Cost>;

fn standard() -> Weights {
    Charge::ALL.map(Charge::weight).to_vec()
}

/// How many of these cases the cheapest path reads as printed.
fn right<'a>(cases: impl Iterator<Item = (&'a Case, &'a Facts<'a>)>, weights: &Weights) -> usize {
    let weigh = |charge: Charge| weights[charge as usize];
    cases
        .filter(|(case, facts)| {
            let best = Search { facts, hints: &[], weigh }.best().remove(0);
            best.hearings.iter().map(|hearing| hearing.reading()).eq(case.readings.iter().copied())
        })
        .count()
}

fn with_facts<'a>(
    cases: &'a [Case],
    facts: &'a [Facts<'a>],
) -> impl Iterator<Item = (&'a Case, &'a Facts<'a>)> {
    cases.iter().zip(facts)
}

#[test]
fn each_weight_may_be_changed_by_a_quarter() {
    let cases = cases();
    let facts: Vec<Facts<'_>> = cases.iter().map(|case| Facts::of(&case.subject, &[])).collect();
    let all = right(with_facts(&cases, &facts), &standard());
    println!("standard: {all} of {}", cases.len());
    for charge in Charge::ALL {
        let weight = charge.weight();
        let changed =
            [0, weight / 2, weight - weight.div_ceil(4), weight + weight.div_ceil(4), 2 * weight, 100];
        let rights = changed.map(|weight| {
            let mut weights = standard();
            weights[charge as usize] = weight;
            right(with_facts(&cases, &facts), &weights)
        });
        println!("{charge:?} {weight}: {changed:?} -> {rights:?}");
    }
}

/// Coordinate ascent over a few round weights.
fn fit(cases: &[Case], facts: &[Facts<'_>], start: Weights, leave_out: &str) -> Weights {
    const ROUND: [Cost; 8] = [0, 1, 2, 4, 6, 8, 10, 15];
    let score = |weights: &Weights| {
        right(cases.iter().zip(facts).filter(|(case, _)| case.section != leave_out), weights)
    };
    let mut weights = start;
    let mut best = score(&weights);
    for _ in 0..2 {
        for index in 0..weights.len() {
            for weight in ROUND {
                let mut trial = weights.clone();
                trial[index] = weight;
                let found = score(&trial);
                if found > best {
                    (best, weights) = (found, trial);
                }
            }
        }
    }
    weights
}

#[test]
#[ignore = "takes minutes: run it when the table changes"]
fn weights_fitted_without_a_section_do_well_on_it() {
    let cases = cases();
    let facts: Vec<Facts<'_>> = cases.iter().map(|case| Facts::of(&case.subject, &[])).collect();
    let mut sections: BTreeMap<&str, usize> = BTreeMap::new();
    for case in &cases {
        *sections.entry(&case.section).or_default() += 1;
    }
    let flat = vec![5; Charge::ALL.len()];
    println!("flat start: {}", right(with_facts(&cases, &facts), &flat));
    let (mut from_flat, mut from_ours) = (0, 0);
    for section in sections.keys() {
        let rights = [flat.clone(), standard()].map(|start| {
            let weights = fit(&cases, &facts, start, section);
            right(cases.iter().zip(&facts).filter(|(case, _)| case.section == *section), &weights)
        });
        from_flat += rights[0];
        from_ours += rights[1];
        println!("{section}: {rights:?} of {}", sections[section]);
    }
    println!("from flat {from_flat}, from ours {from_ours} of {}", cases.len());
}
