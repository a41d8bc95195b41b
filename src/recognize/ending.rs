//! Where the subject ends.
//!
//! At a cadential figure just before or after the answer's entry; in doubt as far as the answer
//! copies it; where entries come close, only the later ones tell (Prout, *Fugue*, §53). If it begins
//! on an accent, the answer usually enters on its last note (§59). Each note of the leading voice is
//! weighed by the table below; the heaviest, of equals the earliest, is the last of the subject. Every
//! voice that follows votes: it copies the subject, and where the theme is over it goes its own way, though it
//! may take up the countersubject after a codetta of its own. That it goes on copying tells nothing after the
//! answer's entry, for then it may be the countersubject.

use super::opening::{FEWEST_NOTES, Follower, Opening};
use super::strand::{Strands, Tone};
use crate::key::Key;
use crate::meter::Strength;
use crate::score::Score;
use crate::time::Time;
use std::cmp::Ordering;

/// A voice copies as far as this note and no farther.
const COPIED_SO_FAR: i32 = 5;
/// A voice stops a note earlier; counted twice at most, for more is as bad.
const NOT_COPIED: i32 = -3;
/// The same, but another note stands in place of the next one: that may be a wrong one.
const COPIED_TO_A_SLIP: i32 = 3;
/// A voice has another note in place of this one, the last: it may be a wrong one.
const OTHER_NOTE: i32 = -1;
/// A voice copies the next note too, and the answer has not yet entered; or it enters on the next note,
/// and the voice stops there or a note later, as it would not in a countersubject.
const COPIED_FARTHER: i32 = -2;
/// It sounds when the answer enters, or ends just then, or nothing sounds between the two.
const MEETS_ANSWER: i32 = 3;
/// A single note stands between it and the answer: too little for a codetta.
const ONE_NOTE_LEFT: i32 = -2;
/// It begins after the answer, for each beat: what is copied from there on may be the countersubject.
/// That lasts as long as the answer at most, so later notes are not weighed down.
const AFTER_ANSWER: i32 = -2;
/// Two voices stop copying here and none before, where a countersubject would long have ended, as in
/// entries in stretto; or all voices stop here, where a countersubject would not yet have ended.
const AGREED: i32 = 6;
/// So many notes of a codetta may be like those of another one.
const BEYOND: usize = 2;
/// It is the root or third of the tonic triad (Prout, §42).
const TONIC: i32 = 3;
/// It is the root or third of the dominant triad.
const DOMINANT: i32 = 1;
/// It stands on an accent.
const ACCENTED: i32 = 2;
/// It is longer than the note before it.
const LONGER: i32 = 1;
/// A rest follows.
const REST: i32 = 1;

/// How many notes of the leading voice are the subject.
pub(super) fn find(opening: &Opening, strands: &Strands, score: &Score, key: Key) -> usize {
    let ending = Ending { opening, strands, score, key };
    let longest = opening.followers.iter().map(|follower| ending.stop(follower)).max().unwrap_or(0);
    let last = (longest + 1).min(ending.led().len());
    let counts = FEWEST_NOTES..=last.max(FEWEST_NOTES);
    counts.rev().max_by_key(|&count| ending.weight(count)).unwrap_or(FEWEST_NOTES)
}

struct Ending<'a> {
    opening: &'a Opening,
    strands: &'a Strands,
    score: &'a Score,
    key: Key,
}

