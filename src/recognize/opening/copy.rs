//! The copy that a voice makes of what the leading voice began with.

use super::follower::{FIFTH, FOURTH};
use super::{FEWEST_NOTES, HEAD};
use crate::exposition::Form;
use crate::recognize::pairing::adorns;
use crate::recognize::strand::Tone;
use crate::recognize::theme::{Point, Theme};

/// What a right note adds to the worth of a copy.
const RIGHT: i32 = 2;
/// What a wrong note takes from it: less than a right one adds, for a slip is soon over.
const WRONG: i32 = -1;
/// What a missing note takes from it.
const MISSING: i32 = -3;
/// What it takes that a note is held which the theme adorns.
const HELD: i32 = -2;
/// The same where the theme but strikes it again, for two notes of one pitch that fill a long one are that note: as
/// much as where the copy strikes it again.
const HELD_ON: i32 = EXTRA;
/// What a note too many takes from it.
const EXTRA: i32 = -1;
/// What a change between fifth and fourth takes from it.
const CHANGE: i32 = -1;
/// So far below its best a copy has ended.
const ENDED: i32 = -8;

/// So many notes in a row that are wrong or missing are no slip any more.
const BREAK: usize = 2;

/// All levels.
const ALL: [i32; 7] = [0, 1, 2, 3, 4, 5, 6];

/// A copy of the first notes of a theme.
pub(super) struct Copy {
    pub(super) notes: usize,
    /// Steps from most notes of the theme's head to their partners.
    pub(super) distance: i32,
    /// The first note of the head that is answered at the fourth while most are at the fifth.
    pub(super) altered: Option<usize>,
    /// After how many notes it is interrupted, if it then goes on.
    pub(super) broken: Option<usize>,
    /// Whether another note stands where the next one would.
    pub(super) goes_on: bool,
    /// Whether some of its notes are wrong or missing.
    pub(super) flawed: bool,
    /// What the right notes tell, in parts of a bit.
    pub(super) bits: u32,
}

/// The copy that a voice makes of a theme from `start` on: at the octave, at the fifth and the fourth, or,
/// as it is, on a wrong level with the changes of a tonal answer. An inverted theme may be turned about any axis.
pub(super) fn copy(theme: &Theme, form: Form, tones: &[Tone], start: i64) -> Option<Copy> {
    let pairs = Pairs { theme, tones, start };
    let distance = pairs.distance()?;
    let mut hearing = Hearing::new(distance, lawful(distance, form)?);
    for (index, point) in theme.points().iter().enumerate() {
        hearing.go_on(index, point, &pairs.heard(index, distance));
        if hearing.worth < hearing.best.worth + ENDED {
            break;
        }
    }
    let Best { notes, bits, flawed, .. } = hearing.best;
    let goes_on = notes < theme.points().len() && matches!(pairs.at(notes), (Some(_), 0));
    let altered = hearing.altered.filter(|index| *index < notes);
    let broken = hearing.broken.filter(|index| *index < notes);
    (notes > 0).then_some(Copy { notes, distance, altered, broken, goes_on, flawed, bits })
}

/// The levels on which the notes of a copy may lie whose head lies mostly at a distance.
const fn lawful(distance: i32, form: Form) -> Option<&'static [i32]> {
    match distance.rem_euclid(7) {
        _ if form.is_inverted() => Some(&ALL),
        0 => Some(&[0]),
        FOURTH | FIFTH => Some(&[FOURTH, FIFTH]),
        _ if matches!(form, Form::Straight) => Some(&ALL),
        _ => None,
    }
}

/// What is heard where a note of the theme is due.
struct Heard {
    /// The steps up to the note that stands for it.
    found: Option<i32>,
    /// Whether none does, but one is held which this note would adorn.
    held: bool,
    /// Whether the theme has the note before struck again.
    again: bool,
    /// The notes too many before it.
    extra: i32,
}

/// A copy as it is heard note by note.
struct Hearing {
    /// Steps from most notes of the head to their partners.
    distance: i32,
    lawful: &'static [i32],
    worth: i32,
    best: Best,
    /// What the right notes have told so far.
    bits: u32,
    /// The distance of the last right note.
    before: Option<i32>,
    /// Whether the note before was missing.
    missed: bool,
    /// Whether a note was early or late: that is forgiven once.
    slipped: bool,
    /// Whether a note was wrong or missing.
    flawed: bool,
    altered: Option<usize>,
    /// How many notes in a row are wrong or missing now.
    astray: usize,
    /// After how many notes the copy was first interrupted.
    broken: Option<usize>,
}

impl Hearing {
    fn new(distance: i32, lawful: &'static [i32]) -> Self {
        let (best, bits, worth) = (Best::default(), 0, 0);
        let (before, missed, slipped, flawed, altered) = (None, false, false, false, None);
        let (astray, broken) = (0, None);
        Self { distance, lawful, worth, best, bits, before, missed, slipped, flawed, altered, astray, broken }
    }

