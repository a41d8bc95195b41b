//! Figures of the countersubject where it is first heard, by plain arithmetic on the slices.

use crate::checker::{slices, statements};
use soggetto::exposition::{Exposition, Role};
use soggetto::time::Time;
use std::collections::BTreeSet;

/// Three figures of a countersubject against its theme, in hundredths.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Figures {
    /// Thirds and sixths, of the time in which both sound.
    pub(crate) imperfect: i64,
    /// Attacks that both have, of the attacks that either has while both sound (intersection over
    /// union).
    pub(crate) shared: i64,
    /// Dissonances on a beat that neither note prepares, of the same attacks. A dissonance is
    /// prepared where one of its notes sounded consonant just before.
    pub(crate) unprepared: i64,
}

/// Semitones of thirds and sixths, and of unison, fifth and octave.
const IMPERFECT: [i32; 4] = [3, 4, 8, 9];
const PERFECT: [i32; 2] = [0, 7];

impl Figures {
    /// The figures of an exposition; all zero if it has no countersubject.
    pub(crate) fn of(exposition: &Exposition) -> Self {
        let (theme, against) = (statements(exposition)[1].voice, statements(exposition)[0].voice);
        let (from, to) = span(exposition);
        let mut slices = slices(exposition.score());
        slices.push((exposition.score().length(), vec![None; exposition.score().parts().len()]));
        let (mut imperfect, mut both, mut unprepared) = (Time::ZERO, Time::ZERO, 0);
        let attacks = |voice: usize| -> BTreeSet<Time> {
            let notes = exposition.score().parts()[voice].line.notes().iter();
            notes.map(|note| note.onset()).filter(|onset| (from..to).contains(onset)).collect()
        };
        let (ours, theirs) = (attacks(against), attacks(theme));
        let pair = |slice: &[Option<i32>]| Some((slice[theme]?, slice[against]?));
        let mut before = None;
        for two in slices.windows(2) {
            let ((time, slice), (end, _)) = (&two[0], &two[1]);
            let now = pair(slice);
            if let Some((a, b)) = now.filter(|_| (from..to).contains(time)) {
                let class = (a - b).abs() % 12;
                let length = end.checked_sub(*time).unwrap();
                both = both.checked_add(length).unwrap();
                if IMPERFECT.contains(&class) {
                    imperfect = imperfect.checked_add(length).unwrap();
                }
                let begun = ours.contains(time) || theirs.contains(time);
                if begun && is_dissonant((a, b)) && is_beat(exposition, *time) && !is_prepared(before, (a, b))
                {
                    unprepared += 1;
                }
            }
            before = now;
        }
        let all = i64::try_from(ours.union(&theirs).count()).unwrap().max(1);
        let common = i64::try_from(ours.intersection(&theirs).count()).unwrap();
        Self {
            imperfect: hundredths(imperfect, both),
            shared: 100 * common / all,
            unprepared: 100 * unprepared / all,
        }
    }
}

/// From where to where the first countersubject sounds with the first answer.
fn span(exposition: &Exposition) -> (Time, Time) {
    let answer = statements(exposition)[1];
    let against = exposition.entries().iter().find(|entry| entry.role == Role::Countersubject);
    let Some(against) = against else { return (Time::ZERO, Time::ZERO) };
    let end = |entry| exposition.notes(entry).last().unwrap().end();
    (answer.onset.max(against.onset), end(answer).min(end(against)))
}

fn is_dissonant((a, b): (i32, i32)) -> bool {
    let class = (a - b).abs() % 12;
    !IMPERFECT.contains(&class) && !PERFECT.contains(&class)
}

fn is_prepared(before: Option<(i32, i32)>, (a, b): (i32, i32)) -> bool {
    before.is_some_and(|(c, d)| (a == c || b == d) && !is_dissonant((c, d)))
}

fn is_beat(exposition: &Exposition, time: Time) -> bool {
    exposition.score().place(time).unwrap().beat.denominator() == 1
}

fn hundredths(part: Time, whole: Time) -> i64 {
    if whole == Time::ZERO {
        return 0;
    }
    let share = part.scaled(100 * whole.denominator(), whole.numerator()).unwrap();
    share.numerator() / share.denominator()
}

/// The median of each figure, and the worst.
pub(crate) fn medians(figures: &[Figures]) -> String {
    let sorted = |figure: fn(&Figures) -> i64| {
        let mut values: Vec<i64> = figures.iter().map(figure).collect();
        values.sort_unstable();
        (values[values.len() / 2], values[0], values[values.len() - 1])
    };
    let imperfect = sorted(|figures| figures.imperfect);
    let shared = sorted(|figures| figures.shared);
    let unprepared = sorted(|figures| figures.unprepared);
    format!(
        "imperfect {} % (least {}), shared attacks {} % (most {}), unprepared on the beat {} % (most {})",
        imperfect.0, imperfect.1, shared.0, shared.2, unprepared.0, unprepared.2
    )
}
