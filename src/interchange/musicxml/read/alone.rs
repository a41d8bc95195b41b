//! Whose line a voice is that is alone on its staff.
//!
//! Keyboard music gives the first voice number of a staff to whatever sounds there alone. When a
//! second voice joins, the upper one is the first, though it may be the lower one that has sounded so
//! far. The line that was alone then goes on in the voice that takes it up: the one to which it is
//! tied, or that goes on without a rest, or by the smaller leap (common practice of engraving). Where
//! the second voice rests in so many words, the first is what it says, unless that makes no sense.
//!
//! A voice that begins as the line that was alone began has imitated it: that is a new entry, so the
//! line goes on in another voice, however near the entry lies (common practice of imitative music).

use super::super::super::reading::Sounding;
use super::bar::Bar;
use super::voices::Tone;
use crate::time::Time;
use std::collections::BTreeMap;
use std::ops::Range;

/// Costs in semitones: the widest leap that counts,
const WIDEST: i32 = 12;
/// a rest between,
const REST: i32 = 12;
/// no note at all.
const SILENT: i32 = 36;
/// A line goes on in a voice that has rests written meanwhile only if that is cheaper by more than this.
const RESTING: i32 = 20;
/// A tie tells more than anything else.
const TIED: i32 = -100;
/// An imitation is told by at least so many notes, fewer are a chance likeness,
const FEWEST: usize = 4;
/// by at most so many: what follows may be altered freely;
const MOST: usize = 8;
/// its leaps are those of the model or wider or narrower by a tone, as a tonal answer has a fourth for a
/// fifth.
const ALTERED: i32 = 2;

/// The voices of a part, what was alone on a staff in the voice where it goes on. `starts` are the
/// beginnings of the bars.
pub(super) fn told_apart(
    mut voices: BTreeMap<String, Vec<Tone>>,
    bars: &[Bar],
    starts: &[Time],
) -> BTreeMap<String, Vec<Tone>> {
    let rests = |voice: &String, run: &Range<usize>| {
        bars.get(run.clone()).is_some_and(|bars| bars.iter().any(|bar| bar.resting.contains(voice.as_str())))
    };
    for names in staves(&voices).into_values() {
        let [first, others @ ..] = &names[..] else { continue };
        if others.is_empty() {
            continue;
        }
        for run in runs(&voices, &names, starts) {
            let price = |voice: &String| {
                let bias = if voice != first && rests(voice, &run) { RESTING } else { 0 };
                bias + cost(&voices, (first, voice), &run, starts)
            };
            let best = others.iter().map(|voice| (price(voice), voice)).min();
            if let Some((_, voice)) = best.filter(|(other, _)| *other < price(first)) {
                move_bars(&mut voices, (first, voice), &run, starts);
            }
        }
    }
    voices
}

/// The names of the voices on each staff, the first voice first.
fn staves(voices: &BTreeMap<String, Vec<Tone>>) -> BTreeMap<u8, Vec<String>> {
    let mut staves: BTreeMap<u8, Vec<String>> = BTreeMap::new();
    for (name, tones) in voices {
        if let Some(tone) = tones.first() {
            staves.entry(tone.staff).or_default().push(name.clone());
        }
    }
    for names in staves.values_mut() {
        names.sort_by_key(|name| (name.parse::<u32>().unwrap_or(u32::MAX), name.clone()));
    }
    staves
}

/// The tones of a voice that begin within some bars.
fn within<'a>(tones: &'a [Tone], bars: &Range<usize>, starts: &[Time]) -> &'a [Tone] {
    let Some(&from) = starts.get(bars.start) else { return &[] };
    let first = if bars.start == 0 { 0 } else { tones.partition_point(|tone| tone.onset() < from) };
    let end = starts.get(bars.end).map_or(tones.len(), |&to| tones.partition_point(|tone| tone.onset() < to));
    tones.get(first..end).unwrap_or(&[])
}

/// The bars, in runs, in which the first voice of a staff is alone, before or after a bar in which it
/// is not.
fn runs(voices: &BTreeMap<String, Vec<Tone>>, names: &[String], starts: &[Time]) -> Vec<Range<usize>> {
    let sounds = |name: &String, bar: usize| {
        voices.get(name).is_some_and(|tones| !within(tones, &(bar..bar + 1), starts).is_empty())
    };
    let alone = |bar: usize| sounds(&names[0], bar) && !names.iter().skip(1).any(|name| sounds(name, bar));
    let bars: Vec<usize> = (0..starts.len()).collect();
    let mut runs = Vec::new();
    for run in bars.chunk_by(|one, next| alone(*one) == alone(*next)) {
        if let (Some(&first), Some(&last)) = (run.first(), run.last())
            && alone(first)
        {
            runs.push(first..last + 1);
        }
    }
    runs
}

