//! What stands in a statement for each note of a theme.
//!
//! Notes are paired by onset, so a wrong note, an ornament or a note left out costs what it costs and
//! does not put the rest out of step. One statement may write out a trill where another holds the note,
//! or strike again what another ties: notes no more than a step from the one that they adorn are an
//! ornament, whichever of the two has them. A note too many beside one that is missing is that one,
//! early or late; if it is the right one, the ear knows it again by its interval.

use super::strand::Tone;
use super::theme::Point;
use std::ops::Range;

/// A note between two of the theme: a sign that the rhythm is another one.
const EXTRA: u32 = 2;
/// Notes between two of the theme that adorn the first of them.
const ADORNED: u32 = 1;
/// The statement goes on in another octave, so that the leap there is another one.
const MOVED: u32 = 5;
/// Steps in an octave.
const OCTAVE_STEPS: i32 = 7;
/// So many notes of a statement at most are adorned or held otherwise than in the theme; not counting
/// those that one of the two merely strikes again.
const ORNAMENTS: u32 = 2;
/// A statement goes on in another octave, or has a note there, so often at most: once out and back.
const OCTAVES: u32 = 2;

/// What stands for a note of the theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Partner {
    /// A note so many steps away.
    At(i32),
    /// The right note, so many steps away, early or late.
    Displaced(i32),
    /// The note before is held, which this one would adorn.
    Held,
    /// None.
    Missing,
}

impl Partner {
    pub(super) const fn distance(self) -> Option<i32> {
        match self {
            Self::At(steps) => Some(steps),
            Self::Displaced(_) | Self::Held | Self::Missing => None,
        }
    }
}

/// Whether a note adorns another: a step away at most.
pub(super) const fn adorns(note: i32, other: i32) -> bool {
    (note - other).abs() <= 1
}

/// Looks for what begins when the notes of a theme are due, in whatever octave.
#[derive(Clone, Copy, Debug)]
pub(super) struct Onsets<'t> {
    tones: &'t [Tone],
    /// The index of the next note of the voice.
    next: usize,
    /// The step of the last note of the theme that has a partner.
    paired: i32,
}

impl<'t> Onsets<'t> {
    /// The first note of a theme has a note of a voice for its partner, so many steps away.
    pub(super) fn begin(first: usize, head: &Point, tones: &'t [Tone]) -> Option<(Self, i32)> {
        let distance = tones.get(first)?.step - head.step;
        Some((Self { tones, next: first + 1, paired: head.step }, distance))
    }

    /// What stands for the next note of the theme, which is due on a tick.
    pub(super) fn partner(&mut self, point: &Point, due: i64) -> Partner {
        while self.tones.get(self.next).is_some_and(|tone| tone.on < due) {
            self.next += 1;
        }
        match self.tones.get(self.next).filter(|tone| tone.on == due) {
            Some(tone) => {
                (self.next, self.paired) = (self.next + 1, point.step);
                Partner::At(tone.step - point.step)
            }
            None if self.tones[self.next - 1].off > due && adorns(point.step, self.paired) => Partner::Held,
            None => Partner::Missing,
        }
    }
}

/// Counts, note by note, how many must be wrong or missing at least: the right ones lie at two neighbouring
/// distances, in whatever octave.
#[derive(Debug, Default)]
pub(super) struct Flaws {
    /// How many notes lie at each distance or the next above, octaves apart.
    levels: [u32; 7],
    /// How many lie at two neighbouring distances at most.
    right: u32,
    /// How many there are, the missing ones included.
    all: u32,
}

impl Flaws {
    /// Counts what stands for a note; returns how many are wrong or missing at least.
    pub(super) fn with(&mut self, partner: Partner) -> u32 {
        if let Partner::At(distance) = partner {
            let level = usize::try_from(distance.rem_euclid(OCTAVE_STEPS)).unwrap_or(0);
            let below = level.checked_sub(1).unwrap_or(6);
            for level in [level, below] {
                self.levels[level] += 1;
                self.right = self.right.max(self.levels[level]);
            }
        }
        self.all += u32::from(!matches!(partner, Partner::Held));
        self.all - self.right
    }
}

/// In which octave a statement goes on.
#[derive(Debug)]
struct Octaves {
    /// The last distance.
    before: i32,
    shift: i32,
    /// How often the statement goes on in another octave.
    changes: u32,
    /// The shift before the last note, if that left it.
    left: Option<i32>,
    /// By how many octaves the note before alone was astray, as this one shows.
    stray: i32,
}

impl Octaves {
    /// The distance without the octaves by which the statement has moved on the way. If that goes back at
    /// once, it has not moved: a single note was astray.
    fn hear(&mut self, distance: i32) -> i32 {
        let beyond = distance - OCTAVE_STEPS * self.shift - self.before;
        let (left, from) = (self.left.take(), self.shift);
        if matches!(beyond.abs(), 6..=8) {
            self.shift += beyond.signum();
        }
        self.stray = if left == Some(self.shift) { from - self.shift } else { 0 };
        if self.stray != 0 {
            self.changes -= 1;
        } else if self.shift != from {
            (self.changes, self.left) = (self.changes + 1, Some(from));
        }
        self.before = distance - OCTAVE_STEPS * self.shift;
        self.before
    }
}

