//! The shape of a subject: extremes, head, leaps, climax, end.

use crate::interval::{Interval, Quality};
use crate::line::Note;
use crate::meter::Strength;
use crate::pitch::Pitch;
use crate::scale::Degree;
use crate::subject::Subject;
use crate::time::Time;

/// The last note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ending {
    /// Its degree.
    pub degree: Degree,
    /// Its place in the bar, from the bar line.
    pub place: Time,
    /// How heavy that place is.
    pub strength: Strength,
    /// Whether it falls on an accent: the beginning of the bar or its secondary accent; the second
    /// of two pulses counts as one, since in common time it is the third beat. Source: Prout,
    /// *Fugue*, §43.
    pub accented: bool,
}

impl Ending {
    pub(super) fn of(subject: &Subject) -> Self {
        let (meter, last) = (subject.meter(), subject.line().notes().last());
        let place = last.and_then(|last| meter.place(last.onset().checked_add(subject.offset()).ok()?).ok());
        let place = place.unwrap_or(Time::ZERO);
        let strength = meter.strength(place);
        let second_of_two = meter.groups().len() == 2 && strength == Strength::Pulse;
        Self {
            degree: last.map_or(Degree::TONIC, |last| subject.key().degree(last.pitch().class())),
            place,
            strength,
            accented: strength >= Strength::Accent || second_of_two,
        }
    }
}

/// The highest note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Climax {
    /// Index of the first note of that height.
    pub note: usize,
    /// Its pitch.
    pub pitch: Pitch,
    /// How often the line comes to it; struck again at once it counts once.
    pub times: usize,
}

impl Climax {
    pub(super) fn of(notes: &[Note]) -> Self {
        let (_, highest) = extremes(notes);
        let is_top = |note: &Note| note.pitch().height() == highest.height();
        let arrivals = |index: &usize| is_top(&notes[*index]) && (*index == 0 || !is_top(&notes[*index - 1]));
        Self {
            note: notes.iter().position(is_top).unwrap_or(0),
            pitch: highest,
            times: (0..notes.len()).filter(arrivals).count(),
        }
    }

    /// Whether the line comes to it once.
    pub const fn is_unique(&self) -> bool {
        self.times == 1
    }
}

/// A leap of a fourth or wider.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Leap {
    /// Index of the note leapt to.
    pub note: usize,
    /// The interval, negative downwards.
    pub interval: Interval,
    /// Whether the line turns back after it, or has ended: after a large leap one moves back (common practice).
    pub recovered: bool,
}

impl Leap {
    /// Whether it is augmented, diminished or a seventh: the answer keeps such leaps exactly.
    /// Source: Prout, *Fugue*, §139.
    pub fn is_dissonant(&self) -> bool {
        let simple = self.interval.abs().simple();
        matches!(simple.quality(), Quality::Augmented(_) | Quality::Diminished(_)) || simple.number() == 7
    }

    /// Whether it is wider than a fifth by number.
    pub const fn is_wide(&self) -> bool {
        self.interval.number() > 5
    }
}

/// The lowest and the highest pitch, by sounding height, the earlier of equal ones; a subject has notes.
pub(super) fn extremes(notes: &[Note]) -> (Pitch, Pitch) {
    let first = notes[0].pitch();
    notes.iter().map(|note| note.pitch()).fold((first, first), |(lowest, highest), pitch| {
        let lowest = if pitch.height() < lowest.height() { pitch } else { lowest };
        (lowest, if pitch.height() > highest.height() { pitch } else { highest })
    })
}

/// The notes up to the first breath, at least two.
pub(super) fn head(notes: &[Note]) -> usize {
    let breathes = |pair: &[Note]| pair[0].end() < pair[1].onset() || pair[0].duration() > pair[1].duration();
    let breath = notes.windows(2).skip(1).position(breathes);
    breath.map_or(notes.len(), |pair| pair + 2)
}

/// The leaps of a fourth or wider.
pub(super) fn leaps(notes: &[Note]) -> Vec<Leap> {
    let between = |index: usize| Some(notes.get(index)?.pitch() - notes.get(index.checked_sub(1)?)?.pitch());
    let leap = |index: usize| {
        let interval = between(index).filter(|interval| interval.number() > 3)?;
        let next = between(index + 1);
        let recovered = next
            .is_none_or(|next| next.is_descending() != interval.is_descending() && next != Interval::UNISON);
        Some(Leap { note: index, interval, recovered })
    };
    (1..notes.len()).filter_map(leap).collect()
}

/// The durations that occur, shortest first.
pub(super) fn durations(notes: &[Note]) -> Vec<Time> {
    let mut durations: Vec<Time> = notes.iter().map(|note| note.duration()).collect();
    durations.sort_unstable();
    durations.dedup();
    durations
}
