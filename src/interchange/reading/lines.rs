//! From the notes of one voice of a file to lines: chords that come and go, notes that overlap.
//!
//! A part of a score is one line; a file may let it sound several notes at once. Where they go on
//! (see [`wanted`]) they are as many voices. Where they come and go one note is kept for the line:
//! - a note that is held or tied keeps the line while others begin and end beside it; one that ends
//!   before they do is cut where they begin, as legato is;
//! - of notes that begin together the outermost stands, the top one in the highest voice and the
//!   bottom one in the lowest, as listeners take them to be the melody and the bass; but the leaps
//!   to and from it may be wider by no more than an octave than those of the nearest note. In a
//!   voice between the nearest stands.
//!
//! Source: common practice of reducing double stops and closing chords to the parts they belong to.

use super::ReadRemark;
use super::divided::wanted;
use crate::time::Time;
use std::cmp::Reverse;

/// By how many semitones the leaps to and from an outermost note may be wider than the nearest.
const LEEWAY: i32 = 12;
/// What it costs to cross a voice that is held, in semitones.
const CROSSING: i32 = 24;

/// A note of a voice.
pub(in super::super) trait Sounding: Copy {
    /// When it begins.
    fn onset(&self) -> Time;
    /// When it ends.
    fn end(&self) -> Time;
    /// Semitones above some fixed pitch.
    fn height(&self) -> i32;
    /// Ends the note sooner.
    fn cut(&mut self, end: Time);
}

/// Which of the notes that sound together a voice keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Rank {
    /// The highest voice: the top one.
    Top,
    /// A voice between: the nearest one.
    Inner,
    /// The lowest voice: the bottom one.
    Bottom,
}

impl Rank {
    /// The rank of one of so many voices, counted from the top.
    pub(in super::super) const fn of(index: usize, count: usize) -> Self {
        match index {
            0 => Self::Top,
            _ if index + 1 == count => Self::Bottom,
            _ => Self::Inner,
        }
    }
}

/// How many notes, and when the first of them begins.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in super::super) struct Tally {
    pub(in super::super) count: usize,
    pub(in super::super) first: Time,
}

impl Tally {
    pub(super) fn add(&mut self, count: usize, at: Time) {
        if self.count == 0 && count > 0 {
            self.first = at;
        }
        self.count += count;
    }
}

/// The lines of a voice, the highest first.
#[derive(Clone, Debug)]
pub(in super::super) struct Lines<T> {
    pub(in super::super) each: Vec<Vec<T>>,
    /// Which of them is that of the voice itself; the others join it where it is divided.
    pub(in super::super) main: usize,
    pub(in super::super) left_out: Tally,
    pub(in super::super) cut: Tally,
}

impl<T> Lines<T> {
    /// What became of the notes that found no line, in a voice of this name.
    pub(in super::super) fn remarks(&self, voice: &str, bar: impl Fn(Time) -> i64) -> Vec<ReadRemark> {
        let name = || voice.to_owned();
        let Self { left_out, cut, .. } = self;
        let chords = (left_out.count > 0).then(|| {
            let (bar, count) = (bar(left_out.first), left_out.count);
            ReadRemark::LeftOut { voice: name(), bar, count }
        });
        let overlaps = (cut.count > 0).then(|| ReadRemark::CutNotes {
            voice: name(),
            bar: bar(cut.first),
            count: cut.count,
        });
        chords.into_iter().chain(overlaps).collect()
    }
}

/// The lines of these notes, in music with bars of this length.
pub(in super::super) fn lines<T: Sounding>(tones: Vec<T>, rank: Rank, bar: Time) -> Lines<T> {
    if is_one_line(&tones) {
        return Lines { each: vec![tones], main: 0, left_out: Tally::default(), cut: Tally::default() };
    }
    let chords = chords(tones);
    let wanted = wanted(&chords, bar);
    let count = wanted.iter().copied().max().unwrap_or(1);
    let main = if rank == Rank::Bottom { count - 1 } else { 0 };
    let lines =
        Lines { each: vec![Vec::new(); count], main, left_out: Tally::default(), cut: Tally::default() };
    let mut builder = Builder { rank, made: lines };
    let nexts = chords.iter().skip(1).map(Vec::as_slice).chain([&[][..]]);
    for ((chord, next), &wanted) in chords.iter().zip(nexts).zip(&wanted) {
        builder.place(chord, next, wanted);
    }
    builder.made
}

/// Whether the notes follow one another without sounding together, as in most voices.
fn is_one_line<T: Sounding>(tones: &[T]) -> bool {
    tones.windows(2).all(|pair| pair[0].onset() < pair[1].onset() && pair[0].end() <= pair[1].onset())
}

