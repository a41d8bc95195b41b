//! The interval table of the handbooks: `shared/handbook/intervals.json` names the source of each column.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test may panic: that is how it fails")]

use approx::assert_abs_diff_eq;
use serde_json::Value;
use soggetto::interval::{Consonance, Interval, Quality};
use soggetto::tuning::{Ratio, just_cents, just_ratio, tempered_cents};

/// The table prints cents to three decimals.
const THOUSANDTH: f64 = 0.001;

fn handbook() -> Value {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/shared/handbook/intervals.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// All rows, each with its interval.
fn rows() -> Vec<(Interval, Value)> {
    let table = handbook();
    let rows = table["intervals"].as_array().unwrap().clone();
    assert_eq!(rows.len(), 52, "the table runs from P1 to A15");
    rows.into_iter().map(|row| (interval(&row["abbr"]).unwrap(), row)).collect()
}

/// The interval of a field; none where the handbook has none.
fn interval(field: &Value) -> Option<Interval> {
    field.as_str().map(|text| text.parse().unwrap())
}

fn ratio(text: &str) -> Ratio {
    text.parse().unwrap()
}

#[test]
fn all_abbreviations_and_names_are_those_of_the_table() {
    for (interval, row) in rows() {
        assert_eq!(interval.to_string(), row["abbr"].as_str().unwrap());
        let name = row["name"].as_str().unwrap().trim_end_matches(" (double octave)");
        assert_eq!(interval.name(), name);
    }
}

#[test]
fn all_numbers_qualities_and_semitones_are_those_of_the_table() {
    for (interval, row) in rows() {
        let quality = match row["quality"].as_str().unwrap() {
            "perfect" => Quality::Perfect,
            "major" => Quality::Major,
            "minor" => Quality::Minor,
            "augmented" => Quality::Augmented(1),
            "diminished" => Quality::Diminished(1),
            other => panic!("{interval}: unknown quality {other}"),
        };
        let number = u32::try_from(row["number"].as_u64().unwrap()).unwrap();
        assert_eq!((interval.quality(), interval.number()), (quality, number), "{interval}");
        assert_eq!(Interval::new(quality, number), Ok(interval));
        assert_eq!(i64::from(interval.semitones()), row["semitones"].as_i64().unwrap(), "{interval}");
    }
}

#[test]
fn all_inversions_are_those_of_the_table() {
    for (sized, row) in rows() {
        assert_eq!(sized.inverted().ok(), interval(&row["inversion"]), "{sized}");
        let double_octave = sized.inverted_at(Interval::FIFTEENTH);
        assert_eq!(double_octave.ok(), interval(&row["inversion_at_the_double_octave"]), "{sized}");
    }
}

#[test]
fn all_simple_forms_are_those_of_the_table() {
    for (sized, row) in rows() {
        assert_eq!(Some(sized.simple()), interval(&row["simple"]), "{sized}");
        assert_eq!(i64::from(sized.octaves_removed()), row["octaves_removed"].as_i64().unwrap(), "{sized}");
        assert_eq!(sized.is_compound(), row["compound"].as_bool().unwrap(), "{sized}");
    }
}

#[test]
fn all_consonance_classes_are_those_of_the_table() {
    for (interval, row) in rows() {
        let class = match row["class"].as_str().unwrap() {
            "perfect consonance" => Consonance::Perfect,
            "imperfect consonance" => Consonance::Imperfect,
            "dissonance" => Consonance::Dissonant,
            "fourth: perfect interval, dissonance in two parts" => Consonance::Fourth,
            other => panic!("{interval}: unknown class {other}"),
        };
        assert_eq!(interval.consonance(), class, "{interval}");
    }
}

#[test]
fn all_ratios_and_cents_are_those_of_the_table() {
    for (interval, row) in rows() {
        assert_eq!(just_ratio(interval), ratio(row["just_ratio"].as_str().unwrap()), "{interval}");
        let cents = row["just_cents"].as_f64().unwrap();
        assert_abs_diff_eq!(just_cents(interval), cents, epsilon = THOUSANDTH);
        let tempered = row["cents_12tet"].as_f64().unwrap();
        assert_abs_diff_eq!(tempered_cents(interval), tempered, epsilon = THOUSANDTH);
    }
}

#[test]
fn all_commas_have_the_cents_of_the_handbook() {
    let table = handbook();
    let commas = table["_check_values"].as_object().unwrap();
    assert_eq!(commas.len(), 4);
    for (name, cents) in commas {
        let (_, fraction) = name.rsplit_once(' ').unwrap();
        assert_abs_diff_eq!(ratio(fraction).cents(), cents.as_f64().unwrap(), epsilon = THOUSANDTH);
    }
}

/// Common practice: each comma is what is left between two ways through the intervals.
#[test]
fn commas_are_the_differences_they_are_said_to_be() {
    let less = |wide: &[Interval], narrow: &[Interval]| {
        let product = |intervals: &[Interval]| {
            let ratios = intervals.iter().map(|interval| just_ratio(*interval));
            ratios.fold(Ratio::UNISON, |product, ratio| product.checked_mul(ratio).unwrap())
        };
        product(wide).checked_mul(product(narrow).reciprocal()).unwrap()
    };
    let (fifth, octave, third) = (Interval::PERFECT_FIFTH, Interval::OCTAVE, Interval::MAJOR_THIRD);
    assert_eq!(less(&[fifth; 4], &[octave, octave, third]), ratio("81/80"));
    assert_eq!(less(&[octave], &[third; 3]), ratio("128/125"));
    assert_eq!(less(&[fifth; 12], &[octave; 7]), ratio("531441/524288"));
    assert_eq!(less(&[octave; 3], &[fifth; 5]), ratio("256/243"));
}
