//! Faults as a pupil would check for them, note against note, without asking the library.

use crate::music::{Clean, Music};
use soggetto::line::Note;
use soggetto::pitch::Pitch;
use soggetto::time::Time;
use std::collections::BTreeSet;

/// A fault: from when to when it lies, and whose it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Fault {
    pub(crate) from: Time,
    pub(crate) to: Time,
    pub(crate) voices: Vec<usize>,
}

impl Fault {
    pub(crate) fn at(time: Time, voices: impl IntoIterator<Item = usize>) -> Self {
        Self { from: time, to: time, voices: voices.into_iter().collect() }
    }
}

/// All faults of a kind that begin in a stretch of music.
pub(crate) type Checker = fn(&Clean, &Music, Time, Time) -> BTreeSet<Fault>;

/// What sounds from one attack or release to the next: the note of each voice, with its index.
pub(crate) struct Moment {
    pub(crate) time: Time,
    pub(crate) notes: Vec<Option<(usize, Note)>>,
}

impl Moment {
    pub(crate) fn sounding(&self) -> impl Iterator<Item = (usize, usize, Note)> + '_ {
        self.notes
            .iter()
            .enumerate()
            .filter_map(|(voice, note)| note.map(|(index, note)| (voice, index, note)))
    }

    fn height(&self, voice: usize) -> Option<i32> {
        Some(self.notes[voice]?.1.pitch().height())
    }

    fn is_struck(&self, voice: usize) -> bool {
        self.notes[voice].is_some_and(|(_, note)| note.onset() == self.time)
    }
}

/// The moments that begin in a stretch, and the one before.
pub(crate) fn moments(music: &Music, from: Time, to: Time) -> Vec<Moment> {
    let notes = music.lines.iter().flatten();
    let mut times: Vec<Time> =
        notes.flat_map(|note| [note.onset(), note.end()]).filter(|it| *it <= to).collect();
    times.sort_unstable();
    times.dedup();
    let first = times.partition_point(|time| *time < from).saturating_sub(1);
    let sounding = |line: &Vec<Note>, time: Time| {
        let index = line.partition_point(|note| note.end() <= time);
        line.get(index).filter(|note| note.onset() <= time).map(|note| (index, *note))
    };
    let moment =
        |&time: &Time| Moment { time, notes: music.lines.iter().map(|line| sounding(line, time)).collect() };
    times[first..].iter().map(moment).collect()
}

/// Pairs of voices, the upper first.
fn pairs(music: &Music) -> impl Iterator<Item = (usize, usize)> + use<> {
    let voices = music.lines.len();
    (0..voices).flat_map(move |upper| (upper + 1..voices).map(move |lower| (upper, lower)))
}

/// The staff steps of an interval within the octave.
fn simple(high: Pitch, low: Pitch) -> i32 {
    (high.staff_step() - low.staff_step()).rem_euclid(7)
}

/// Two pitches, the one that sounds higher first.
fn sorted(one: Pitch, other: Pitch) -> (Pitch, Pitch) {
    if one.height() >= other.height() { (one, other) } else { (other, one) }
}

fn semitones(high: Pitch, low: Pitch) -> i32 {
    (high.height() - low.height()).rem_euclid(12)
}

fn steps(from: Note, to: Note) -> i32 {
    to.pitch().staff_step() - from.pitch().staff_step()
}

/// The note of a voice that follows or precedes without a rest.
fn next(music: &Music, voice: usize, index: usize) -> Option<Note> {
    let (note, next) = (music.lines[voice][index], music.lines[voice].get(index + 1)?);
    (note.end() == next.onset()).then_some(*next)
}

fn previous(music: &Music, voice: usize, index: usize) -> Option<Note> {
    let before = music.lines[voice].get(index.checked_sub(1)?)?;
    (before.end() == music.lines[voice][index].onset()).then_some(*before)
}

/// Whether one of the next four notes of a voice lies a step from a note, heard as its resolution, or
/// the note is a pedal of a bar or more.
pub(crate) fn is_led_on(music: &Music, voice: usize, index: usize) -> bool {
    let line = &music.lines[voice];
    let is_pedal = line[index].duration() >= music.frame().meter().bar();
    is_pedal || line[index + 1..].iter().take(4).any(|after| steps(line[index], *after).abs() == 1)
}

/// Whether a note is reached by step and left by step: a passing or neighbour note.
fn is_passed_through(music: &Music, voice: usize, index: usize) -> bool {
    let note = music.lines[voice][index];
    let is_step = |other: Option<Note>| other.is_some_and(|other| steps(note, other).abs() <= 1);
    is_step(previous(music, voice, index)) && is_step(next(music, voice, index))
}