/// What it costs if the bars in which one voice is alone belong to another.
fn cost(
    voices: &BTreeMap<String, Vec<Tone>>,
    (first, voice): (&String, &String),
    run: &Range<usize>,
    starts: &[Time],
) -> i32 {
    let tones = |name: &String, bars: Range<usize>| {
        voices.get(name).map_or(&[][..], |tones| within(tones, &bars, starts))
    };
    let alone = tones(first, run.clone());
    let before = run.start.checked_sub(1).map(|bar| bar..bar + 1);
    let into = before.map_or(0, |bars| step(tones(voice, bars).last(), alone.first()));
    let after = tones(voice, run.end..starts.len());
    let joins = tones(voice, run.end..run.end + 1).first();
    let out = match step(alone.last(), joins) {
        _ if run.end >= starts.len() => 0,
        leap if leap != TIED && imitates(after, alone) => SILENT,
        leap => leap,
    };
    into + out
}

/// Whether a voice begins with the rhythm and, but for what a tonal answer alters, with the leaps with
/// which its model begins.
fn imitates<T: Sounding>(voice: &[T], model: &[T]) -> bool {
    let count = model.len().min(MOST);
    let (Some(voice), Some(model)) = (voice.get(..count), model.get(..count)) else { return false };
    let pairs = voice.windows(2).zip(model.windows(2));
    count >= FEWEST && pairs.map(|(pair, other)| (moved(pair), moved(other))).all(are_alike)
}

/// How long after a note the next begins, and how many semitones higher it is.
type Move = (Time, i32);

/// How the line moves from the first of two notes to the second.
fn moved<T: Sounding>(pair: &[T]) -> Option<Move> {
    let [from, to] = pair else { return None };
    Some((to.onset().checked_sub(from.onset()).ok()?, to.height() - from.height()))
}

/// Whether two moves take the same time, their leaps being alike enough.
fn are_alike((one, other): (Option<Move>, Option<Move>)) -> bool {
    let Some(((time, leap), (other_time, other_leap))) = one.zip(other) else { return false };
    time == other_time && (leap - other_leap).abs() <= ALTERED
}

/// What it costs to go from one note to the next.
fn step(from: Option<&Tone>, to: Option<&Tone>) -> i32 {
    let (Some(from), Some(to)) = (from, to) else { return SILENT };
    let leap = (to.height() - from.height()).abs();
    let rest = from.end() < to.onset();
    match (from.is_tied_on(), leap, rest) {
        (true, 0, false) => TIED,
        _ => leap.min(WIDEST) + if rest { REST } else { 0 },
    }
}

fn move_bars(
    voices: &mut BTreeMap<String, Vec<Tone>>,
    (first, voice): (&String, &String),
    run: &Range<usize>,
    starts: &[Time],
) {
    let Some(tones) = voices.get_mut(first) else { return };
    let moved = within(tones, run, starts).to_vec();
    let Some(from) = moved.first().map(Sounding::onset) else { return };
    let begin = tones.partition_point(|tone| tone.onset() < from);
    tones.drain(begin..begin + moved.len());
    let Some(joined) = voices.get_mut(voice) else { return };
    let at = joined.partition_point(|tone| tone.onset() < from);
    joined.splice(at..at, moved);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;

    /// Whether the first line begins as the second does.
    fn begins_as(voice: &str, model: &str) -> bool {
        let [voice, model] = [voice, model].map(|text| text.parse::<Line>().unwrap());
        imitates(voice.notes(), model.notes())
    }

    #[test]
    fn real_and_tonal_answers_imitate() {
        let subject = "C4:1/4 G4 F4 E4 D4:1/2 G4:1/2";
        assert!(begins_as("R:2 G4:1/4 D5 C5 B4 A4:1/2 D5:1/2 C5:1", subject), "real");
        assert!(begins_as("R:2 G4:1/4 C5 C5 B4 A4:1/2 D5:1/2 C5:1", subject), "tonal");
    }

    #[test]
    fn other_rhythms_and_other_leaps_do_not_imitate() {
        let subject = "C4:1/4 G4 F4 E4 D4:1/2 G4:1/2";
        assert!(!begins_as("R:2 G4:1/4 D5:1/2 C5:1/4 B4 A4 D5:1/2", subject));
        assert!(!begins_as("R:2 G4:1/4 D5 C5 B4 A4:1/2 C#5:1/2 F5:1", "C4:1/4 G4 F4 E4 D4:1/2 A4:1/2"));
        assert!(!begins_as("R:2 G4:1/4 B4 C5 B4 A4:1/2 D5:1/2", subject));
    }

    #[test]
    fn few_notes_are_a_chance_likeness_and_later_ones_may_differ() {
        assert!(!begins_as("G4:1/4 D5 C5", "C4:1/4 G4 F4"));
        assert!(!begins_as("G4:1/4 D5 C5", "C4:1/4 G4 F4 E4"));
        assert!(begins_as("G4:1/4 D5 C5 B4", "C4:1/4 G4 F4 E4"));
        let begun = "G4:1/4 D5 C5 B4 A4 G4 F#4 G4";
        assert!(begins_as(&format!("{begun} C6:1/4"), "C4:1/4 G4 F4 E4 D4 C4 B3 C4 C3:1/2"));
    }
}
