//! One note of a line as the ear relates it to a chord.

use super::cost::{self, Ornament};
use super::rhythm::Stretch;
use super::vocabulary::Candidate;
use crate::interval::Interval;
use crate::key::Key;
use crate::line::Note;
use crate::meter::Strength;

/// How one note is reached or left.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Motion {
    Silence,
    Repeat,
    Step,
    Leap,
}

impl Motion {
    fn between(from: Option<&Note>, to: Option<&Note>) -> Self {
        let (Some(from), Some(to)) = (from, to) else { return Self::Silence };
        if from.end() < to.onset() {
            return Self::Silence;
        }
        let interval = to.pitch() - from.pitch();
        match (interval.steps().abs(), interval.semitones().abs()) {
            (0, 0) => Self::Repeat,
            (0 | 1, semitones) if semitones <= 2 => Self::Step,
            _ => Self::Leap,
        }
    }
}

/// One note of the line as the ear relates it to chords.
pub(super) struct Heard {
    above_tonic: Interval,
    before: Motion,
    after: Motion,
    strength: Strength,
    /// Outside the key.
    foreign: bool,
}

impl Heard {
    pub(super) fn new(notes: &[Note], index: usize, key: Key, strength: Strength) -> Self {
        let note = &notes[index];
        let previous = index.checked_sub(1).and_then(|before| notes.get(before));
        Self {
            above_tonic: key.tonic().up_to(note.pitch().class()),
            before: Motion::between(previous, Some(note)),
            after: Motion::between(Some(note), notes.get(index + 1)),
            strength,
            foreign: !key.contains(note.pitch().class()),
        }
    }

    /// What it is where it does not belong to the chord; `held` if it began before the chord.
    const fn ornament(&self, held: bool) -> Ornament {
        match (self.before, self.after) {
            (_, Motion::Step) if held => Ornament::Suspension,
            (Motion::Repeat, Motion::Step) => Ornament::Suspension,
            (Motion::Step, Motion::Step) => Ornament::Stepwise,
            (_, Motion::Step) => Ornament::Appoggiatura,
            (Motion::Step | Motion::Repeat, _) if !held => Ornament::Escape,
            _ => Ornament::Leap,
        }
    }

    /// Points per pulse outside a chord.
    pub(super) const fn rate(&self, held: bool, stretch: &Stretch) -> i64 {
        let strength = if held { stretch.strength } else { self.strength };
        cost::outside(self.ornament(held), strength, self.foreign)
    }

    /// Points in a chord: those given if it lies outside, else those of doubling the bass.
    pub(super) fn points_in(&self, chord: &Candidate, outside: u64, held: bool) -> u64 {
        if !chord.tones.contains(&self.above_tonic) {
            outside
        } else if !held && chord.inverted_bass == Some(self.above_tonic) {
            cost::DOUBLED_BASS
        } else {
            0
        }
    }
}
