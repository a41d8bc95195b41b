//! The model: what hearing a note in a certain way, after the one before, goes against.

use super::Hearing::{self, Aside, Away, Home, Opening};
use super::Reading;
use super::cost::Charge;
use super::facts::{Close, Facts, Foreign};
use crate::interval::{Interval, Quality};
use crate::scale::Degree;

/// The latest a change can be charged for.
const LATEST: u32 = 6;

/// Tells `sink` what hearing note `index` so goes against, the note before being heard as
/// `before`. The search adds the charges up, the account of an answer lists them: both ask here.
pub(super) fn charge(
    facts: &Facts,
    index: usize,
    before: Option<Hearing>,
    now: Hearing,
    hint: Option<Reading>,
    mut sink: impl FnMut(Charge, u32),
) {
    note(facts, index, before, now, &mut sink);
    if hint.is_some_and(|reading| reading != now.reading()) {
        sink(Charge::AgainstHarmony, 1);
    }
    match before {
        Some(before) if before.reading() != now.reading() => change(facts, index, before, now, &mut sink),
        _ => {}
    }
    if index + 1 == facts.notes.len() {
        close(facts, now, &mut sink);
    }
}

/// Whether a note may be heard so at all.
pub(super) fn allows(facts: &Facts, index: usize, before: Option<Hearing>, now: Hearing) -> bool {
    if !before.is_none_or(|before| before.may_precede(now)) {
        return false;
    }
    match now {
        Opening => is_opening(facts, index),
        Aside => {
            facts.notes[index].doubtful || (before == Some(Aside) && in_group(facts.notes[index].degree))
        }
        Home | Away => true,
    }
}

fn is_opening(facts: &Facts, index: usize) -> bool {
    facts.opening.is_some_and(|opening| (opening.first..=opening.last).contains(&index))
}

/// The notes that may be set aside with the leading note: third, root and neighbours of the dominant.
fn in_group(degree: Degree) -> bool {
    degree.alteration() == 0 && matches!(degree.number(), 3 | 5 | 6 | 7)
}

fn note(
    facts: &Facts,
    index: usize,
    before: Option<Hearing>,
    now: Hearing,
    sink: &mut impl FnMut(Charge, u32),
) {
    let note = &facts.notes[index];
    match now {
        Home if facts.opening.is_some_and(|opening| opening.first == index) => sink(Charge::OpeningKept, 1),
        Home if note.doubtful => sink(Charge::LeadingNoteKept, 1),
        Opening if facts.opening.is_some_and(|opening| opening.first == index) => opening(facts, sink),
        Away => {
            match note.foreign {
                _ if facts.close == Close::Home => {}
                Foreign::Yes => sink(Charge::Foreign, 1),
                Foreign::Passing => sink(Charge::ForeignPassing, 1),
                Foreign::No => {}
            }
            if note.held {
                sink(Charge::TonicDenied, 1);
            }
            match before {
                Some(Away) => {}
                _ if facts.close != Close::Home => {}
                Some(Home | Aside) => sink(Charge::NoModulation, 1),
                Some(Opening) | None => sink(Charge::Subdominant, 1),
            }
        }
        _ => {}
    }
}

fn opening(facts: &Facts, sink: &mut impl FnMut(Charge, u32)) {
    let Some(opening) = facts.opening else { return };
    if opening.in_chord {
        sink(Charge::ChordBroken, 1);
    }
    if opening.makes_chord {
        sink(Charge::TonicChordMade, 1);
    }
    if opening.in_sequence {
        sink(Charge::SequenceBroken, 1);
    }
    if opening.has_neighbour {
        sink(Charge::NeighbourLost, 1);
    }
}

fn change(facts: &Facts, index: usize, before: Hearing, now: Hearing, sink: &mut impl FnMut(Charge, u32)) {
    let was = facts.notes[index].pitch - facts.notes[index - 1].pitch;
    let shift = if now.reading() == Reading::Dominant { -1 } else { 1 };
    let becomes = Interval::between(was.steps() + shift, was.semitones() + 2 * shift);
    melody(was, becomes, sink);
    match (before, now) {
        (Home | Opening, Away) => {
            let late = u32::try_from(index.saturating_sub(facts.earliest)).unwrap_or(LATEST).min(LATEST);
            if late > 0 && facts.close != Close::Home {
                sink(Charge::Late, late);
            }
            if facts.expressed.is_some_and(|leading| leading < index) {
                sink(Charge::AfterLeadingNote, 1);
            }
        }
        (Away, Home) => sink(Charge::Return, 1),
        _ => {}
    }
}

fn melody(was: Interval, becomes: Interval, sink: &mut impl FnMut(Charge, u32)) {
    match (was.steps(), becomes.steps()) {
        (0, _) => sink(Charge::RepetitionLost, 1),
        (_, 0) if becomes.semitones() == 0 => sink(Charge::RepetitionMade, 1),
        (_, 0) => sink(Charge::StepLost, 1),
        _ => sink(Charge::IntervalChanged, 1),
    }
    match (is_dissonant_leap(was), is_dissonant_leap(becomes)) {
        (true, _) => sink(Charge::DissonanceLost, 1),
        (false, true) => sink(Charge::DissonanceMade, 1),
        _ => {}
    }
}

/// A seventh, or an augmented or diminished interval wider than a second.
fn is_dissonant_leap(interval: Interval) -> bool {
    let imperfect = matches!(interval.quality(), Quality::Augmented(_) | Quality::Diminished(_));
    interval.number() == 7 || (interval.number() > 2 && imperfect)
}

fn close(facts: &Facts, now: Hearing, sink: &mut impl FnMut(Charge, u32)) {
    match (facts.close, now.reading()) {
        (Close::Expressed, Reading::Tonic) => sink(Charge::NotLedBack, 1),
        (Close::Implied, Reading::Tonic) => sink(Charge::HintMissed, 1),
        _ => {}
    }
}
