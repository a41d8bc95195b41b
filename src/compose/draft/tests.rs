//! Whole drafts: repeatable, lawful, and true to their themes.

use super::*;
use crate::compose::fixtures::{any_subject, ensemble, ensembles, subjects};
use crate::exposition::Role;
use crate::key::Key;
use crate::line::Line;
use crate::line::strategy::any_line;
use crate::rules::{RuleBook, Severity};
use crate::texture::Texture;
use crate::time::Time;
use proptest::prelude::*;

fn options(voices: usize) -> DraftOptions {
    DraftOptions::new(ensemble("plain", voices))
}

/// What a review finds at fault.
fn faults(exposition: &Exposition) -> Vec<String> {
    let findings = RuleBook::default().review(&Texture::of(exposition.score()));
    let faults = findings.iter().filter(|finding| finding.severity == Severity::Fault);
    faults.map(ToString::to_string).collect()
}

/// Whether every entry is subject or answer, note for note, moved by octaves alone.
fn keeps_its_themes(exposition: &Exposition) -> bool {
    let themes = exposition.entries().iter().filter(|entry| entry.role != Role::Countersubject);
    let mut themes = themes.map(|entry| {
        let model = if entry.role == Role::Subject {
            exposition.subject().line()
        } else {
            exposition.answer().line()
        };
        let notes = exposition.notes(entry);
        notes.len() == model.notes().len()
            && notes.iter().zip(model.notes()).all(|(note, model)| {
                let away = note.pitch() - model.pitch();
                let later = note.onset().checked_sub(entry.onset).ok();
                (away.steps() % 7, away.semitones() % 12) == (0, 0)
                    && later == Some(model.onset())
                    && note.duration() == model.duration()
            })
    });
    themes.all(|kept| kept)
}

#[test]
fn the_same_seed_gives_the_same_draft() {
    for subject in subjects() {
        let once = draft(&subject, &options(3).with_seed(11)).unwrap();
        assert_eq!(once, draft(&subject, &options(3).with_seed(11)).unwrap());
    }
}

#[test]
fn some_seeds_give_different_drafts() {
    let subject = &subjects()[0];
    let drafts: Vec<_> = (0..4).map(|seed| draft(subject, &options(3).with_seed(seed)).unwrap()).collect();
    assert!(drafts.iter().any(|other| other != &drafts[0]));
}

#[test]
fn another_answer_is_another_draft() {
    let subject = &subjects()[1];
    let answers = subject.answers().unwrap();
    assert!(answers.len() > 1);
    for (place, answer) in answers.iter().enumerate() {
        let drafted = draft(subject, &options(2).with_answer(place)).unwrap();
        assert_eq!(drafted.answer(), answer);
    }
}

#[test]
fn an_answer_beyond_the_last_is_the_last() {
    let subject = &subjects()[1];
    let drafted = draft(subject, &options(2).with_answer(1_000)).unwrap();
    assert_eq!(Some(drafted.answer()), subject.answers().unwrap().last());
}

#[test]
fn two_and_five_voices_all_enter() {
    for voices in [2, 5] {
        let drafted = draft(&subjects()[0], &options(voices)).unwrap();
        let themes = drafted.entries().iter().filter(|entry| entry.role != Role::Countersubject);
        let mut entering: Vec<usize> = themes.map(|entry| entry.voice).collect();
        entering.sort_unstable();
        assert_eq!(entering, (0..voices).collect::<Vec<_>>());
    }
}

#[test]
fn all_ensembles_get_drafts_within_their_compass_and_true_to_the_themes() {
    let subject = &subjects()[0];
    for ensemble in ensembles() {
        let drafted = draft(subject, &DraftOptions::new(ensemble.clone())).unwrap();
        assert!(keeps_its_themes(&drafted), "{}", ensemble.name());
        for part in drafted.score().parts() {
            assert!(
                part.voice.compass().is_none_or(|compass| compass.holds(&part.line)),
                "{}",
                ensemble.name()
            );
        }
    }
}

#[test]
fn codettas_fill_the_time_between_entries() {
    let drafted = draft(&subjects()[0], &options(4)).unwrap();
    assert!(!drafted.codettas().is_empty());
    for link in drafted.codettas() {
        assert!(link.onset < link.end);
        let entries = drafted.entries().iter().filter(|entry| entry.role != Role::Countersubject);
        assert!(entries.into_iter().any(|entry| entry.onset == link.end));
    }
}

#[test]
fn a_meter_of_small_units_still_gets_a_moving_countersubject() {
    // The finest note was once a sixteenth even where the pulse is a thirty-second: then no cell fitted,
    // and the countersubject was one long note.
    let theme = "C4:1/32 D4 E4 F4 | G4:1/16 E4:1/32 C4 | D4 B3 C4:1/16";
    let subject = Subject::from_text("C major", "4/32", "0", theme).unwrap();
    let drafted = draft(&subject, &options(2)).unwrap();
    let notes = drafted.countersubject().map_or(0, |line| line.notes().len());
    assert!(notes > 3, "{:?}", drafted.countersubject().map(ToString::to_string));
}

/// Subjects of any kind: any notes, triplets and rests among them, that some key admits.
fn any_wild_subject() -> impl Strategy<Value = Subject> {
    let meter = prop_oneof!["4/4", "3/4", "6/8", "5/8", "3/16", "4/2", "2[+]2[+]3/8"];
    (any_line(), any::<prop::sample::Index>(), meter, 0..8_i64).prop_filter_map(
        "no key",
        |(line, key, meter, offset)| {
            let keys: Vec<Key> = ["C", "G", "D", "F", "Bb", "F#", "Db"]
                .iter()
                .flat_map(|tonic| ["major", "minor"].map(|mode| format!("{tonic} {mode}").parse().unwrap()))
                .collect();
            let meter: crate::meter::Meter = meter.parse().unwrap();
            let offset = meter.place(Time::new(offset, 8).unwrap()).unwrap();
            let fits = |key: &Key| Subject::new(*key, meter, offset, Line::clone(&line)).ok();
            let start = key.index(keys.len());
            keys[start..].iter().chain(&keys[..start]).find_map(fits)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, max_shrink_iters: 40, ..ProptestConfig::default() })]

    #[test]
    fn prop_drafts_of_lawful_subjects_have_no_fault(subject in any_subject(3..14), voices in 2..=5_usize, seed: u64) {
        let drafted = draft(&subject, &options(voices).with_seed(seed)).unwrap();
        let found = faults(&drafted);
        prop_assert!(found.is_empty(), "{} in {} {}: {:#?}", subject.line(), subject.key(), subject.meter(), found);
        prop_assert!(keeps_its_themes(&drafted));
    }

    #[test]
    fn prop_any_subject_is_drafted_or_refused(subject in any_wild_subject(), voices in 2..=5_usize, seed: u64) {
        if let Ok(drafted) = draft(&subject, &options(voices).with_seed(seed)) {
            prop_assert!(keeps_its_themes(&drafted));
        }
    }
}
