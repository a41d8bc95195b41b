//! The model: what hearing a note in a certain way, after the one before, goes against.

use super::facts::{Facts, Foreign};
use super::hearing::Hearing::{self, Aside, Away, Home, Neighbour, Opening};
use super::modulation::Close;
use super::opening::{Approach, Side};
use super::{Charge, Reading};
use crate::interval::{Interval, Quality};

/// The most notes that lateness is counted for.
const LATEST: u32 = 6;

/// Two hearings in a row: how note `index` is heard, and how the one before was.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    pub(super) index: usize,
    pub(super) before: Option<Hearing>,
    pub(super) now: Hearing,
}

impl Moment {
    /// Whether the note may be heard so at all.
    pub(super) fn is_possible(self, facts: &Facts<'_>) -> bool {
        let note = &facts.notes[self.index];
        if !self.before.is_none_or(|before| before.may_precede(self.now)) {
            return false;
        }
        let follows = self.before == Some(self.now);
        match self.now {
            Opening => facts
                .opening
                .is_some_and(|opening| opening.first == self.index || (follows && opening.has(self.index))),
            Neighbour => facts.opening.is_some_and(|opening| opening.has_in_tow(self.index)),
            Aside => note.doubtful || (follows && note.is_any(&[3, 5, 6, 7])),
            Home | Away => true,
        }
    }

    /// Tells `sink` what the hearing goes against, and how many times over. The search adds these
    /// charges up, the account of an answer lists them: both ask here.
    pub(super) fn charge(self, facts: &Facts<'_>, hint: Option<Reading>, sink: &mut impl FnMut(Charge, u32)) {
        match self.now {
            Home => self.charge_home(facts, sink),
            Opening => self.charge_opening(facts, sink),
            Neighbour => self.charge_following(facts, sink),
            Aside => {}
            Away => self.charge_away(facts, sink),
        }
        if self.before.is_some_and(|before| before.reading() != self.now.reading()) {
            self.charge_change(facts, sink);
        }
        if hint.is_some_and(|reading| reading != self.now.reading()) {
            sink(Charge::AgainstHarmony, 1);
        }
        if self.index + 1 == facts.notes.len() && self.now.reading() == Reading::Tonic {
            match facts.close {
                Close::Expressed => sink(Charge::NotLedBack, 1),
                Close::Implied => sink(Charge::CloseMissed, 1),
                Close::Tonic => {}
            }
        }
    }

    fn charge_home(self, facts: &Facts<'_>, sink: &mut impl FnMut(Charge, u32)) {
        if let Some(opening) =
            facts.opening.filter(|opening| opening.first == self.index && !opening.in_chord)
        {
            let by_leap = opening.approach == Approach::Leap;
            sink(if by_leap { Charge::LeapKept } else { Charge::OpeningKept }, 1);
        }
        let note = &facts.notes[self.index];
        if note.doubtful && (note.is_any(&[7]) || self.before == Some(Aside)) {
            sink(Charge::LeadingNoteKept, 1);
        }
    }

    fn charge_opening(self, facts: &Facts<'_>, sink: &mut impl FnMut(Charge, u32)) {
        let Some(opening) = facts.opening.filter(|opening| opening.first == self.index) else { return };
        for (lost, charge) in [
            (opening.in_chord, Charge::ChordBroken),
            (opening.makes_chord, Charge::ChordMade),
            (opening.in_sequence, Charge::SequenceBroken),
        ] {
            if lost {
                sink(charge, 1);
            }
        }
    }

    fn charge_following(self, facts: &Facts<'_>, sink: &mut impl FnMut(Charge, u32)) {
        if self.before == Some(Opening) {
            sink(Charge::NeighbourFollows, 1);
            if facts.opening.is_some_and(|opening| opening.second_gives_way(&facts.notes)) {
                sink(Charge::SecondChanged, 1);
            }
        }
    }