/// What has been found amiss so far.
#[derive(Debug, Default)]
struct Tally {
    extra: u32,
    /// Notes that are adorned, and of them those that are struck again.
    adorned: u32,
    struck_again: u32,
    held: u32,
}

/// The pairing of a theme with the notes of a voice, note by note.
#[derive(Debug)]
pub(super) struct Pairing<'t> {
    onsets: Onsets<'t>,
    /// The index after the last note that has a partner.
    end: usize,
    last: Partner,
    /// The step of the note that was due last.
    due: i32,
    /// The steps to the note before the last one, if it shows now that it was late.
    late: Option<i32>,
    octaves: Octaves,
    tally: Tally,
}

impl<'t> Pairing<'t> {
    /// Pairs the first note of a theme with a note of a voice.
    pub(super) fn begin(first: usize, head: &Point, tones: &'t [Tone]) -> Option<Self> {
        let (onsets, before) = Onsets::begin(first, head, tones)?;
        let octaves = Octaves { before, shift: 0, changes: 0, left: None, stray: 0 };
        let (last, tally) = (Partner::At(before), Tally::default());
        Some(Self { onsets, end: first + 1, last, due: head.step, late: None, octaves, tally })
    }

    /// What stands for the note paired last.
    pub(super) const fn last(&self) -> Partner {
        self.last
    }

    /// By how many steps the partner before the last one was astray: whole octaves, usually none.
    pub(super) const fn stray(&self) -> i32 {
        OCTAVE_STEPS * self.octaves.stray
    }

    /// The steps to the note before the last one, if that was missing until this one showed that it was late.
    pub(super) const fn late(&self) -> Option<i32> {
        self.late
    }

    /// The index after the last note that has a partner.
    pub(super) const fn end(&self) -> usize {
        self.end
    }

    /// What the notes that were left over cost.
    pub(super) const fn surplus(&self) -> u32 {
        EXTRA * self.tally.extra + ADORNED * self.tally.adorned + MOVED * self.octaves.changes
    }

    /// Whether more is left over, held or moved than in an entry that may have so many flaws.
    pub(super) const fn is_hopeless(&self, allowed: u32) -> bool {
        let Tally { extra, adorned, struck_again, held } = self.tally;
        extra > allowed + 1 || adorned - struck_again + held > ORNAMENTS || self.octaves.changes > OCTAVES
    }

    /// Pairs the next note of the theme, which is due on a tick.
    pub(super) fn go_on(&mut self, point: &Point, due: i64) {
        let since = self.onsets.next;
        self.octaves.stray = 0;
        let heard = self.onsets.partner(point, due);
        let between = since..self.onsets.next - usize::from(heard.distance().is_some());
        self.late = if self.last == Partner::Missing { self.displaced(&between, self.due) } else { None };
        let early = self.displaced(&between, point.step).filter(|_| self.last != Partner::Missing);
        let partner = match (heard, early) {
            (Partner::At(distance), _) => {
                self.end = self.onsets.next;
                Partner::At(self.octaves.hear(distance))
            }
            (Partner::Missing, Some(distance)) => Partner::Displaced(distance),
            (partner, _) => partner,
        };
        if self.late.is_none() && !matches!(partner, Partner::Displaced(_)) {
            self.count_between(between, partner);
        }
        let begins = partner == Partner::Held && self.last != Partner::Held;
        self.tally.held += u32::from(begins && point.step != self.onsets.paired);
        (self.last, self.due) = (partner, point.step);
    }

    /// The steps up to a single note between two that are due, if it is the right one for a step of the theme.
    fn displaced(&self, between: &Range<usize>, step: i32) -> Option<i32> {
        let [tone] = self.onsets.tones.get(between.clone())? else { return None };
        let distance = tone.step - step - OCTAVE_STEPS * self.octaves.shift;
        ((distance - self.octaves.before).abs() <= 1).then_some(distance)
    }

    /// Counts the notes before the one that was due.
    fn count_between(&mut self, between: Range<usize>, partner: Partner) {
        if between.is_empty() {
            return;
        }
        let tones = self.onsets.tones;
        let (step, notes) = (tones[between.start - 1].step, &tones[between]);
        if notes.iter().all(|tone| adorns(tone.step, step)) {
            self.tally.adorned += 1;
            self.tally.struck_again += u32::from(notes.iter().all(|tone| tone.step == step));
        } else if notes.len() > 1 || ![partner, self.last].contains(&Partner::Missing) {
            self.tally.extra += u32::try_from(notes.len()).unwrap_or(u32::MAX / 4);
        }
    }
}
