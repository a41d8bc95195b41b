//! A voice that takes up what the leading voice began with.

use super::UNEXPECTED;
use crate::recognize::habits::PER_BIT;
use crate::recognize::strand::Tone;

/// Steps of a fourth and of a fifth.
pub(super) const FOURTH: i32 = 3;
pub(super) const FIFTH: i32 = 4;

/// Where a voice takes up the theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Level {
    /// In unison or octaves off.
    Octave,
    /// At the fifth or the fourth.
    Answer,
    /// Where no answer has its place.
    Astray,
}

impl Level {
    /// The level so many steps away.
    const fn of(distance: i32) -> Self {
        match distance.rem_euclid(7) {
            0 => Self::Octave,
            _ if is_answer(distance) => Self::Answer,
            _ => Self::Astray,
        }
    }
}

/// A voice that takes up what the leading voice began with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::recognize) struct Follower {
    /// When it enters.
    pub(in crate::recognize) onset: i64,
    /// How many steps its first note lies above that of the leading voice.
    pub(super) begins: i32,
    /// Steps from most notes of the leader's head to their partners.
    pub(super) distance: i32,
    /// The first note of the head that it has at the fourth, if most are at the fifth.
    pub(super) altered: Option<usize>,
    /// Whether it follows by contrary motion.
    pub(super) contrary: bool,
    /// How many notes of the leading voice it copies.
    pub(in crate::recognize) copied: usize,
    /// After how many notes it is interrupted, if it then goes on.
    pub(in crate::recognize) broken: Option<usize>,
    /// Whether another note stands where the next one would: it may be meant for it.
    pub(in crate::recognize) goes_on: bool,
    /// Whether some of the notes are wrong or missing.
    pub(in crate::recognize) flawed: bool,
    /// What the copied notes tell, in parts of a bit.
    pub(super) bits: u32,
}

impl Follower {
    /// Whether it follows by contrary motion or where no answer has its place.
    pub(in crate::recognize) const fn is_unusual(&self) -> bool {
        self.contrary || matches!(self.level(), Level::Astray)
    }

    /// Whether a voice that begins with it, or less than so long a head of the theme before or after, only sounds
    /// together with it: entries come one after another, so that what tells less than half as much is like the theme
    /// by chance.
    pub(super) const fn drowns(&self, other: &Self, head: i64) -> bool {
        (self.onset - other.onset).abs() < head && self.bits > 2 * other.bits
    }

    /// Whether it is sure even where nobody expects it.
    pub(in crate::recognize) const fn is_sure(&self) -> bool {
        self.bits >= UNEXPECTED * PER_BIT
    }

    /// Where it takes up the theme.
    pub(super) const fn level(&self) -> Level {
        Level::of(self.distance)
    }

    /// Whether it answers at the fifth, or at the fourth below.
    pub(super) const fn is_at_fifth(&self) -> bool {
        self.distance.rem_euclid(7) == FIFTH && !self.contrary
    }

    /// Whether it has the notes of the leader in unison or octaves off.
    pub(in crate::recognize) const fn is_at_octave(&self) -> bool {
        matches!(self.level(), Level::Octave) && !self.contrary
    }

    /// The ticks from the leader's first note to the end of the last one that is copied.
    pub(super) fn span(&self, led: &[Tone]) -> i64 {
        let copied = self.copied.checked_sub(1).and_then(|last| led.get(last));
        copied.zip(led.first()).map_or(0, |(last, first)| last.off - first.on)
    }
}

/// Whether so many steps are a fifth or a fourth, octaves apart.
pub(in crate::recognize) const fn is_answer(distance: i32) -> bool {
    matches!(distance.rem_euclid(7), FOURTH | FIFTH)
}
