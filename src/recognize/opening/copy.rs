//! The copy that a voice makes of what the leading voice began with.

use super::HEAD;
use crate::exposition::Form;
use crate::recognize::pairing::adorns;
use crate::recognize::strand::Tone;
use crate::recognize::theme::Theme;

/// What a right note adds to the worth of a copy.
const RIGHT: i32 = 2;
/// What a wrong note takes from it: less than a right one adds, for a slip is soon over.
const WRONG: i32 = -1;
/// What a missing note takes from it.
const MISSING: i32 = -3;
/// What it takes that a note is held which the theme adorns.
const HELD: i32 = -2;
/// What a note too many takes from it.
const EXTRA: i32 = -1;
/// What a change between fifth and fourth takes from it.
const CHANGE: i32 = -1;
/// So far below its best a copy has ended.
const ENDED: i32 = -8;

/// All levels.
const ALL: [i32; 7] = [0, 1, 2, 3, 4, 5, 6];

/// A copy of the first notes of a theme.
pub(super) struct Copy {
    pub(super) notes: usize,
    /// Steps from most notes of the theme's head to their partners.
    pub(super) distance: i32,
    /// Whether another note stands where the next one would.
    pub(super) goes_on: bool,
    /// What the right notes tell, in parts of a bit.
    pub(super) bits: u32,
}

/// The copy that a voice makes of a theme from `start` on: at the octave, at the fifth and the fourth, or,
/// as it is, on a wrong level with the changes of a tonal answer. An inverted theme may be turned about any axis.
pub(super) fn copy(theme: &Theme, form: Form, tones: &[Tone], start: i64) -> Option<Copy> {
    let pairs = Pairs { theme, tones, start };
    let distance = pairs.distance()?;
    let lawful: &[i32] = match distance.rem_euclid(7) {
        _ if form.is_inverted() => &ALL,
        0 => &[0],
        3 | 4 => &[3, 4],
        _ if form == Form::Straight => &ALL,
        _ => return None,
    };
    let (mut worth, mut best, mut before) = (0, Best::default(), None);
    let (mut bits, mut missed, mut slipped) = (0, false, false);
    for (index, point) in theme.points().iter().enumerate() {
        let (found, extra) = pairs.at(index);
        let held = found.is_none() && pairs.is_held(index, distance);
        let right = found.filter(|steps| lawful.contains(&steps.rem_euclid(7)));
        let right = right.filter(|steps| is_near(steps - distance, index >= HEAD));
        // Once, a note that stands where none should, beside one that is missing, is that one early or late.
        let displaced = !slipped && extra == 1 && (missed || (found.is_none() && !held));
        slipped |= displaced;
        worth += match (right, found) {
            (Some(_), _) => RIGHT,
            (None, Some(_)) => WRONG,
            (None, None) if held => HELD,
            (None, None) if displaced => WRONG,
            (None, None) => MISSING,
        };
        worth += match (displaced, found) {
            (true, Some(_)) => WRONG - MISSING,
            (true, None) => 0,
            (false, _) => EXTRA * extra,
        };
        missed = found.is_none() && !held && !displaced;
        worth += if right.is_some() && before.is_some() && right != before { CHANGE } else { 0 };
        // In another octave a note is right, but the way to it tells nothing.
        let near = right.is_some_and(|steps| (steps - distance).abs() <= 1);
        bits += if near && !displaced { point.bits() } else { 0 };
        let kept =
            near || right.is_some_and(|steps| before.is_some_and(|before| (steps - before).abs() <= 1));
        before = right.or(before);
        if worth > best.worth && kept {
            best = Best { worth, notes: index + 1, bits };
        } else if worth < best.worth + ENDED {
            break;
        }
    }
    let Best { notes, bits, .. } = best;
    let goes_on = notes < theme.points().len() && matches!(pairs.at(notes), (Some(_), 0));
    (notes > 0).then_some(Copy { notes, distance, goes_on, bits })
}

/// Whether a distance is the usual one or a step beside; after the head perhaps in another octave.
fn is_near(beside: i32, after_head: bool) -> bool {
    beside.abs() <= 1 || (after_head && matches!(beside.rem_euclid(7), 0 | 1 | 6))
}

/// Where the copy was worth most.
#[derive(Default)]
struct Best {
    worth: i32,
    notes: usize,
    bits: u32,
}

/// The notes of a theme with their partners in a voice.
struct Pairs<'a> {
    theme: &'a Theme,
    tones: &'a [Tone],
    start: i64,
}

impl Pairs<'_> {
    /// The steps up to the partner of a note, and how many notes stand between it and the partner before.
    fn at(&self, index: usize) -> (Option<i32>, i32) {
        let point = self.theme.points()[index];
        let due = self.start + point.at;
        let next = if index == 0 { 0 } else { self.tones.partition_point(|tone| tone.on < due) };
        let since =
            self.theme.points().get(index.wrapping_sub(1)).map_or(due, |before| self.start + before.at);
        let after = self.tones.partition_point(|tone| tone.on <= since);
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