    /// Hears what stands for the next note of the theme.
    fn go_on(&mut self, index: usize, point: &Point, heard: &Heard) {
        let right = heard.found.filter(|steps| self.is_right(*steps, index >= HEAD));
        let displaced = self.is_displaced(heard);
        self.worth += worth_of(right, heard, displaced);
        self.worth += if right.is_some_and(|steps| self.changes_to(steps)) { CHANGE } else { 0 };
        let kept = self.tells(right, point, displaced);
        if index < HEAD && self.distance.rem_euclid(7) == FIFTH && right == Some(self.distance - 1) {
            self.altered = self.altered.or(Some(index));
        }
        self.astray = if right.is_some() || heard.held || displaced { 0 } else { self.astray + 1 };
        if self.astray == BREAK && index >= FEWEST_NOTES + BREAK - 1 {
            self.broken = self.broken.or(Some(index + 1 - BREAK));
        }
        self.slipped |= displaced;
        self.flawed |= right.is_none() && !heard.held;
        self.missed = heard.found.is_none() && !heard.held && !displaced;
        self.before = right.or(self.before);
        if self.worth > self.best.worth && kept {
            self.best = Best { worth: self.worth, notes: index + 1, bits: self.bits, flawed: self.flawed };
        }
    }

    /// Whether a note lies at the usual distance or a step beside, on a lawful level; after the head perhaps in
    /// another octave.
    fn is_right(&self, steps: i32, after_head: bool) -> bool {
        let beside = steps - self.distance;
        let near = beside.abs() <= 1 || (after_head && matches!(beside.rem_euclid(7), 0 | 1 | 6));
        near && self.lawful.contains(&steps.rem_euclid(7))
    }

    /// Once, a note that stands where none should, beside one that is missing, is that one early or late.
    const fn is_displaced(&self, heard: &Heard) -> bool {
        let missing = heard.found.is_none() && !heard.held;
        !self.slipped && heard.extra == 1 && (self.missed || missing)
    }

    fn changes_to(&self, steps: i32) -> bool {
        self.before.is_some_and(|before| before != steps)
    }

    /// Adds what a right note tells; returns whether the copy may end with it. In another octave a note is
    /// right, but the way to it tells nothing.
    fn tells(&mut self, right: Option<i32>, point: &Point, displaced: bool) -> bool {
        let Some(steps) = right else { return false };
        let near = (steps - self.distance).abs() <= 1;
        self.bits += if near && !displaced { point.bits() } else { 0 };
        near || self.before.is_some_and(|before| (steps - before).abs() <= 1)
    }
}

/// What the note that is heard, and those too many before it, add to the worth of a copy.
const fn worth_of(right: Option<i32>, heard: &Heard, displaced: bool) -> i32 {
    let note = match (right, heard.found) {
        (Some(_), _) => RIGHT,
        (None, Some(_)) => WRONG,
        (None, None) if heard.held && heard.again => HELD_ON,
        (None, None) if heard.held => HELD,
        (None, None) if displaced => WRONG,
        (None, None) => MISSING,
    };
    // A note that was due before and comes now has been taken for a missing one.
    let extra = match (displaced, heard.found) {
        (true, Some(_)) => WRONG - MISSING,
        (true, None) => 0,
        (false, _) => EXTRA * heard.extra,
    };
    note + extra
}

/// Where the copy was worth most.
#[derive(Default)]
struct Best {
    worth: i32,
    notes: usize,
    bits: u32,
    flawed: bool,
}

/// The notes of a theme with their partners in a voice.
struct Pairs<'a> {
    theme: &'a Theme,
    tones: &'a [Tone],
    start: i64,
}

impl Pairs<'_> {
    /// What is heard where a note is due.
    fn heard(&self, index: usize, distance: i32) -> Heard {
        let (found, extra) = self.at(index);
        let held = found.is_none() && self.is_held(index, distance);
        Heard { found, held, again: self.is_struck_again(index), extra }
    }

    /// Whether a note of the theme is the one before struck again.
    fn is_struck_again(&self, index: usize) -> bool {
        let points = self.theme.points();
        index.checked_sub(1).is_some_and(|before| points[before].step == points[index].step)
    }

    /// The steps up to the partner of a note, and how many notes stand between it and the partner before.
    fn at(&self, index: usize) -> (Option<i32>, i32) {
        let point = self.theme.points()[index];
        let due = self.start + point.at;
        let next = if index == 0 { 0 } else { self.tones.partition_point(|tone| tone.on < due) };
        let since =
            self.theme.points().get(index.wrapping_sub(1)).map_or(due, |before| self.start + before.at);
        let before = self.tones.get(..next).unwrap_or(&[]).iter().rev();
        let after = next - before.take_while(|tone| tone.on > since).count();
        let partner = self.tones.get(next).filter(|tone| index == 0 || tone.on == due);
        let between = self.tones.get(after..next).unwrap_or(&[]);
        let adorned = after.checked_sub(1).map(|before| self.tones[before].step);
        let ornament = adorned.is_some_and(|step| between.iter().all(|tone| adorns(tone.step, step)));
        let extra = i32::try_from(between.len()).unwrap_or(i32::MAX).min(if ornament { 1 } else { 8 });
        (partner.map(|tone| tone.step - point.step), extra)
    }

    /// Whether a note that is missing would adorn the one that is held instead.
    fn is_held(&self, index: usize, distance: i32) -> bool {
        let point = self.theme.points()[index];
        let due = self.start + point.at;
        let sounding = self.tones.partition_point(|tone| tone.on < due).checked_sub(1);
        let sounding = sounding.map(|index| self.tones[index]).filter(|tone| tone.off > due);
        sounding.is_some_and(|tone| adorns(point.step + distance, tone.step))
    }

    /// The distance that is most frequent in the head.
    fn distance(&self) -> Option<i32> {
        let head = 0..self.theme.points().len().min(HEAD);
        let found: Vec<i32> = head.filter_map(|index| self.at(index).0).collect();
        found.iter().copied().max_by_key(|one| found.iter().filter(|other| *other == one).count())
    }
}
