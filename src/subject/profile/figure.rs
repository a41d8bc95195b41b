//! Sequences: figures repeated at once at another pitch.

use crate::line::Note;

/// The longest figure looked for, in notes.
const MAX_FIGURE: usize = 24;

/// A figure repeated at once at another pitch, by the same number of steps each time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Sequence {
    /// Index of the first note of the figure.
    pub first: usize,
    /// Notes of the figure, at least 2.
    pub notes: usize,
    /// How often it sounds, at least 2.
    pub times: usize,
    /// Diatonic steps from one statement to the next, negative downwards.
    pub steps: i32,
}

impl Sequence {
    /// How many notes all statements have together.
    pub const fn total(&self) -> usize {
        self.notes * self.times
    }
}

/// The sequences of a line from left to right, none overlapping another; where several begin
/// together the one that covers most notes, and of those the one of the shortest figure.
///
/// A statement has the steps and the rhythm of the one before, by onsets; whether a step is a tone
/// or a semitone does not matter. A plain scale or a run of equal skips is no sequence, and a figure
/// of two equal notes is one only if it sounds three times.
pub(super) fn sequences(notes: &[Note]) -> Vec<Sequence> {
    let mut found = Vec::new();
    let mut first = 0;
    while first + 3 < notes.len() {
        let longest = (notes.len() - first) / 2;
        let here = (2..=longest.min(MAX_FIGURE)).filter_map(|length| sequence_at(notes, first, length));
        let best = here.min_by_key(|sequence| (usize::MAX - sequence.total(), sequence.notes));
        first += best.map_or(1, |sequence| sequence.total());
        found.extend(best);
    }
    found
}

fn sequence_at(notes: &[Note], first: usize, length: usize) -> Option<Sequence> {
    let figure = notes.get(first..first + length)?;
    let mut statements = notes[first + length..].chunks_exact(length);
    let second = statements.next()?;
    let steps = shift(figure, second).filter(|steps| *steps != 0)?;
    let period = |a: &[Note], b: &[Note]| b[0].onset().checked_sub(a[0].onset()).ok();
    let (mut times, mut before) = (2, second);
    for statement in statements {
        let goes_on =
            shift(before, statement) == Some(steps) && period(before, statement) == period(figure, second);
        if !goes_on {
            break;
        }
        (times, before) = (times + 1, statement);
    }
    let slight = times == 2 && length == 2 && figure[0].duration() == figure[1].duration();
    let whole = &notes[first..first + times * length];
    (!slight && !is_uniform(whole)).then_some(Sequence { first, notes: length, times, steps })
}

/// The steps by which a statement lies above the one before, if it has the same shape and rhythm.
fn shift(before: &[Note], after: &[Note]) -> Option<i32> {
    let steps = |a: &Note, b: &Note| (b.pitch() - a.pitch()).steps();
    let shift = steps(&before[0], &after[0]);
    let same = before.iter().zip(after).all(|(a, b)| {
        let rhythm = |note: &Note, start: &Note| note.onset().checked_sub(start.onset()).ok();
        steps(a, b) == shift && rhythm(a, &before[0]) == rhythm(b, &after[0])
    });
    same.then_some(shift)
}

/// Whether all its steps are the same.
fn is_uniform(notes: &[Note]) -> bool {
    let mut steps = notes.windows(2).map(|pair| (pair[1].pitch() - pair[0].pitch()).steps());
    let first = steps.next();
    steps.all(|other| Some(other) == first)
}