/// Two voices that move in the same direction from a perfect interval to the same one.
fn consecutives(music: &Music, from: Time, to: Time, (steps, semis): (i32, i32)) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    for pair in moments(music, from, to).windows(2) {
        for (upper, lower) in pairs(music) {
            let note = |moment: &Moment, voice: usize| moment.notes[voice].map(|it| it.1.pitch());
            let (Some(a), Some(b)) = (note(&pair[0], upper), note(&pair[0], lower)) else { continue };
            let (Some(c), Some(d)) = (note(&pair[1], upper), note(&pair[1], lower)) else { continue };
            let is_it = |one, other| {
                let (high, low) = sorted(one, other);
                simple(high, low) == steps && semitones(high, low) == semis
            };
            let moves = (c.height() - a.height()).signum() * (d.height() - b.height()).signum();
            if moves > 0 && is_it(a, b) && is_it(c, d) {
                faults.insert(Fault::at(pair[1].time, [upper, lower]));
            }
        }
    }
    faults
}

pub(crate) fn fifths(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    consecutives(music, from, to, (4, 7))
}

pub(crate) fn octaves(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    consecutives(music, from, to, (0, 0))
}

/// The outer voices leap in the same direction into a fifth or octave, out of an interval of another size and
/// into another chord.
pub(crate) fn direct(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    for pair in moments(music, from, to).windows(2) {
        let outer = |moment: &Moment| {
            let (top, bottom) = (moment.sounding().next()?, moment.sounding().last()?);
            let within = bottom.2.pitch().height()..=top.2.pitch().height();
            moment.sounding().all(|it| within.contains(&it.2.pitch().height())).then_some([top, bottom])
        };
        let (Some([a, b]), Some([c, d])) = (outer(&pair[0]), outer(&pair[1])) else { continue };
        let perfect =
            |high: Pitch, low: Pitch| [(0, 0), (4, 7)].contains(&(simple(high, low), semitones(high, low)));
        let is_same = (a.0, b.0) == (c.0, d.0) && a.0 < b.0;
        let (rise, bass) = (steps(a.2, c.2), steps(b.2, d.2));
        let leaps = rise.abs() >= 2 && rise.signum() == bass.signum();
        let pitches = [a, b, c, d].map(|it| it.2.pitch());
        let arrives = perfect(pitches[2], pitches[3])
            && simple(pitches[0], pitches[1]) != simple(pitches[2], pitches[3]);
        if is_same && leaps && arrives && !is_one_triad(&pitches) {
            faults.insert(Fault::at(pair[1].time, [a.0, b.0]));
        }
    }
    faults
}

fn is_one_triad(pitches: &[Pitch]) -> bool {
    pitches.iter().any(|root| pitches.iter().all(|it| [0, 2, 4].contains(&simple(*it, *root))))
        || pitches.iter().any(|third| pitches.iter().all(|it| [0, 2, 5].contains(&simple(*it, *third))))
}

/// A note struck on the beat a second or seventh from another voice, and reached by leap; the test
/// gets the note and that of the other voice, each with its voice and index.
fn struck_dissonances(
    music: &Music,
    (from, to): (Time, Time),
    is_fault: impl Fn(&Moment, (usize, usize, Note), (usize, usize, Note)) -> bool,
) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    for moment in moments(music, from, to).iter().filter(|it| music.is_pulse(it.time)) {
        for struck in moment.sounding().filter(|it| it.2.onset() == moment.time) {
            let (voice, index, note) = struck;
            let is_leapt = previous(music, voice, index).is_some_and(|before| steps(before, note).abs() >= 2);
            for against in moment.sounding().filter(|it| is_leapt && it.0 != voice) {
                let is_dissonant = [1, 6].contains(&simple(note.pitch(), against.2.pitch()));
                if is_dissonant && is_fault(moment, struck, against) {
                    faults.insert(Fault::at(moment.time, [voice.min(against.0), voice.max(against.0)]));
                }
            }
        }
    }
    faults
}

/// Neither note is led on by step, nor did the other come so.
pub(crate) fn clash(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    struck_dissonances(music, (from, to), |_, (voice, index, _), (other, at, against)| {
        let came_by_leap = previous(music, other, at).is_none_or(|last| steps(last, against).abs() >= 2);
        came_by_leap && !is_led_on(music, voice, index) && !is_led_on(music, other, at)
    })
}

/// The other voice holds its note, and does not fall a step from it as a suspension would.
pub(crate) fn unprepared(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    struck_dissonances(music, (from, to), |moment, (_, _, note), (other, at, against)| {
        against.onset() < moment.time && against.end() >= note.end() && !is_led_on(music, other, at)
    })
}

