//! Countersubjects of the example subjects, as drafted.

use super::relation::{Relation, relations};
use crate::answer::{Answer, AnswerKind};
use crate::compose::fixtures::{ensemble, subject, subjects};
use crate::compose::plan::plan;
use crate::compose::{DraftOptions, draft};
use crate::exposition::{Entry, Exposition, Role};
use crate::interval::Interval;
use crate::line::Note;
use crate::subject::Subject;
use crate::time::Time;

/// Drafts of all example subjects in three voices.
fn drafts() -> Vec<Exposition> {
    let options = DraftOptions::new(ensemble("plain", 3));
    subjects().iter().map(|subject| draft(subject, &options).unwrap()).collect()
}

/// The notes of a theme and of the countersubject that begin together.
fn struck_together(exposition: &Exposition, theme: &Entry, own: &Entry) -> Vec<(usize, Note, Note)> {
    let theme = exposition.notes(theme);
    let own = exposition.notes(own).iter().enumerate();
    let meets = |(index, note): (usize, &Note)| {
        let other = theme.iter().find(|other| other.onset() == note.onset())?;
        Some((index, *note, *other))
    };
    own.filter_map(meets).collect()
}

fn relations_of(subject: &Subject, answer: &Answer) -> Vec<Relation> {
    let plan = plan(subject, answer, &ensemble("plain", 2), None).unwrap();
    relations(&plan, &plan.entries[0], answer)
}

#[test]
fn no_bare_fifth_or_fourth_is_struck_on_a_pulse() {
    // Rule C4 (Prout, Fugue, §194): excepted are notes reached and left by step.
    for exposition in drafts() {
        let meter = exposition.score().meter();
        for (theme, own) in exposition.pairings() {
            let notes = exposition.notes(own);
            for (index, note, other) in struck_together(&exposition, theme, own) {
                let place = note.onset().checked_sub(exposition.score().pickup()).unwrap();
                let accented = meter.strength(meter.place(place).unwrap()) >= crate::meter::Strength::Pulse;
                let bare = matches!((note.pitch().height() - other.pitch().height()).rem_euclid(12), 5 | 7);
                let step = |one: usize| {
                    let pair = notes.get(one).zip(notes.get(one + 1));
                    pair.is_some_and(|(a, b)| (b.pitch() - a.pitch()).steps().abs() <= 1)
                };
                let ornament = index > 0 && step(index - 1) && step(index);
                assert!(
                    !accented || !bare || ornament,
                    "{} with {} at {}",
                    note.pitch(),
                    other.pitch(),
                    note.onset()
                );
            }
        }
    }
}

#[test]
fn the_countersubject_stays_on_its_side_of_the_theme() {
    for exposition in drafts() {
        for (theme, own) in exposition.pairings() {
            for (_, note, other) in struck_together(&exposition, theme, own) {
                let above = note.pitch().height() - other.pitch().height();
                let above = if own.voice < theme.voice { above } else { -above };
                assert!(above >= 0, "{} and {} cross", note.pitch(), other.pitch());
            }
        }
    }
}

#[test]
fn every_appearance_has_the_rhythm_of_the_first() {
    for exposition in drafts() {
        let rhythm = |own: &Entry| -> Vec<(Time, Time)> {
            let notes = exposition.notes(own);
            notes.iter().map(|note| (note.onset().checked_sub(own.onset).unwrap(), note.duration())).collect()
        };
        let pairings = exposition.pairings();
        assert!(pairings.len() >= 2, "{}", exposition.subject().line());
        assert!(pairings.iter().all(|(_, own)| rhythm(own) == rhythm(pairings[0].1)));
    }
}

#[test]
fn every_appearance_returns_note_for_note_with_its_theme() {
    // Moved as the theme is: by the interval at which the answer answers that note, and octaves.
    for exposition in drafts() {
        let pairings = exposition.pairings();
        let first = exposition.notes(pairings[0].1);
        for (theme, own) in &pairings {
            let moves =
                exposition.notes(own).iter().zip(first).map(|(note, model)| note.pitch() - model.pitch());
            let classes: Vec<(i32, i32)> =
                moves.map(|by| (by.steps().rem_euclid(7), by.semitones().rem_euclid(12))).collect();
            let down_a_fifth = (3, 5);
            let down_a_fourth = (4, 7);
            match theme.role {
                Role::Subject => assert!(
                    classes.iter().all(|by| *by == down_a_fifth || *by == down_a_fourth),
                    "{classes:?}"
                ),
                _ => assert!(classes.iter().all(|by| *by == (0, 0)), "{classes:?}"),
            }
        }
    }
}

#[test]
fn a_real_answer_keeps_one_relation() {
    let subject = subject("D minor", "4/4", "D4:1/4 E4 F4:1/8 G4 A4 F4 | E4:1/4 C#4 D4:1/2");
    let answers = subject.answers().unwrap();
    let real = answers.iter().find(|answer| answer.kind() == AnswerKind::Real).unwrap();
    let found = relations_of(&subject, real);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].at(0), Interval::PERFECT_FIFTH);
    assert_eq!(found[0].at(1_000), Interval::PERFECT_FIFTH);
}

#[test]
fn a_subdominant_answer_keeps_the_fourth() {
    for subject in subjects() {
        for answer in
            subject.answers().unwrap().iter().filter(|answer| answer.kind() == AnswerKind::Subdominant)
        {
            if answer.readings().iter().all(|reading| *reading == crate::answer::Reading::Dominant) {
                assert_eq!(relations_of(&subject, answer)[0].at(0), Interval::PERFECT_FOURTH);
            }
        }
    }
}

#[test]
fn a_modulating_subject_offers_a_relation_that_changes_with_the_answer() {
    // Prout, Fugue, §170: altered at the same point as the answer.
    let subject = subject("G major", "3/4", "G4:1/2 B4:1/4 | D5 B4 G4 | A4 B4:1/8 A4 E4:1/4 | D4:1/2");
    let answer = subject.answers().unwrap().swap_remove(0);
    let found = relations_of(&subject, &answer);
    assert_eq!(found.len(), 2);
    assert_eq!(found[0].changes.len(), 1);
    let change = found[1].changes.last().unwrap();
    assert_eq!(change.1, Interval::PERFECT_FOURTH);
    assert_eq!(found[1].at(change.0), Interval::PERFECT_FOURTH);
    assert_ne!(found[1].at(change.0 - 1), found[1].at(change.0));
}

#[test]
fn before_its_first_change_a_relation_is_as_after_it() {
    let relation = Relation { changes: vec![(8, Interval::PERFECT_FOURTH)] };
    assert_eq!(relation.at(0), Interval::PERFECT_FOURTH);
    assert_eq!(Relation { changes: Vec::new() }.at(0), Interval::PERFECT_FIFTH);
}
