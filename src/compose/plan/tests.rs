//! Plans of the example subjects for every ensemble.

use super::*;
use crate::compose::fixtures::{ensemble, ensembles, subject, subjects};

fn first_answer(subject: &Subject) -> Answer {
    subject.answers().unwrap().swap_remove(0)
}

/// Plans of every example subject for every ensemble in a recommended order.
fn plans() -> Vec<(Subject, Answer, Ensemble, Plan)> {
    let mut plans = Vec::new();
    for subject in subjects() {
        for ensemble in ensembles() {
            let answer = first_answer(&subject);
            let plan = plan(&subject, &answer, &ensemble, None).unwrap();
            plans.push((subject.clone(), answer, ensemble, plan));
        }
    }
    plans
}

/// When the entries begin, in quarters of the bar count: the first bar is 1.
fn bars(plan: &Plan) -> Vec<(i64, i64)> {
    let quarter = plan.frame.ticks(Time::new(1, 4).unwrap());
    let place = |entry: &Planned| {
        let place = plan.frame.place(entry.onset);
        ((entry.onset - place) / plan.frame.bar + 1, place / quarter + 1)
    };
    plan.entries.iter().map(place).collect()
}

fn plan_of(subject: &Subject, voices: usize) -> Plan {
    plan(subject, &first_answer(subject), &ensemble("plain", voices), None).unwrap()
}

#[test]
fn all_voices_enter_once_subject_and_answer_in_turn() {
    for (subject, answer, ensemble, plan) in plans() {
        let mut voices: Vec<usize> = plan.entries.iter().map(|entry| entry.voice).collect();
        voices.sort_unstable();
        assert_eq!(voices, (0..ensemble.voices().len()).collect::<Vec<_>>());
        for (turn, entry) in plan.entries.iter().enumerate() {
            let (role, key) =
                if turn % 2 == 0 { (Role::Subject, subject.key()) } else { (Role::Answer, answer.key()) };
            assert_eq!((entry.role, entry.key), (role, key));
        }
    }
}

#[test]
fn all_entries_stand_in_the_same_metrical_light() {
    for (subject, _, _, plan) in plans() {
        let first = plan.entries[0].onset;
        for entry in &plan.entries {
            assert_eq!((entry.onset - first) % plan.frame.entry_period(), 0, "{}", subject.line());
        }
    }
}

#[test]
fn all_entries_overlap_by_one_note_at_most_and_only_on_a_consonance() {
    for (subject, _, _, plan) in plans() {
        for (index, pair) in plan.entries.windows(2).enumerate() {
            if plan.end_of(index) <= pair[1].onset {
                continue;
            }
            let before = Strand::of_line(&pair[0].line, pair[0].onset, &plan.frame);
            let last = *before.tones().last().unwrap();
            let next = pair[1].line.notes()[0].pitch();
            assert!(last.on <= pair[1].onset, "{}", subject.line());
            let (upper, lower) =
                if pair[0].voice < pair[1].voice { (last.pitch, next) } else { (next, last.pitch) };
            assert!(upper.height() >= lower.height(), "{upper} under {lower}");
            let consonance = (upper - lower).consonance();
            assert!(matches!(consonance, Consonance::Perfect | Consonance::Imperfect), "{upper} {lower}");
        }
    }
}

#[test]
fn all_entries_lie_in_the_compass_of_their_voices() {
    for (_, _, ensemble, plan) in plans() {
        for entry in &plan.entries {
            let compass = ensemble.voices()[entry.voice].compass();
            assert!(compass.is_none_or(|compass| compass.holds(&entry.line)), "{}", entry.line);
        }
    }
}

#[test]
fn all_entries_are_subject_or_answer_moved_by_octaves() {
    for (subject, answer, _, plan) in plans() {
        for entry in &plan.entries {
            let model = if entry.role == Role::Subject { subject.line() } else { answer.line() };
            let away = entry.line.notes()[0].pitch() - model.notes()[0].pitch();
            assert_eq!(away.steps() % 7, 0);
            assert_eq!(entry.line, model.moved(away).unwrap());
        }
    }
}

#[test]
fn voices_lie_in_their_order() {
    for (subject, _, ensemble, plan) in plans() {
        if ensemble.name() != "choir" {
            continue;
        }
        let mut middles: Vec<(usize, i32)> = plan
            .entries
            .iter()
            .map(|entry| {
                let heights = entry.line.notes().iter().map(|note| note.pitch().height());
                (entry.voice, heights.clone().min().unwrap() + heights.max().unwrap())
            })
            .collect();
        middles.sort_unstable();
        assert!(middles.windows(2).all(|pair| pair[0].1 > pair[1].1), "{}: {middles:?}", subject.line());
    }
}

#[test]
fn an_answer_that_ends_in_the_tonic_leads_to_the_next_entry_by_a_codetta() {
    // Prout, Fugue, §§190-193: the way back to the tonic.
    let subject = subject("D minor", "4/4", "D4:1/4 E4 F4:1/8 G4 A4 F4 | E4:1/4 C#4 D4:1/2");
    let plan = plan_of(&subject, 3);
    assert!(plan.end_of(1) < plan.entries[2].onset, "{:?}", bars(&plan));
    assert!(plan.end_of(0) <= plan.entries[1].onset + plan.frame.pulse());
}

#[test]
fn an_answer_that_turns_back_needs_no_codetta() {
    // Ends in the dominant, so the answer ends in the tonic, on the first note of the subject.
    let subject = subject("G major", "3/4", "G4:1/2 B4:1/4 | D5 B4 G4 | A4 B4:1/8 A4 E4:1/4 | D4:1/2");
    assert_eq!(first_answer(&subject).readings().last(), Some(&Reading::Dominant));
    let plan = plan_of(&subject, 3);
    assert!(plan.entries[2].onset - plan.end_of(1) < plan.frame.bar, "{:?}", bars(&plan));
}

#[test]
fn a_late_offset_makes_a_pickup_and_an_early_one_a_rest() {
    let pickup_of = |offset: &str| {
        pickup(&Subject::from_text("C major", "4/4", offset, "G4:1/8 A4 B4 C5 D5 C5").unwrap()).to_string()
    };
    assert_eq!(
        [pickup_of("0"), pickup_of("1/8"), pickup_of("1/2"), pickup_of("7/8")],
        ["0", "0", "1/2", "1/8"]
    );
}

#[test]
fn an_order_given_is_kept() {
    let subject = subject("C major", "4/4", "C4:1/4 D4 E4 C4 F4 E4:1/8 D4 C4:1/2");
    let answer = first_answer(&subject);
    let plan = plan(&subject, &answer, &ensemble("choir", 4), Some(&[3, 0, 2, 1])).unwrap();
    assert_eq!(plan.entries.iter().map(|entry| entry.voice).collect::<Vec<_>>(), [3, 0, 2, 1]);
}

#[test]
fn overlap_is_never_negative() {
    for (_, _, _, plan) in plans() {
        assert!((0..=plan.frame.bar).contains(&plan.overlap()));
    }
}
