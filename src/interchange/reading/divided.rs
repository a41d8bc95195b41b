//! Where a part is divided: several notes at once that go on, not a chord now and then.

use super::lines::Sounding;
use crate::ensemble::MAX_VOICES;
use crate::time::Time;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Bars of several notes at once, without a single one between, that make a part divided.
const BARS: i64 = 4;
/// The share of its onsets that makes it so if they come and go: more than one in so many.
const SHARE: usize = 2;

/// How many lines there are at each chord: as many as sound together at more than half of its
/// onsets, or for four bars on end that are more than closing chords, notes that are held counting too; elsewhere one.
pub(super) fn wanted<T: Sounding>(chords: &[Vec<T>], bar: Time) -> Vec<usize> {
    let moments = moments(chords);
    let mut wanted = vec![1; moments.len()];
    for level in 2..=MAX_VOICES {
        let mut divided = false;
        for run in runs(&moments, level, bar) {
            divided = true;
            wanted[run].fill(level);
        }
        if !divided {
            break;
        }
    }
    wanted
}

/// A moment at which notes begin.
#[derive(Clone, Copy, Debug)]
struct Moment {
    /// How many notes sound.
    sounding: usize,
    /// How long until the next, or until the last of them ends.
    lasts: Time,
    /// Whether they begin and end together.
    is_block: bool,
}

fn moments<T: Sounding>(chords: &[Vec<T>]) -> Vec<Moment> {
    let mut held: BinaryHeap<Reverse<Time>> = BinaryHeap::new();
    let mut last = Time::ZERO;
    let nexts = chords.iter().skip(1).map(|chord| chord.first().map(Sounding::onset)).chain([None]);
    let moment = |(chord, next): (&Vec<T>, Option<Time>)| {
        let onset = chord.first().map_or(Time::ZERO, Sounding::onset);
        while held.peek().is_some_and(|end| end.0 <= onset) {
            held.pop();
        }
        held.extend(chord.iter().map(|tone| Reverse(tone.end())));
        last = chord.iter().map(Sounding::end).max().unwrap_or(last).max(last);
        let until = next.map_or(last, |next| next.min(last));
        let is_block = held.len() == chord.len() && chord.iter().all(|tone| tone.end() == chord[0].end());
        Moment { sounding: held.len(), lasts: until.checked_sub(onset).unwrap_or(Time::ZERO), is_block }
    };
    chords.iter().zip(nexts).map(moment).collect()
}

/// The moments at which so many notes go on sounding together.
fn runs(moments: &[Moment], level: usize, bar: Time) -> Vec<std::ops::Range<usize>> {
    let mut start = 0;
    let mut runs = Vec::new();
    for run in moments.chunk_by(|a, b| (a.sounding >= level) == (b.sounding >= level)) {
        let range = start..start + run.len();
        start = range.end;
        if run.first().is_some_and(|moment| moment.sounding >= level) {
            runs.push(range);
        }
    }
    let several: usize = runs.iter().map(std::ops::Range::len).sum();
    let often = several * SHARE > moments.len();
    let long = bar.scaled(BARS, 1).unwrap_or(bar);
    runs.retain(|run| often || (lasting(&moments[run.clone()]) >= long && !is_close(moments, run)));
    runs
}

/// Whether moments are the closing chords of a line.
fn is_close(moments: &[Moment], run: &std::ops::Range<usize>) -> bool {
    run.end == moments.len() && moments[run.clone()].iter().all(|moment| moment.is_block)
}

fn lasting(moments: &[Moment]) -> Time {
    moments.iter().map(|moment| moment.lasts).fold(Time::ZERO, sum)
}

fn sum(total: Time, part: Time) -> Time {
    total.checked_add(part).unwrap_or(total)
}
