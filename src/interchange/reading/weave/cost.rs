//! What it costs that a voice goes on from one note to another, in semitones of a leap.

use super::super::lines::Sounding;
use super::imitation::{self, Bond};
use super::{Sign, register};
use crate::time::Time;

/// A leap wider than a major sixth costs thrice as much for what lies beyond: it tears a line apart.
const WIDE: i32 = 9;
/// A rest costs as much as a third, and a semitone for each eighth that it lasts,
const REST: i32 = 4;
/// up to a whole note: a voice that has been silent for so long may come again whenever it likes.
const LONG_REST: i32 = 8;
/// A leap over a rest costs no more than an octave: the ear does not hear it as one.
const OVER_REST: i32 = 12;
/// A voice that begins otherwise than with the theme: dearer than that another one goes on by any usual leap.
const BEGIN: i32 = 30;
/// The same, for those who compare readings of more and of fewer voices.
#[cfg(feature = "musicxml")]
pub(in super::super::super) const NEW_VOICE: i64 = BEGIN as i64;
/// One that begins with it so many semitones beside the middle of its register costs one: themes are wide.
const ENTRY: i32 = 2;
/// One that goes on so many semitones beside the middle of its register costs one.
const REGISTER: i32 = 16;
/// The other hand takes the voice over.
const HAND: i32 = 4;
/// It goes on under another number, within a bar of numbers that stand for one voice throughout: hardly ever,
const RENUMBERED_BAR: i32 = 200;
/// within a bar of other numbers,
const RENUMBERED: i32 = 6;
/// or from one bar to the next, where engravers number anew.
const RENUMBERED_AT_BAR: i32 = 2;
/// A voice enters without having been silent.
const RESTLESS: i32 = 20;
/// An entry is torn apart.
const TORN: i32 = 40;

/// A note that is given to a voice.
#[derive(Clone, Copy, Debug)]
pub(super) struct Woven {
    pub(super) onset: Time,
    pub(super) end: Time,
    pub(super) height: i32,
    /// Where it begins and where it ends.
    signs: [Sign; 2],
}

impl Woven {
    pub(super) fn lasts(&self) -> Option<Time> {
        self.end.checked_sub(self.onset).ok()
    }
}

/// The notes in order of onset, from the top, and what they cost.
#[derive(Debug)]
pub(super) struct Costs {
    pub(super) notes: Vec<Woven>,
    /// The middle of the register of each voice, if it is known.
    means: Vec<Option<i32>>,
    /// The note before in an entry.
    bonds: Vec<Bond>,
}

impl Costs {
    pub(super) fn of<T: Sounding>(tones: &[T], signs: impl Fn(&T) -> [Sign; 2], count: usize) -> Self {
        let woven = |tone: &T| Woven {
            onset: tone.onset(),
            end: tone.end(),
            height: tone.height(),
            signs: signs(tone),
        };
        let notes: Vec<Woven> = tones.iter().map(woven).collect();
        let (means, bonds) = (register::means(&notes, count), imitation::bonds(&notes));
        Self { notes, means, bonds }
    }

    /// Whether a voice that has sounded `last` goes on in an entry with this note.
    pub(super) fn is_bound(&self, last: Option<usize>, note: usize) -> bool {
        last.is_some() && self.bonds[note].before == last
    }

    /// What it costs that a voice, counted from the top, goes on from its last note, if any, to this one.
    pub(super) fn go_on(&self, last: Option<usize>, note: usize, line: usize) -> i32 {
        let (to, bond) = (&self.notes[note], self.bonds[note]);
        let beside = self.means[line].map_or(0, |mean| (bond.begins.unwrap_or(to.height) - mean).abs());
        let torn = if bond.before.is_some() { TORN } else { 0 };
        let step = match last.map(|last| &self.notes[last]) {
            None if bond.begins.is_some() => beside / ENTRY,
            None => BEGIN + beside,
            Some(from) if from.end < to.onset => after_rest(from, to) + beside,
            Some(from) => {
                leap(from, to) + beside / REGISTER + if bond.begins.is_some() { RESTLESS } else { 0 }
            }
        };
        step + torn + last.map_or(0, |last| renamed(self.notes[last].signs[1], to.signs[0]))
    }
}

fn leap(from: &Woven, to: &Woven) -> i32 {
    let leap = (to.height - from.height).abs();
    leap + 2 * (leap - WIDE).max(0)
}

fn after_rest(from: &Woven, to: &Woven) -> i32 {
    let rest = to.onset.checked_sub(from.end).unwrap_or(Time::WHOLE);
    let eighths = (rest.numerator().saturating_mul(8) / rest.denominator()).min(i64::from(LONG_REST));
    REST + i32::try_from(eighths).unwrap_or(LONG_REST) + leap(from, to).min(OVER_REST)
}

/// What it costs that a voice goes on in another place on paper.
fn renamed(from: Sign, to: Sign) -> i32 {
    match (from.number, to.number) {
        (Some(before), Some(number)) if before != number => match (from.bar == to.bar, number.of_bar) {
            (true, true) => RENUMBERED_BAR,
            (true, false) => RENUMBERED,
            (false, _) => RENUMBERED_AT_BAR,
        },
        (None, None) if from.staff != to.staff => HAND,
        _ => 0,
    }
}
