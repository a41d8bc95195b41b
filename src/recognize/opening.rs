//! How a fugue opens: which voice leads, which voices follow with the same notes, and for how long.

use super::strand::{Strands, Tone};
use super::theme::Theme;

/// What a right note adds to the worth of a copy.
const RIGHT: i32 = 2;
/// What a wrong note takes from it: less than a right one adds, for a slip is soon over.
const WRONG: i32 = -1;
/// What a missing note takes from it.
const MISSING: i32 = -3;
/// What a note too many takes from it.
const EXTRA: i32 = -1;
/// What a change between fifth and fourth takes from it.
const CHANGE: i32 = -1;
/// So far below its best a copy has ended.
const ENDED: i32 = -8;
/// The notes from which the distance of a copy is heard.
const HEAD: usize = 8;
/// The fewest notes of a subject.
pub(super) const FEWEST_NOTES: usize = 4;
/// The fewest notes that the leading voice has to itself.
const FEWEST_ALONE: usize = 3;

/// A voice that takes up what the leading voice began with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Follower {
    pub(super) voice: usize,
    /// When it enters.
    pub(super) onset: i64,
    /// Steps above the leading voice.
    pub(super) distance: i32,
    /// How many notes of the leading voice it copies.
    pub(super) copied: usize,
    /// Whether another note stands where the next one would: it may be meant for it.
    pub(super) goes_on: bool,
}

/// The opening of a fugue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Opening {
    pub(super) leader: usize,
    /// In order of onset; at least one.
    pub(super) followers: Vec<Follower>,
}

impl Opening {
    /// The opening of a score, if it opens as a fugue does: a voice begins and others take up its notes,
    /// at least one of them at the fifth or fourth. If two voices begin with themes of their own,
    /// the first that is answered counts.
    pub(super) fn of(strands: &Strands) -> Option<Self> {
        let mut order: Vec<usize> =
            (0..strands.count()).filter(|&voice| strands.opening(voice).is_some()).collect();
        order.sort_by_key(|&voice| strands.opening(voice));
        let mut openings = order.iter().map(|&leader| Self::led_by(leader, &order, strands));
        openings.find(|opening| opening.is_fugal(order.len()))
    }

    fn led_by(leader: usize, order: &[usize], strands: &Strands) -> Self {
        let others = order.iter().filter(|&&voice| strands.opening(voice) > strands.opening(leader));
        let followers = others.filter_map(|&voice| follow(leader, voice, strands));
        Self { leader, followers: followers.collect() }
    }

    /// Whether enough voices follow, and one of them answers.
    fn is_fugal(&self, voices: usize) -> bool {
        let answers = self.followers.iter().any(|follower| is_answer(follower.distance));
        answers && 2 * (self.followers.len() + 1) >= voices
    }
}

/// Whether so many steps are a fifth or a fourth, octaves apart.
pub(super) const fn is_answer(distance: i32) -> bool {
    matches!(distance.rem_euclid(7), 3 | 4)
}

/// The copy that a later voice makes of the leading one, if it makes one.
fn follow(leader: usize, voice: usize, strands: &Strands) -> Option<Follower> {
    let (led, tones) = (strands.voice(leader), strands.voice(voice));
    let onset = tones.first()?.on;
    let alone = led.partition_point(|tone| tone.on < onset);
    if alone < FEWEST_ALONE {
        return None;
    }
    let window = led.len().min(super::MAX_NOTES);
    let theme = Theme::of(&led[..window])?;
    let starts = [Some(onset), second_start(&theme, tones)];
    let copies = starts.into_iter().flatten().filter_map(|start| copy(&theme, tones, start));
    let Copy { notes: copied, distance, goes_on } = copies.max_by_key(|copy| copy.notes)?;
    let enough = copied >= FEWEST_NOTES && copied >= alone.min(HEAD) / 2;
    enough.then_some(Follower { voice, onset, distance, copied, goes_on })
}

/// When the theme begins if the second note is on time.
fn second_start(theme: &Theme, tones: &[Tone]) -> Option<i64> {
    Some(tones.get(1)?.on - theme.points().get(1)?.at)
}

/// A copy of the first notes of a theme.
struct Copy {
    notes: usize,
    distance: i32,
    goes_on: bool,
}

/// The copy that a voice makes of a theme from `start` on.
fn copy(theme: &Theme, tones: &[Tone], start: i64) -> Option<Copy> {
    let pairs = Pairs { theme, tones, start };
    let distance = pairs.distance()?;
    let lawful: &[i32] = match distance.rem_euclid(7) {
        0 => &[0],
        3 | 4 => &[3, 4],
        _ => return None,
    };
    let (mut worth, mut best, mut copied, mut before) = (0, 0, 0, None);
    for index in 0..theme.points().len() {
        let (found, extra) = pairs.at(index);
        let right =
            found.filter(|steps| (steps - distance).abs() <= 1 && lawful.contains(&steps.rem_euclid(7)));
        worth += match (right, found) {
            (Some(_), _) => RIGHT,
            (None, Some(_)) => WRONG,
            (None, None) => MISSING,
        };
        worth += EXTRA * extra;
        worth += if right.is_some() && before.is_some() && right != before { CHANGE } else { 0 };
        before = right.or(before);
        if worth > best {
            (best, copied) = (worth, index + 1);
        } else if worth < best + ENDED {
            break;
        }
    }
    let goes_on = copied < theme.points().len() && matches!(pairs.at(copied), (Some(_), 0));
    (copied > 0).then_some(Copy { notes: copied, distance, goes_on })
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
        let extra = i32::try_from(next.saturating_sub(after)).unwrap_or(i32::MAX / 4);
        (partner.map(|tone| tone.step - point.step), extra.min(8))
    }

    /// The distance that is most frequent in the head.
    fn distance(&self) -> Option<i32> {
        let head = 0..self.theme.points().len().min(HEAD);
        let found: Vec<i32> = head.filter_map(|index| self.at(index).0).collect();
        found.iter().copied().max_by_key(|one| found.iter().filter(|other| *other == one).count())
    }
}
