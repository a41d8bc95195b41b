//! How a fugue opens: which voice leads, which voices follow with the same notes, and for how long.
//!
//! The voice that begins is tried as leader, then the others. A voice follows if it takes up the
//! leader's notes, as they are or in another form, where it begins or after a rest: it may have played
//! something else before. A long copy on a wrong level is followed too: a pupil's answer goes astray. If
//! nobody is answered, each place where a voice begins alone after silence is tried likewise, for a fugue may
//! follow an introduction.

mod copy;
mod follower;
mod lead;
mod starts;

pub(super) use self::follower::{Follower, is_answer};

use self::follower::Level;
use self::lead::{Begin, Lead, Place};
use super::habits::{Habits, PER_BIT};
use super::strand::{Strands, Tone};

/// The notes from which the distance of a copy is heard.
const HEAD: usize = 8;
/// The fewest notes of a subject.
pub(super) const FEWEST_NOTES: usize = 4;
/// So sure must an answer be, in bits, if all voices follow: four notes of a plain theme tell as much.
const LIKELY: u32 = 8;
/// So sure must it be if some do not: one in some ten thousand, and a whole head of the theme.
pub(super) const CERTAIN: u32 = 14;
/// So sure must be what nobody expects: an answer by contrary motion or on a wrong level, or a voice that enters in
/// the midst of its line.
const UNEXPECTED: u32 = 2 * CERTAIN;
/// Within so many times the length of the theme after the entry before, the next one comes: a codetta
/// may take its time, but not without end.
const NEAR: i64 = 4;
/// In two voices a copy longer than so many times the distance between the entries, and than
/// [`LONGEST_BARS`], is a canon: a subject and its countersubject would end before.
const CANON: i64 = 3;
/// The longest subject, in bars.
const LONGEST_BARS: i64 = 8;
/// In a round each voice copies so many times the distance between the entries: theme and what goes with it.
const ROUND: i64 = 2;

/// The opening of a fugue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Opening {
    pub(super) leader: usize,
    /// The index of the leader's first note.
    pub(super) first: usize,
    /// When it begins.
    pub(super) onset: i64,
    /// In order of onset; at least one.
    pub(super) followers: Vec<Follower>,
    /// When an answer on a wrong level enters.
    pub(super) astray: Option<i64>,
}

impl Opening {
    /// The opening of a score, if a voice begins and others take up its notes, at least one of them at
    /// the fifth or fourth. If two voices begin with themes of their own, the first that is answered
    /// counts. `bar` is the length of the bars at a tick, in ticks.
    pub(super) fn of(strands: &Strands, habits: &Habits, bar: impl Fn(i64) -> i64) -> Option<Self> {
        starts::of(strands).into_iter().find_map(|start| Self::from(start, strands, habits, bar(start)))
    }

    /// The opening of what follows from a time on.
    fn from(start: i64, strands: &Strands, habits: &Habits, bar: i64) -> Option<Self> {
        let begins = Begin::all(start, strands);
        let leads = begins.iter().filter_map(|begin| Lead::of(*begin, &begins, strands, habits));
        leads.into_iter().find_map(|lead| {
            let places: &[Place] =
                if lead.is_alone() { &[Place::Phrase, Place::Anywhere] } else { &[Place::Phrase] };
            places.iter().find_map(|place| Self::led_by(&lead, *place, bar))
        })
    }

    /// The opening with a leader, if the others follow as in a fugue.
    fn led_by(lead: &Lead<'_>, place: Place, bar: i64) -> Option<Self> {
        let Begin { onset, voice: leader, first } = lead.begin;
        let followers = lead.followers(place);
        let mut opening = Self { leader, first, onset, followers, astray: None };
        opening.keep_near(lead.tones);
        opening.astray = opening.goes_astray(lead.tones);
        let is_fugal = opening.is_fugal(lead.voices(), lead.is_first());
        (is_fugal && !opening.is_canon(lead.tones, bar)).then_some(opening)
    }