/// The notes that begin together, the highest first; of a unison the longest.
fn chords<T: Sounding>(mut tones: Vec<T>) -> Vec<Vec<T>> {
    tones.sort_by_key(|tone| (tone.onset(), Reverse(tone.height()), Reverse(tone.end())));
    let mut chords: Vec<Vec<T>> = Vec::new();
    for tone in tones {
        match chords.last_mut().filter(|chord| chord.iter().all(|other| other.onset() == tone.onset())) {
            Some(chord) if chord.last().is_some_and(|other| other.height() == tone.height()) => {}
            Some(chord) => chord.push(tone),
            None => chords.push(vec![tone]),
        }
    }
    chords
}

struct Builder<T> {
    rank: Rank,
    made: Lines<T>,
}

impl<T: Sounding> Builder<T> {
    /// Puts the notes of a chord into the lines wanted there, and counts those that find none.
    fn place(&mut self, chord: &[T], next: &[T], wanted: usize) {
        let Some(onset) = chord.first().map(Sounding::onset) else { return };
        let count = self.made.each.len();
        let open = if self.rank == Rank::Bottom { count - wanted..count } else { 0..wanted };
        let mut free: Vec<usize> = open.clone().filter(|&line| !self.is_held(line, onset)).collect();
        if free.is_empty() {
            let last = chord.iter().map(Sounding::end).max().unwrap_or(onset);
            free.extend(open.min_by_key(|&line| self.end(line)).filter(|&line| self.end(line) < last));
            for line in &free {
                self.made.each[*line].last_mut().into_iter().for_each(|held| held.cut(onset));
                self.made.cut.add(1, onset);
            }
        }
        let matched = self.matched(chord, next, &free, wanted == 1);
        self.made.left_out.add(chord.len() - matched.len(), onset);
        for (note, line) in matched {
            self.made.each[line].push(chord[note]);
        }
    }

    fn end(&self, line: usize) -> Time {
        self.made.each[line].last().map_or(Time::ZERO, Sounding::end)
    }

    fn is_held(&self, line: usize, onset: Time) -> bool {
        self.end(line) > onset
    }

    /// As many notes as find a line, none crossing, at the least cost: pairs of note and line.
    fn matched(&self, chord: &[T], next: &[T], free: &[usize], alone: bool) -> Vec<(usize, usize)> {
        let width = free.len() + 1;
        // The most notes placed (negative) and the least cost of the notes and lines so far.
        let mut best = vec![(0_i64, 0_i64); (chord.len() + 1) * width];
        let pair = |note: usize, line: usize| i64::from(self.cost(chord, next, note, free[line], alone));
        for (note, line) in (1..=chord.len()).flat_map(|note| (1..width).map(move |line| (note, line))) {
            let (placed, cost) = best[(note - 1) * width + line - 1];
            let both = (placed - 1, cost + pair(note - 1, line - 1));
            best[note * width + line] =
                both.min(best[(note - 1) * width + line]).min(best[note * width + line - 1]);
        }
        let (mut note, mut line, mut matched) = (chord.len(), width - 1, Vec::new());
        while note > 0 && line > 0 {
            let here = best[note * width + line];
            if here == best[(note - 1) * width + line] {
                note -= 1;
            } else if here == best[note * width + line - 1] {
                line -= 1;
            } else {
                (note, line) = (note - 1, line - 1);
                matched.push((note, free[line]));
            }
        }
        matched.reverse();
        matched
    }

    /// What it costs to put a note of a chord in a line: its leap from the note before, and where the
    /// voice is alone its leap to what follows and the leeway of the outermost.
    fn cost(&self, chord: &[T], next: &[T], note: usize, line: usize, alone: bool) -> i32 {
        let tone = chord[note];
        let leap = |other: &T| (other.height() - tone.height()).abs();
        let from = self.made.each[line].last().map_or(0, leap);
        if !alone {
            return from + CROSSING * self.crossed(tone, line);
        }
        let outermost = match self.rank {
            Rank::Top => note == 0,
            Rank::Inner => true,
            Rank::Bottom => note + 1 == chord.len(),
        };
        from + next.iter().map(leap).min().unwrap_or(0) + if outermost { 0 } else { LEEWAY }
    }

