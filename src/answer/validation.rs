//! How far the table of costs depends on its exact weights, and how it does on handbook sections
//! that it was not fitted to. Run with `--nocapture` to see the figures.
#![expect(clippy::print_stdout, reason = "the figures are what these tests are run for")]

use super::facts::Facts;
use super::search::{Cost, Search};
use super::{Charge, Reading};
use crate::subject::Subject;
use std::collections::BTreeSet;

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

/// The rules matter, their exact weights do not: none, halved or doubled, costs more than a few
/// of the worked answers.
#[test]
fn every_weight_may_be_halved_or_doubled() {
    let cases = cases();
    let facts: Vec<Facts<'_>> = cases.iter().map(|case| Facts::of(&case.subject, &[])).collect();
    let standard_right = right(cases.iter().zip(&facts), &standard());
    println!("as it stands: {standard_right} of {}", cases.len());
    for charge in Charge::ALL {
        let weight = charge.weight();
        let [without, half, double] = [0, weight.div_ceil(2), 2 * weight].map(|weight| {
            let mut weights = standard();
            weights[charge as usize] = weight;
            right(cases.iter().zip(&facts), &weights)
        });
        println!("{charge:?} ({weight}): {without} without it, {half} if halved, {double} if doubled");
        assert!(half + 5 >= standard_right && double + 5 >= standard_right, "{charge:?}");
    }
}

/// Weights that do best on all sections but one, found by trying round weights one after another.
fn fitted(cases: &[Case], facts: &[Facts<'_>], leave_out: &str) -> Weights {
    const ROUND: [Cost; 9] = [0, 1, 2, 3, 4, 6, 8, 10, 20];
    let score = |weights: &Weights| {
        right(cases.iter().zip(facts).filter(|(case, _)| case.section != leave_out), weights)
    };
    let mut weights = vec![FLAT; Charge::ALL.len()];
    let mut best = score(&weights);
    for index in (0..weights.len()).chain(0..weights.len()) {
        for weight in ROUND {
            let mut trial = weights.clone();
            trial[index] = weight;
            let found = score(&trial);
            if found > best {
                (best, weights) = (found, trial);
            }
        }
    }
    weights
}

/// The weight from which the fit sets out, the same for every charge: it knows the rules, but not
/// what they weigh.
const FLAT: Cost = 5;

#[test]
#[ignore = "takes a minute in debug mode: run it when the table changes"]
fn weights_fitted_to_other_sections_do_well_on_each() {
    let cases = cases();
    let facts: Vec<Facts<'_>> = cases.iter().map(|case| Facts::of(&case.subject, &[])).collect();
    let sections: BTreeSet<&str> = cases.iter().map(|case| case.section.as_str()).collect();
    let flat = right(cases.iter().zip(&facts), &vec![FLAT; Charge::ALL.len()]);
    let mut fitted_right = 0;
    for section in &sections {
        let weights = fitted(&cases, &facts, section);
        let own = || cases.iter().zip(&facts).filter(|(case, _)| case.section == *section);
        let found = right(own(), &weights);
        println!("{section}: {found} of {}", own().count());
        fitted_right += found;
    }
    println!("all weights equal: {flat}; fitted to the other sections: {fitted_right}; of {}", cases.len());
    assert!(fitted_right >= 44, "no better than the best of the simple rules");
}