    /// Whether a voice answers, and either all follow or half of them while the answer is certain.
    /// After an introduction, and if another voice begins with the leader, it must be certain; by contrary
    /// motion twice so.
    fn is_fugal(&self, voices: usize, begins_alone: bool) -> bool {
        let sure = |contrary: bool, bits: u32, notes: usize| {
            let mut answers = self.followers.iter().filter(|one| {
                if contrary { one.contrary } else { one.level() == Level::Answer && !one.contrary }
            });
            answers.any(|one| one.copied >= notes && one.bits >= bits * PER_BIT)
        };
        let following = self.followers.len() + 1;
        let (half, all) = (2 * following >= voices, following >= voices);
        let accompanied = following + 1 >= voices && sure(true, 2 * UNEXPECTED, HEAD);
        let certain = half && (sure(false, CERTAIN, HEAD) || accompanied || self.agree());
        let likely = all && sure(false, LIKELY, FEWEST_NOTES);
        let contrary = half && sure(true, UNEXPECTED, HEAD);
        certain || (begins_alone && (likely || contrary || (all && self.astray.is_some())))
    }

    /// Whether two voices, one of them in the dominant, follow so surely that together they are as sure
    /// as two answers, though the theme may be short.
    fn agree(&self) -> bool {
        let sure =
            |one: &&Follower| one.level() != Level::Astray && !one.contrary && one.bits >= LIKELY * PER_BIT;
        let agreeing: Vec<&Follower> = self.followers.iter().filter(sure).collect();
        let bits: u32 = agreeing.iter().map(|one| one.bits).sum();
        agreeing.len() > 1
            && agreeing.iter().any(|one| one.level() == Level::Answer)
            && bits >= 2 * CERTAIN * PER_BIT
    }

    /// When an answer on a wrong level enters: the next voice after the leader, and as sure as an answer by
    /// contrary motion, for nobody expects it there.
    fn goes_astray(&self, led: &[Tone]) -> Option<i64> {
        let first = self.followers.first().filter(|one| !one.contrary && one.copied >= HEAD)?;
        let is_astray = first.level() == Level::Astray || self.is_answered_at_octave(led);
        (is_astray && first.is_sure()).then_some(first.onset)
    }

    /// Whether the first voice that follows answers, and wrongly at the octave: nobody else answers, and a third
    /// voice has the theme too, for of two the one imitates the other as in an invention. In a round the copy goes
    /// on when the theme is over.
    fn is_answered_at_octave(&self, led: &[Tone]) -> bool {
        let [first, _, ..] = &self.followers[..] else { return false };
        self.followers.iter().all(Follower::is_at_octave)
            && first.span(led) < ROUND * (first.onset - self.onset)
    }

    /// Whether two voices copy on and on. More voices may do so by turns, with fixed countersubjects.
    fn is_canon(&self, led: &[Tone], bar: i64) -> bool {
        let [follower] = self.followers[..] else { return false };
        let copied = follower.span(led);
        copied > CANON * (follower.onset - self.onset) && copied > LONGEST_BARS * bar
    }

    /// When the first voice follows.
    pub(super) fn answer(&self) -> i64 {
        self.followers.first().map_or(self.onset, |follower| follower.onset)
    }

    /// How many steps above the leading voice the first one begins that answers it.
    pub(super) fn answered(&self) -> Option<i32> {
        let mut answers = self.followers.iter().filter(|one| one.level() == Level::Answer && !one.contrary);
        answers.next().map(|answer| answer.begins)
    }

    /// The voices that answer at the fifth.
    fn at_fifth(&self) -> impl Iterator<Item = &Follower> {
        self.followers.iter().filter(|one| one.is_at_fifth())
    }

    /// The first note of the head that all answers at the fifth have at the fourth: in one it may be a slip.
    pub(super) fn altered(&self) -> Option<usize> {
        let mut altered = self.at_fifth().map(|one| one.altered);
        let first = altered.next()??;
        altered.all(|other| other == Some(first)).then_some(first)
    }

    /// Whether the voice that entered last before a time is one that answers at the fifth.
    pub(super) fn is_answering(&self, time: i64) -> bool {
        let entered = self.followers.iter().rev().find(|one| one.onset <= time);
        entered.is_some_and(Follower::is_at_fifth)
    }

    /// When the last voice that follows has copied what it copies.
    pub(super) fn end(&self, led: &[Tone]) -> i64 {
        self.followers.iter().map(|follower| follower.onset + follower.span(led)).max().unwrap_or(self.onset)
    }

    /// Leaves out the voices that enter too late.
    fn keep_near(&mut self, led: &[Tone]) {
        let mut before = self.onset;
        self.followers.retain(|follower| {
            let near = follower.onset - before <= NEAR * follower.span(led);
            before = if near { follower.onset } else { before };
            near
        });
    }
}