    fn charge_away(self, facts: &Facts<'_>, sink: &mut impl FnMut(Charge, u32)) {
        let note = &facts.notes[self.index];
        if note.held {
            sink(Charge::TonicDenied, 1);
        }
        let entered = self.before != Some(Away);
        match facts.close {
            Close::Expressed | Close::Implied => match note.foreign {
                Foreign::Yes => sink(Charge::Foreign, 1),
                Foreign::Passing => sink(Charge::ForeignPassing, 1),
                Foreign::No => {}
            },
            Close::Tonic if !entered => {}
            Close::Tonic => sink(
                match self.before {
                    Some(Home | Neighbour | Aside | Away) => Charge::NoModulation,
                    Some(Opening) | None if facts.invites_subdominant => Charge::SubdominantInvited,
                    Some(Opening) | None => Charge::Subdominant,
                },
                1,
            ),
        }
    }

    /// What a change of reading does to key and melody.
    fn charge_change(self, facts: &Facts<'_>, sink: &mut impl FnMut(Charge, u32)) {
        let was = facts.notes[self.index].pitch - facts.notes[self.index - 1].pitch;
        charge_melody(was, answered(was, self.now.reading()), sink);
        match (self.before, self.now) {
            (Some(Home), Away) if facts.close != Close::Tonic => self.charge_lateness(facts, sink),
            (Some(Away), Home) => sink(Charge::Return, 1),
            (Some(Opening | Neighbour), Home) => self.charge_neighbour(facts, sink),
            _ => {}
        }
    }

    fn charge_lateness(self, facts: &Facts<'_>, sink: &mut impl FnMut(Charge, u32)) {
        let late = u32::try_from(self.index.saturating_sub(facts.earliest)).unwrap_or(LATEST).min(LATEST);
        if late > 0 {
            sink(Charge::Late, late);
        }
        if facts.raised_fourth.is_some_and(|leading| leading < self.index) {
            sink(Charge::AfterLeadingNote, 1);
        }
    }

    /// The lower neighbour falls in with the dominant that alone is altered, and either neighbour
    /// is lost if it follows and the dominant to which it returns does not.
    fn charge_neighbour(self, facts: &Facts<'_>, sink: &mut impl FnMut(Charge, u32)) {
        let Some(opening) = facts.opening else { return };
        let falls_in = opening.neighbour == Some(Side::Lower) && self.index == opening.last + 1;
        if falls_in || (opening.neighbour.is_some() && self.index == opening.last + 2) {
            sink(Charge::NeighbourLost, 1);
        }
    }
}

/// What becomes of an interval if the reading changes under its upper end: the fourth is a whole
/// tone less than the fifth.
fn answered(was: Interval, now: Reading) -> Interval {
    match now {
        Reading::Dominant => Interval::between(was.steps() - 1, was.semitones() - 2),
        Reading::Tonic => Interval::between(was.steps() + 1, was.semitones() + 2),
    }
}

fn charge_melody(was: Interval, becomes: Interval, sink: &mut impl FnMut(Charge, u32)) {
    sink(
        match (was.steps(), becomes.steps()) {
            (0, _) => Charge::RepetitionLost,
            (_, 0) if becomes.semitones() == 0 => Charge::RepetitionMade,
            (_, 0) => Charge::StepLost,
            _ => Charge::IntervalChanged,
        },
        1,
    );
    match (is_dissonant_leap(was), is_dissonant_leap(becomes)) {
        (true, _) => sink(Charge::DissonanceLost, 1),
        (false, true) => sink(Charge::DissonanceMade, 1),
        (false, false) => {}
    }
}

/// A seventh, or an augmented or diminished interval wider than a second.
fn is_dissonant_leap(interval: Interval) -> bool {
    let altered = || matches!(interval.quality(), Quality::Augmented(_) | Quality::Diminished(_));
    interval.number() == 7 || (interval.number() > 2 && altered())
}
