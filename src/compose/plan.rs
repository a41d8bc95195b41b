//! The plan of the entries: who enters when, with what, in which octave.

use super::error::ComposeError;
use super::frame::Frame;
use super::order::{all_orders, is_complete, recommended_orders};
use super::strand::Strand;
use crate::answer::{Answer, Reading};
use crate::ensemble::Ensemble;
use crate::exposition::Role;
use crate::interval::{Consonance, Interval};
use crate::key::Key;
use crate::line::Line;
use crate::pitch::Pitch;
use crate::subject::Subject;
use crate::time::Time;
use crate::voice::Voice;

/// An entry as planned.
#[derive(Clone, Debug)]
pub(super) struct Planned {
    pub(super) voice: usize,
    pub(super) role: Role,
    pub(super) key: Key,
    /// When it begins, in ticks.
    pub(super) onset: i64,
    pub(super) line: Line,
}

/// The entries of an exposition in order.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    pub(super) frame: Frame,
    pub(super) pickup: Time,
    pub(super) entries: Vec<Planned>,
    /// Ticks from an entry's onset to the end of its last note.
    pub(super) span: i64,
}

impl Plan {
    /// When an entry's last note ends.
    pub(super) fn end_of(&self, entry: usize) -> i64 {
        self.entries[entry].onset + self.span
    }

    /// When the last entry ends.
    pub(super) fn end(&self) -> i64 {
        self.end_of(self.entries.len() - 1)
    }

    /// The longest stretch for which one entry overlaps the next.
    pub(super) fn overlap(&self) -> i64 {
        let overlaps = self.entries.windows(2).map(|pair| pair[0].onset + self.span - pair[1].onset);
        overlaps.max().unwrap_or(0).max(0)
    }
}

/// An entry that opens before the middle of its bar stands in a full bar after rests; a later one
/// is a pickup (common practice).
pub(super) fn pickup(subject: &Subject) -> Time {
    let bar = subject.meter().bar();
    let late = subject.offset().scaled(2, 1).is_ok_and(|twice| twice >= bar);
    if late { bar.checked_sub(subject.offset()).unwrap_or(Time::ZERO) } else { Time::ZERO }
}

/// Plans the entries of a subject and its answer.
pub(super) fn plan(
    subject: &Subject,
    answer: &Answer,
    ensemble: &Ensemble,
    order: Option<&[usize]>,
) -> Result<Plan, ComposeError> {
    let voices = ensemble.voices().len();
    let pickup = pickup(subject);
    let frame = Frame::new(subject, pickup)?;
    let (order, lines) = match order {
        Some(order) if is_complete(order, voices) => {
            let lines = place(subject, answer, ensemble, order).map(|(_, lines)| lines);
            (order.to_vec(), lines.ok_or_else(|| out_of_compass(subject, answer, ensemble))?)
        }
        Some(order) => return Err(ComposeError::Order { order: order.to_vec(), voices }),
        None => choose_order(subject, answer, ensemble)
            .ok_or_else(|| out_of_compass(subject, answer, ensemble))?,
    };
    let first = if pickup == Time::ZERO { frame.ticks(subject.offset()) } else { 0 };
    let span = frame.ticks(subject.line().notes().last().map_or(Time::ZERO, |note| note.end()));
    let mut plan = Plan { frame, pickup, entries: Vec::with_capacity(voices), span };
    for (turn, (voice, line)) in order.into_iter().zip(lines).enumerate() {
        let is_subject = turn % 2 == 0;
        let (role, key) =
            if is_subject { (Role::Subject, subject.key()) } else { (Role::Answer, answer.key()) };
        let onset = match plan.entries.last() {
            None => first,
            Some(before) => next_onset(&plan, before, voice, &line, answer),
        };
        plan.entries.push(Planned { voice, role, key, onset, line });
    }
    Ok(plan)
}

/// The recommended order in which the entries lie best in their voices; any other order only if the
/// voices cannot reach their entries in those.
fn choose_order(subject: &Subject, answer: &Answer, ensemble: &Ensemble) -> Option<(Vec<usize>, Vec<Line>)> {
    let voices = ensemble.voices().len();
    let best = |orders: &mut dyn Iterator<Item = Vec<usize>>| {
        let placed = orders.filter_map(|order| {
            let (cost, lines) = place(subject, answer, ensemble, &order)?;
            Some((cost, order, lines))
        });
        placed.min_by_key(|(cost, _, _)| *cost).map(|(_, order, lines)| (order, lines))
    };
    let mut recommended = recommended_orders(voices).iter().map(|order| order.to_vec());
    best(&mut recommended).or_else(|| best(&mut all_orders(voices).into_iter()))
}