    /// How many held notes of other lines a note would cross in a line.
    fn crossed(&self, tone: T, line: usize) -> i32 {
        let held = self.made.each.iter().enumerate().filter(|(other, _)| self.is_held(*other, tone.onset()));
        let crossed = held.filter(|(other, notes)| {
            notes.last().is_some_and(|held| {
                if *other < line { tone.height() > held.height() } else { tone.height() < held.height() }
            })
        });
        i32::try_from(crossed.count()).unwrap_or(i32::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Line, Note};

    impl Sounding for Note {
        fn onset(&self) -> Time {
            Note::onset(*self)
        }

        fn end(&self) -> Time {
            Note::end(*self)
        }

        fn height(&self) -> i32 {
            self.pitch().height()
        }

        fn cut(&mut self, end: Time) {
            *self = Note::new(self.pitch(), Note::onset(*self), end.checked_sub(Note::onset(*self)).unwrap());
        }
    }

    /// The lines that the notes of these texts make in one voice in 4/4, and what was left out and cut.
    fn made(texts: &[&str], rank: Rank) -> (Vec<String>, usize, usize) {
        let parsed: Vec<Line> = texts.iter().map(|text| text.parse().unwrap()).collect();
        let notes = parsed.iter().flat_map(|line| line.notes().to_vec()).collect();
        let made = lines(notes, rank, Time::WHOLE);
        let text = |line: &Vec<Note>| {
            let end = line.last().map_or(Time::ZERO, Sounding::end);
            Line::from_notes(line.iter().copied(), end).unwrap().to_string()
        };
        (made.each.iter().map(text).collect(), made.left_out.count, made.cut.count)
    }

    fn one(line: &str, left_out: usize, cut: usize) -> (Vec<String>, usize, usize) {
        (vec![line.to_owned()], left_out, cut)
    }

    #[test]
    fn outermost_note_of_a_chord_stands_in_the_outer_voices_and_the_nearest_between() {
        let texts = ["C4:1/4 E4 D4:1/2", "R:1/2 G3", "R:1/2 G4"];
        let kept = |last: &str| one(&format!("C4:1/4 E4:1/4 {last}:1/2"), 2, 0);
        assert_eq!(made(&texts, Rank::Top), kept("G4"));
        assert_eq!(made(&texts, Rank::Bottom), kept("G3"));
        assert_eq!(made(&texts, Rank::Inner), kept("D4"));
    }

    #[test]
    fn outermost_note_beyond_the_leeway_does_not_stand() {
        let texts = ["C4:1/4 D4 E4 F4", "R:1/2 E5:1/4"];
        assert_eq!(made(&texts, Rank::Top), one("C4:1/4 D4:1/4 E4:1/4 F4:1/4", 1, 0));
        let texts = ["C4:1/4 D4 E4 F4", "R:1/2 G4:1/4"];
        assert_eq!(made(&texts, Rank::Top), one("C4:1/4 D4:1/4 G4:1/4 F4:1/4", 1, 0));
    }

    #[test]
    fn held_note_keeps_the_line() {
        let texts = ["C4:1/4 B3:3/4 C4:1 D4", "R:1/2 D4:1/4 D4"];
        assert_eq!(made(&texts, Rank::Top), one("C4:1/4 B3:3/4 C4:1 D4:1", 2, 0));
    }

    #[test]
    fn note_that_ends_after_the_next_has_begun_is_cut() {
        let texts = ["C4:5/16", "R:1/4 D4:1/4 E4:1/2"];
        assert_eq!(made(&texts, Rank::Top), one("C4:1/4 D4:1/4 E4:1/2", 0, 1));
    }

    #[test]
    fn part_divided_for_four_bars_is_two_lines() {
        let three = ["C5:1 D5 E5 D5 C5:1/2 C5 C5 C5 C5 C5 C5 C5", "R:1 F4 G4 F4"];
        assert_eq!(made(&three, Rank::Top).1, 3);
        let four = ["C5:1 D5 E5 D5 C5 C5:1/2 C5 C5 C5 C5 C5 C5 C5", "R:1 F4 G4 F4 E4"];
        let (lines, left_out, _) = made(&four, Rank::Top);
        assert_eq!((lines.len(), lines[1].as_str(), left_out), (2, "R:1 F4:1 G4:1 F4:1 E4:1", 0));
        let bass = ["C3:1 D3 E3 D3 C3 C3:1/2 C3 C3 C3 C3 C3 C3 C3", "R:1 F3 G3 F3 E3"];
        let (lines, ..) = made(&bass, Rank::Bottom);
        assert_eq!((lines.len(), lines[0].as_str()), (2, "R:1 F3:1 G3:1 F3:1 E3:1"));
    }

    /// Four closing chords once made a melody four voices.
    #[test]
    fn closing_chords_divide_no_part() {
        let melody = "C5:1/2 D5 E5 D5 C5 D5 E5 D5 C5 B4 C5:1 D5 C5 B4";
        let texts = [melody, "R:5 E4:1 F4 E4 D4"];
        assert_eq!(made(&texts, Rank::Top).1, 4);
        let moving = [melody, "R:5 E4:1 F4 E4:1/2 D4 D4:1"];
        assert_eq!(made(&moving, Rank::Top).0.len(), 2);
    }

    #[test]
    fn notes_together_at_most_onsets_are_as_many_lines() {
        let texts = ["E5:1/2 D5 C5", "C5:1/4 C5 B4:1/2 C4"];
        assert_eq!(made(&texts, Rank::Top).0, ["E5:1/2 D5:1/2 C5:1/2", "C5:1/4 C5:1/4 B4:1/2 C4:1/2"]);
    }
}
