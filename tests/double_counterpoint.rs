//! The tables of invertible counterpoint of the handbooks: `shared/handbook/double_counterpoint.json`
//! names its sources.
#![expect(clippy::unwrap_used, reason = "a test may panic: that is how it fails")]

use serde_json::Value;
use soggetto::combine::inversion::{Effect, Inversion, Parallels, Turn};
use soggetto::interval::Consonance;

fn handbook() -> Value {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/shared/handbook/double_counterpoint.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// Each inversion with its section of the handbook, which is named as the library names it.
fn sections() -> Vec<(Inversion, Value)> {
    let table = handbook();
    let sections = table.as_object().unwrap().keys().filter(|key| !key.starts_with('_')).count();
    assert_eq!(sections, Inversion::ALL.len());
    Inversion::ALL.into_iter().map(|inversion| (inversion, table[inversion.to_string()].clone())).collect()
}

fn number(field: &Value) -> u32 {
    field.as_u64().unwrap().try_into().unwrap()
}

/// A class in the words of the handbook.
fn class(consonance: Consonance) -> String {
    match consonance {
        Consonance::Fourth => "fourth (dissonance in two parts)".to_owned(),
        other => other.to_string(),
    }
}

/// Turns of one effect in the short form of the handbook: `5->4`.
fn turns(inversion: Inversion, effect: Effect) -> Vec<Value> {
    let table = inversion.table().filter(|turn| turn.effect() == effect);
    table.map(|turn| format!("{}->{}", turn.before(), turn.after()).into()).collect()
}

#[test]
fn all_rows_are_those_of_the_handbook() {
    for (inversion, section) in sections() {
        let rows = section["table"].as_array().unwrap();
        assert_eq!(rows.len(), inversion.table().count(), "{inversion}");
        for (turn, row) in inversion.table().zip(rows) {
            let numbers = (number(&row["interval"]), number(&row["inverted"]));
            assert_eq!((turn.before(), turn.after()), numbers, "{inversion}");
            assert_eq!(class(turn.class_before()), row["class"], "{inversion}, {numbers:?}");
            assert_eq!(class(turn.class_after()), row["inverted_class"], "{inversion}, {numbers:?}");
            let effect = row["effect"].as_str().unwrap().to_lowercase();
            assert_eq!(turn.effect().to_string(), effect, "{inversion}, {numbers:?}");
        }
    }
}

#[test]
fn all_sums_are_one_more_than_the_inversion() {
    for (inversion, section) in sections() {
        let sum = number(&section["sum"]);
        assert!(inversion.table().all(|turn| turn.before() + turn.after() == sum), "{inversion}");
    }
}

/// The handbook lists both kinds of change, but for the fifteenth the losses alone.
#[test]
fn all_changes_of_consonance_are_those_of_the_handbook() {
    let mut lists = 0;
    for (inversion, section) in sections() {
        for (effect, name) in [
            (Effect::BecomesDissonant, "consonances_that_become_dissonances"),
            (Effect::BecomesConsonant, "dissonances_that_become_consonances"),
        ] {
            let Some(listed) = section.get(name) else { continue };
            assert_eq!(Value::from(turns(inversion, effect)), *listed, "{inversion}");
            lists += 1;
        }
    }
    assert_eq!(lists, 9);
}

#[test]
fn all_printed_rows_of_figures_are_those_of_the_handbook() {
    let printed = handbook()["_check_values"].clone();
    for inversion in [Inversion::Octave, Inversion::Tenth, Inversion::Twelfth, Inversion::Fourteenth] {
        let row: Vec<u32> = inversion.table().map(Turn::after).collect();
        assert_eq!(Value::from(row), printed[inversion.to_string()], "{inversion}");
    }
}

/// Entries read `"3-3": "8-8 (forbidden)"`.
#[test]
fn all_parallels_are_judged_as_in_the_handbook() {
    let mut judged = 0;
    for (inversion, section) in sections() {
        for (before, after) in section["parallels"].as_object().into_iter().flatten() {
            let turn = inversion.turn(before.split_once('-').unwrap().0.parse().unwrap()).unwrap();
            let after = after.as_str().unwrap();
            assert!(after.starts_with(&format!("{0}-{0}", turn.after())), "{inversion}: {after}");
            assert_eq!(
                turn.parallels() == Parallels::Allowed,
                after.ends_with("(allowed)"),
                "{inversion}: {after}"
            );
            assert_eq!(turn.spoils_parallels(), after.ends_with("(forbidden)"), "{inversion}: {after}");
            judged += 1;
        }
    }
    assert_eq!(judged, 6);
}