/// A note held into a second or seventh on the beat that is then left by leap.
pub(crate) fn suspension(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    let moments = moments(music, from, to);
    for pair in moments.windows(2).filter(|pair| music.is_pulse(pair[1].time)) {
        for (voice, index, note) in pair[1].sounding().filter(|it| it.2.onset() < pair[1].time) {
            let Some(after) = next(music, voice, index).filter(|_| !is_led_on(music, voice, index)) else {
                continue;
            };
            for (other, at, against) in pair[1].sounding().filter(|it| it.0 != voice) {
                let is_struck = against.onset() == pair[1].time && against.end() >= after.end();
                let is_struck = is_struck && !is_passed_through(music, other, at);
                let before = pair[0].notes[other].map(|it| it.1.pitch());
                let prepared = before.is_some_and(|it| [0, 2, 4, 5].contains(&simple(note.pitch(), it)));
                if is_struck && prepared && [1, 6].contains(&simple(note.pitch(), against.pitch())) {
                    let voices = vec![voice.min(other), voice.max(other)];
                    faults.insert(Fault { from: pair[1].time, to: after.onset(), voices });
                }
            }
        }
    }
    faults
}

/// Every note in the stretch, with the voice and the index.
fn notes_in(music: &Music, from: Time, to: Time) -> impl Iterator<Item = (usize, usize, Note)> + '_ {
    let all = music.lines.iter().enumerate();
    let all =
        all.flat_map(|(voice, line)| line.iter().enumerate().map(move |(index, note)| (voice, index, *note)));
    all.filter(move |(_, _, note)| from <= note.onset() && note.onset() <= to)
}

pub(crate) fn compass(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    let outside = notes_in(music, from, to).filter(|(voice, _, note)| {
        let compass = music.frame().parts()[*voice].voice.compass();
        let height = note.pitch().height();
        compass
            .is_some_and(|compass| height < compass.lowest().height() || height > compass.highest().height())
    });
    outside.map(|(voice, _, note)| Fault::at(note.onset(), [voice])).collect()
}

/// Moments at which something begins for a pair of voices, and did not hold before.
fn begun(
    music: &Music,
    (from, to): (Time, Time),
    holds: impl Fn(&Moment, usize, usize) -> bool,
) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    for pair in moments(music, from, to).windows(2) {
        for (upper, lower) in pairs(music) {
            if holds(&pair[1], upper, lower) && !holds(&pair[0], upper, lower) {
                faults.insert(Fault::at(pair[1].time, [upper, lower]));
            }
        }
    }
    faults
}

pub(crate) fn crossing(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    begun(music, (from, to), |moment, upper, lower| {
        moment.height(upper).zip(moment.height(lower)).is_some_and(|(a, b)| a < b)
    })
}

/// Neighbouring parts, not the lowest pair, a ninth or more apart while a third one sounds.
pub(crate) fn spacing(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    let lowest = music.lines.len() - 1;
    begun(music, (from, to), |moment, upper, lower| {
        let step = |voice: usize| moment.notes[voice].map(|it| it.1.pitch().staff_step());
        let gap = step(upper).zip(step(lower)).map(|(a, b)| a - b);
        lower == upper + 1
            && are_sung(music, [upper, lower])
            && lower != lowest
            && moment.notes[lowest].is_some()
            && gap.is_some_and(|gap| gap >= 8)
    })
}

/// Whether both of two parts are sung: what is played may lie wide and overlap (common practice).
fn are_sung(music: &Music, voices: [usize; 2]) -> bool {
    voices.into_iter().all(|voice| music.frame().parts()[voice].voice.is_sung())
}

/// Neighbouring sung parts that move together, one beyond the note that the other leaves.
pub(crate) fn overlap(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    for pair in moments(music, from, to).windows(2) {
        let neighbours = pairs(music).filter(|(upper, lower)| lower - upper == 1);
        for (upper, lower) in neighbours.filter(|&(upper, lower)| are_sung(music, [upper, lower])) {
            let both = |moment: &Moment| moment.height(upper).zip(moment.height(lower));
            let (Some((a, b)), Some((c, d))) = (both(&pair[0]), both(&pair[1])) else { continue };
            let both_move = pair[1].is_struck(upper) && pair[1].is_struck(lower);
            if both_move && a >= b && c >= d && (c < b || d > a) {
                faults.insert(Fault::at(pair[1].time, [upper, lower]));
            }
        }
    }
    faults
}