/// When the next entry begins: as soon as the one before has come to its last note, in the same
/// metrical light, unless that note would clash with it, would hold both up for longer than a pulse,
/// or the way back to the tonic needs a link.
///
/// Source: Prout, *Fugue*, §§59, 62, 190-193.
fn next_onset(plan: &Plan, before: &Planned, voice: usize, line: &Line, answer: &Answer) -> i64 {
    let period = plan.frame.entry_period().max(1);
    let last_note = Strand::of_line(&before.line, before.onset, &plan.frame).tones().last().copied();
    let end = before.onset + plan.span;
    let earliest = last_note.map_or(end, |note| note.on);
    let returns = before.role == Role::Answer && answer.readings().last() == Some(&Reading::Tonic);
    let opening = line.notes().first().map(|note| note.pitch());
    let joins =
        last_note.zip(opening).is_some_and(|(last, first)| agree(last.pitch, first, before.voice < voice));
    let aligned = |not_before: i64| {
        before.onset + period * (not_before - before.onset + period - 1).div_euclid(period).max(1)
    };
    let overlapping = aligned(earliest);
    match (returns, joins) {
        (true, _) => aligned(end + 1),
        (false, true) if end - overlapping <= plan.frame.pulse() => overlapping,
        (false, _) => aligned(end),
    }
}

/// Whether the last note of one entry bears the first note of the next.
fn agree(last: Pitch, first: Pitch, last_is_above: bool) -> bool {
    let (upper, lower) = if last_is_above { (last, first) } else { (first, last) };
    let crossed = upper.height() < lower.height();
    let consonance = (upper - lower).consonance();
    !crossed && matches!(consonance, Consonance::Perfect | Consonance::Imperfect)
}

/// Octaves by which an entry may be moved to suit its voice.
const OCTAVES: i32 = 5;

/// The lines of the entries, each in the octave that suits its voice, and what that costs; `None`
/// if some voice cannot reach its entry in any octave.
fn place(
    subject: &Subject,
    answer: &Answer,
    ensemble: &Ensemble,
    order: &[usize],
) -> Option<(i32, Vec<Line>)> {
    let mut cost = 0;
    let mut lines = Vec::with_capacity(order.len());
    let mut middles: Vec<(usize, i32)> = Vec::with_capacity(order.len());
    for (turn, &voice) in order.iter().enumerate() {
        let line = if turn % 2 == 0 { subject.line() } else { answer.line() };
        let (here, line, middle) = best_octave(line, &ensemble.voices()[voice], &middles, voice)?;
        cost += here;
        middles.push((voice, middle));
        lines.push(line);
    }
    Some((cost, lines))
}

/// The octave in which a line lies nearest the middle of a voice's tessitura, voices already placed
/// being kept in their order from top to bottom and neighbours within reach of each other. Heights
/// are doubled to stay whole.
fn best_octave(line: &Line, who: &Voice, placed: &[(usize, i32)], voice: usize) -> Option<(i32, Line, i32)> {
    let compass = who.compass();
    let heights = |line: &Line| {
        let heights = line.notes().iter().map(|note| note.pitch().height());
        heights.clone().min().zip(heights.max())
    };
    let choices = (-OCTAVES..=OCTAVES).filter_map(|octaves| {
        let moved = line.moved(octave_interval(octaves)?).ok()?;
        let (low, high) = heights(&moved)?;
        let reaches = |pitch: Pitch| compass.is_none_or(|compass| compass.contains(pitch));
        if !moved.notes().iter().all(|note| reaches(note.pitch())) {
            return None;
        }
        let middle = low + high;
        let off_centre =
            who.tessitura().map_or(24 * octaves.abs(), |register| (middle - register.twice_middle()).abs());
        let crowded: i32 = placed.iter().map(|&other| distance_cost(other, (voice, middle))).sum();
        Some((off_centre + crowded, moved, middle))
    });
    choices.min_by_key(|(cost, _, _)| *cost)
}

/// What it costs that two entries lie where they do: in the wrong order, or neighbours farther
/// apart than an octave.
fn distance_cost((one, one_middle): (usize, i32), (other, other_middle): (usize, i32)) -> i32 {
    let apart = if one < other { one_middle - other_middle } else { other_middle - one_middle };
    let misplaced = if apart <= 0 { 200 } else { 0 };
    let too_far = if one.abs_diff(other) == 1 { 2 * (apart - 24).max(0) } else { 0 };
    misplaced + too_far
}

/// So many octaves up, or down if negative.
pub(super) fn octave_interval(octaves: i32) -> Option<Interval> {
    Interval::from_steps(7 * octaves, 12 * octaves).ok()
}

fn out_of_compass(subject: &Subject, answer: &Answer, ensemble: &Ensemble) -> ComposeError {
    let fits = |voice: &Voice, line: &Line| best_octave(line, voice, &[], 0).is_some();
    let mut voices = ensemble.voices().iter();
    let stuck = voices.find(|voice| !fits(voice, subject.line()) || !fits(voice, answer.line()));
    let stuck = stuck.or_else(|| ensemble.voices().first());
    ComposeError::Compass {
        voice: stuck.map(|voice| voice.name().to_owned()).unwrap_or_default(),
        compass: stuck.and_then(Voice::compass),
        ensemble: ensemble.name().to_owned(),
    }
}

#[cfg(test)]
mod tests;
