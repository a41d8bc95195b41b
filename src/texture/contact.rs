//! What the ear needs to judge a dissonance.
//!
//! A [`Contact`] holds the two notes, each in its own line, how each came to be there, and when it
//! goes. Its name is found by [`Contact::classify`].

use super::chord::HeardChord;
use super::chordal::is_tense;
use super::figure::Figure;
use super::turn::Turn;
use crate::interval::Interval;
use crate::meter::Strength;

/// One of two notes by sounding height.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// The higher note.
    Upper,
    /// The lower note.
    Lower,
}

/// How a note comes to be there when the dissonance begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Entry {
    /// Struck, the pitch being new in its line.
    Struck,
    /// Struck again, in whatever octave, the pitch having been there just before.
    Repeated,
    /// Held from before.
    Held,
}

/// One of the two notes of a dissonance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Strand {
    /// The note in its line.
    pub turn: Turn,
    /// How it comes to be there.
    pub entry: Entry,
    /// Whether it was consonant with the other voice just before, or the other voice rested.
    pub prepared: bool,
    /// When it is left, in ticks.
    pub end: i64,
    /// How heavy the place is on which it is left.
    pub leaves_on: Strength,
    /// The interval that its next note forms with what the other voice sounds then, and whether that
    /// is dissonant; `None` if either is silent.
    pub next: Option<(Interval, bool)>,
    /// Whether it lasts longer than a bar, struck again or not.
    pub is_long: bool,
}

/// Two notes that clash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Contact {
    /// The higher note.
    pub upper: Strand,
    /// The lower note.
    pub lower: Strand,
    /// How heavy the place is on which they meet.
    pub strength: Strength,
    /// Which of the two to suspect where both could be the dissonant one: that which clashes with
    /// more of the other voices.
    pub suspect: Side,
    /// The chord of thirds that holds both, with what else sounds and what either voice leaps from or to.
    pub chord: Option<HeardChord>,
    /// Whether another voice strikes the note to which the seventh of that chord falls, as the seventh is left or
    /// within a beat after.
    pub taken_over: bool,
    /// The note that its voice leaps from, and has leapt to unless it was suspended, while the other passes by, if no
    /// chord explains it.
    pub leapt: Option<Side>,
}

/// The name of a dissonance, and which of its notes is the dissonant one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Naming {
    /// The dissonant note.
    pub side: Side,
    /// What it is.
    pub figure: Figure,
}

impl Side {
    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Upper => Self::Lower,
            Self::Lower => Self::Upper,
        }
    }
}

impl Strand {
    /// Whether it was there before the dissonance began.
    pub fn stays(&self) -> bool {
        self.entry != Entry::Struck
    }

    /// Whether it goes on to a consonance, or to a note against which the other voice is silent.
    pub fn reaches_consonance(&self) -> bool {
        self.goes_on() && self.next.is_none_or(|(_, dissonant)| !dissonant)
    }

    /// Whether it goes on to something milder than a second or seventh; a diminished seventh, and its inversion, is a
    /// chord.
    pub fn reaches_relief(&self) -> bool {
        let is_mild = |it: Interval| is_tense(it) || !matches!(it.steps().rem_euclid(7), 1 | 6);
        self.goes_on() && self.next.is_none_or(|(interval, _)| is_mild(interval))
    }

    fn goes_on(&self) -> bool {
        self.turn.after[0].is_some()
    }
}

impl Contact {
    /// The note of a side.
    pub const fn strand(&self, side: Side) -> &Strand {
        match side {
            Side::Upper => &self.upper,
            Side::Lower => &self.lower,
        }
    }

    /// The interval from the lower note up to the upper one.
    pub fn interval(&self) -> Interval {
        self.upper.turn.here - self.lower.turn.here
    }

    /// Whether the two are one degree in two forms.
    pub(super) fn is_one_degree(&self) -> bool {
        self.interval().steps().rem_euclid(7) == 0
    }
}