/// A degree in one form in a voice, and struck at once in the other form by another voice.
pub(crate) fn false_relation(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    for pair in moments(music, from, to).windows(2) {
        for (upper, lower) in pairs(music) {
            for (left, reached) in [(upper, lower), (lower, upper)] {
                let (Some((_, old)), Some((_, own))) = (pair[0].notes[left], pair[0].notes[reached]) else {
                    continue;
                };
                let Some((_, new)) = pair[1].notes[reached].filter(|_| pair[1].is_struck(reached)) else {
                    continue;
                };
                let (old, own, new) = (old.pitch(), own.pitch(), new.pitch());
                let is_other = old.letter() == new.letter() && old.alteration() != new.alteration();
                if is_other && own.letter() != new.letter() && pair[1].notes[left].is_some() {
                    faults.insert(Fault::at(pair[1].time, [upper, lower]));
                }
            }
        }
    }
    faults
}

/// An augmented second or fourth from a note to the next.
pub(crate) fn augmented(_: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    for (voice, index, note) in notes_in(music, from, to) {
        let Some(after) = next(music, voice, index) else { continue };
        let interval = (steps(note, after).abs(), (after.pitch().height() - note.pitch().height()).abs());
        if [(1, 3), (3, 6)].contains(&interval) {
            faults.insert(Fault { from: note.onset(), to: after.onset(), voices: vec![voice] });
        }
    }
    faults
}

/// The degree of a pitch in the key, 0 being the tonic, if it is the natural or raised one meant.
pub(crate) fn is_degree(music: &Music, pitch: Pitch, degree: i32, above: i32) -> bool {
    let tonic = music.frame().key().tonic();
    let steps = i32::from(pitch.letter().index()) - i32::from(tonic.letter().index());
    steps.rem_euclid(7) == degree && (pitch.class().semitones() - tonic.semitones()).rem_euclid(12) == above
}

/// Whether a pitch belongs to the tonic chord, major or minor.
fn is_in_tonic(music: &Music, pitch: Pitch) -> bool {
    [(0, 0), (2, 3), (2, 4), (4, 7)].into_iter().any(|(degree, above)| is_degree(music, pitch, degree, above))
}

pub(crate) fn is_leading(music: &Music, pitch: Pitch) -> bool {
    is_degree(music, pitch, 6, 11)
}

/// The leading note in two voices on the beat, over dominant harmony, outside the answers.
pub(crate) fn doubled_leading(clean: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    let moments = moments(music, from, to);
    for moment in moments.iter().filter(|it| music.is_pulse(it.time) && !clean.is_in_answer(it.time)) {
        let dominant = moment.sounding().all(|(_, _, note)| {
            let is = |(degree, above)| is_degree(music, note.pitch(), degree, above);
            [(6, 11), (4, 7), (1, 2), (3, 5)].into_iter().any(is)
        });
        let is_chord = moment.sounding().any(|(_, _, note)| !is_leading(music, note.pitch()));
        for (upper, lower) in pairs(music).filter(|_| dominant && is_chord) {
            let is_it =
                |voice: usize| moment.notes[voice].is_some_and(|(_, note)| is_leading(music, note.pitch()));
            if is_it(upper) && is_it(lower) && (moment.is_struck(upper) || moment.is_struck(lower)) {
                faults.insert(Fault::at(moment.time, [upper, lower]));
            }
        }
    }
    faults
}

/// The leading note in the top voice, left by leap as the bass goes from the dominant to the tonic on a
/// beat and the voices between have or reach notes of its chord.
pub(crate) fn hanging_leading(clean: &Clean, music: &Music, from: Time, to: Time) -> BTreeSet<Fault> {
    let mut faults = BTreeSet::new();
    for pair in moments(music, from, to).windows(2).filter(|pair| !clean.is_in_answer(pair[0].time)) {
        let bass = |moment: &Moment| moment.sounding().last().map(|it| (it.0, it.2.pitch()));
        let (Some((low, from)), Some((same, to))) = (bass(&pair[0]), bass(&pair[1])) else { continue };
        let arrives =
            |it: &(usize, usize, Note)| !pair[1].is_struck(it.0) || is_in_tonic(music, it.2.pitch());
        let cadence = low == same
            && is_degree(music, from, 4, 7)
            && is_degree(music, to, 0, 0)
            && music.is_pulse(pair[1].time)
            && pair[1].sounding().skip(1).all(|it| arrives(&it));
        let Some((voice, index, note)) = pair[0].sounding().next().filter(|it| it.0 != low && cadence) else {
            continue;
        };
        let left = next(music, voice, index).filter(|next| next.onset() == pair[1].time);
        let is_left =
            left.is_some_and(|next| !is_degree(music, next.pitch(), 0, 0) && steps(note, next).abs() >= 2);
        if is_left && is_leading(music, note.pitch()) {
            faults.insert(Fault { from: note.onset(), to: pair[1].time, voices: vec![voice] });
        }
    }
    faults
}