impl Ending<'_> {
    fn led(&self) -> &[Tone] {
        self.strands.voice(self.opening.leader).get(self.opening.first..).unwrap_or(&[])
    }

    /// What speaks for a subject of so many notes.
    fn weight(&self, count: usize) -> i32 {
        let Some(last) = self.led().get(count - 1) else { return i32::MIN };
        let next = self.led().get(count);
        self.votes(count, next) + self.meeting(count, last, next) + self.cadence(count - 1, last, next)
    }

    fn answer(&self) -> i64 {
        self.opening.answer()
    }

    /// The length of a beat at a tick.
    fn beat(&self, tick: i64) -> i64 {
        let grid = self.strands.grid;
        grid.ticks(self.score.meters().at(grid.time(tick).unwrap_or(Time::ZERO)).unit()).max(1)
    }

    fn votes(&self, count: usize, next: Option<&Tone>) -> i32 {
        let belongs = |follower: &Follower| {
            next.is_some_and(|next| {
                let stops = self.stop(follower) <= count + 2;
                next.on < self.answer() || (next.on == self.answer() && stops)
            })
        };
        let vote = |follower: &Follower| match self.stop(follower).cmp(&count) {
            Ordering::Equal if self.may_slip(follower) => COPIED_TO_A_SLIP,
            Ordering::Equal => COPIED_SO_FAR,
            Ordering::Less if self.stop(follower) + 1 < count => 2 * NOT_COPIED,
            Ordering::Less if self.may_slip(follower) => OTHER_NOTE,
            Ordering::Less => NOT_COPIED,
            Ordering::Greater if belongs(follower) => COPIED_FARTHER,
            Ordering::Greater => 0,
        };
        self.voters().map(vote).sum()
    }

    /// How many notes a voice copies as the theme.
    fn stop(&self, follower: &Follower) -> usize {
        self.break_of(follower).unwrap_or(follower.copied)
    }

    /// Whether another note stands where a voice would copy the next one.
    fn may_slip(&self, follower: &Follower) -> bool {
        follower.goes_on && self.break_of(follower).is_none()
    }

    /// Where a voice leaves the theme for a codetta of its own, if it copies the leader again after it. A voice
    /// that has the subject itself shows that an answer was altered within, if it copies on.
    fn break_of(&self, follower: &Follower) -> Option<usize> {
        let broken = follower.broken?;
        let mut subjects = self.opening.followers.iter().filter(|other| other.is_at_octave());
        let ends = subjects.all(|other| other.broken.unwrap_or(other.copied) <= broken + BEYOND);
        ends.then_some(broken)
    }

    /// The voices that follow as surely as any. What copies a few notes on a wrong level or by contrary
    /// motion, and that not surely, while others copy many as they are, knows nothing of the end.
    fn voters(&self) -> impl Iterator<Item = &Follower> {
        let followers = &self.opening.followers;
        let longest = followers.iter().map(|follower| follower.copied).max().unwrap_or(0);
        let doubtful = move |follower: &Follower| {
            follower.is_unusual() && !follower.is_sure() && 3 * follower.copied < longest
        };
        followers.iter().filter(move |follower| !doubtful(follower) && !self.is_outvoted(follower))
    }

    /// Whether a voice has few notes, and not all of them right, where most of the others, and two at least, copy twice
    /// as many.
    fn is_outvoted(&self, follower: &Follower) -> bool {
        let followers = &self.opening.followers;
        let more = followers.iter().filter(|other| other.copied >= 2 * follower.copied).count();
        follower.flawed && more > 1 && 2 * more > followers.len() - 1
    }

    fn meeting(&self, count: usize, last: &Tone, next: Option<&Tone>) -> i32 {
        let answer = self.answer();
        let silent_between = next.is_none_or(|next| next.on >= answer);
        let stop = self.voters().filter(|follower| self.stop(follower) == count).count();
        let none_before = self.voters().all(|follower| self.stop(follower) >= count);
        let agreed = stop > 1 && none_before;
        // A countersubject and the link after it last until the third voice enters at most.
        let third = self.opening.followers.get(1).map_or(answer, |follower| follower.onset);
        if last.on > third && 3 * (last.on - self.opening.onset) > 7 * (answer - self.opening.onset) {
            return if agreed { AGREED } else { 0 };
        }
        let soon = 3 * (last.on - answer) <= answer - self.opening.onset;
        if last.on > answer && soon && agreed && stop == self.voters().count() {
            return AGREED;
        }
        if last.on > answer {
            let beat = self.beat(answer);
            let beats = ((last.on - answer + beat - 1) / beat).min(8);
            return AFTER_ANSWER * i32::try_from(beats).unwrap_or(8);
        }
        match (last.off >= answer || silent_between, self.led().get(count + 1)) {
            (true, _) => MEETS_ANSWER,
            (false, Some(after)) if after.on < answer => 0,
            (false, _) => ONE_NOTE_LEFT,
        }
    }

    fn cadence(&self, index: usize, last: &Tone, next: Option<&Tone>) -> i32 {
        let Some(note) = self.score.parts()[self.opening.leader].line.notes().get(self.opening.first + index)
        else {
            return 0;
        };
        let degree = match self.key.degree(note.pitch().class()).number() {
            1 | 3 => TONIC,
            5 | 7 => DOMINANT,
            _ => 0,
        };
        let accented = self.score.strength(note.onset()) >= Strength::Pulse;
        let before = index.checked_sub(1).and_then(|before| self.led().get(before));
        let longer = before.is_some_and(|before| last.off - last.on > before.off - before.on);
        let rest = next.is_none_or(|next| next.on > last.off);
        degree
            + if accented { ACCENTED } else { 0 }
            + if longer { LONGER } else { 0 }
            + if rest { REST } else { 0 }
    }
}
