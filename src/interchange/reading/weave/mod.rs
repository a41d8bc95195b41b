//! From the notes of a keyboard to voices, where nothing or nothing trustworthy says which note is whose.
//!
//! The voices are as many as sound together for a good part of the piece. Among all ways to share the
//! notes out to them the cheapest is sought, by what listeners and textbooks take for a voice (Huron,
//! "Tone and Voice: A Derivation of the Rules of Voice-Leading from Perceptual Principles", 2001, from
//! memory):
//! - it goes on by small steps rather than by leaps, and goes on rather than rests;
//! - it does not cross its neighbours, and enters in its own register;
//! - what imitates the opening, which one voice has alone, is of one voice again (see [`imitation`]);
//! - written numbers and hands change as seldom as the rest allows.

mod cost;
mod imitation;
mod register;
mod search;

use super::lines::{Lines, Sounding, Tally};
use crate::time::Time;
use cost::Costs;
#[cfg(feature = "musicxml")]
pub(in super::super) use cost::NEW_VOICE;
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// The most voices: one for each finger.
const MAX_LINES: usize = 10;
/// Of a chord of more notes than all fingers strike only so many from above and from below are given to voices.
const MAX_SIDE: usize = MAX_LINES / 2;
/// The most notes that are woven: more than any piece for keyboard has.
pub(in super::super) const MAX_WOVEN: usize = 50_000;
/// A voice sounds with all others for at least so small a part of the piece, which may end soon after the last has
/// entered,
#[cfg(feature = "midi")]
const FULL: i64 = 48;
/// or for so many bars; what is fuller for a shorter time are chords.
#[cfg(feature = "midi")]
const BARS: i64 = 2;
/// The close of a piece is its last bars, so many at most,
const CLOSE_BARS: i64 = 4;
/// and so small a part of a short one.
const CLOSE: i64 = 16;
/// Closing chords may begin so many times as early: notes of one number that begin and end together are chords there,
/// though before they may be voices that an engraver has put on one stem.
const CHORDS: i64 = 4;

/// Where a note stands on paper or under the hands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) struct Sign {
    /// The staff or the hand.
    pub(in super::super) staff: u8,
    /// The number of its voice, if one is written.
    pub(in super::super) number: Option<Number>,
    /// The bar.
    pub(in super::super) bar: u32,
}

/// The number of a voice on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) struct Number {
    /// Which.
    pub(in super::super) of: u32,
    /// Whether it stands for one voice throughout its bar.
    pub(in super::super) of_bar: bool,
}

/// How many voices sound together, in music with bars of this length.
#[cfg(feature = "midi")]
pub(in super::super) fn together<T: Sounding>(tones: &[T], bar: Time) -> usize {
    let (from, to) = register::span(tones);
    let long = to.checked_sub(from).unwrap_or(Time::ZERO);
    let least = bar.scaled(BARS, 1).unwrap_or(bar).min(long.scaled(1, FULL).unwrap_or(bar));
    register::at_once(&telling(tones, bar, |_| None), least)
}

/// The most notes that sound together at any moment before the close, if these are the numbers of their voices.
#[cfg(feature = "musicxml")]
pub(in super::super) fn most_together<T: Sounding>(
    tones: &[T],
    bar: Time,
    number: impl Fn(&T) -> Option<u32>,
) -> usize {
    register::at_once(&telling(tones, bar, number), Time::ZERO)
}

/// The notes that tell how many voices there are: none of the close, in which chords are fuller than the voices are
/// many, and in the bars before it one of those that are a chord under one number.
fn telling<T: Sounding>(tones: &[T], bar: Time, number: impl Fn(&T) -> Option<u32>) -> Vec<T> {
    let (from, to) = register::span(tones);
    let long = to.checked_sub(from).unwrap_or(Time::ZERO);
    let [close, chords] = [1, CHORDS].map(|times| {
        let share = long.scaled(times, CLOSE).unwrap_or(Time::ZERO);
        to.checked_sub(bar.scaled(CLOSE_BARS, 1).unwrap_or(bar).min(share)).unwrap_or(to)
    });
    let mut chord_of = BTreeSet::new();
    let mut is_first =
        |tone: &T| number(tone).is_none_or(|number| chord_of.insert((number, tone.onset(), tone.end())));
    let tells = |tone: &&T| tone.onset() < chords || (tone.onset() < close && is_first(tone));
    tones.iter().filter(tells).copied().collect()
}

/// The order in which notes are given to voices: as they begin, from the top, of one pitch the longest first.
fn order<T: Sounding>(tone: &T) -> (Time, Reverse<i32>, Reverse<Time>) {
    (tone.onset(), Reverse(tone.height()), Reverse(tone.end()))
}

/// The lines of these notes, so many and the highest first; `signs` tells where a note begins and where it ends, which
/// may be another place if it is tied over.
pub(in super::super) fn weave<T: Sounding>(
    mut tones: Vec<T>,
    signs: impl Fn(&T) -> [Sign; 2],
    count: usize,
) -> Lines<T> {
    tones.sort_by_key(order);
    let count = count.clamp(1, MAX_LINES);
    let mut made =
        Lines { each: vec![Vec::new(); count], main: 0, left_out: Tally::default(), cut: Tally::default() };
    let tones = thinned(tones, &mut made.left_out);
    let costs = Costs::of(&tones, signs, count);
    for (tone, line) in tones.into_iter().zip(search::search(&costs, count)) {
        made.put(tone, line);
    }
    made.each.retain(|line| !line.is_empty());
    made
}

/// What it costs that these are the lines, the highest first, whatever is written: semitones of leap, and what is as bad
/// as leaps of so many.
#[cfg(feature = "musicxml")]
pub(in super::super) fn price<T: Sounding>(voices: &[Lines<T>]) -> i64 {
    let each = (0..MAX_LINES).zip(voices.iter().flat_map(|voice| &voice.each));
    let mut tones: Vec<(T, usize)> =
        each.flat_map(|(line, tones)| tones.iter().map(move |&tone| (tone, line))).collect();
    tones.sort_by_key(|(tone, _)| order(tone));
    let (tones, lines): (Vec<T>, Vec<usize>) = tones.into_iter().unzip();
    let count = lines.iter().max().map_or(1, |&last| last + 1);
    let nothing = Sign { staff: 1, number: None, bar: 0 };
    let left_out: usize = voices.iter().map(|voice| voice.left_out.count).sum();
    search::price(&Costs::of(&tones, |_| [nothing; 2], count), count, &lines, left_out)
}

/// The notes without those within chords of more than all fingers strike.
fn thinned<T: Sounding>(tones: Vec<T>, left_out: &mut Tally) -> Vec<T> {
    let chords = tones.chunk_by(|one, next| one.onset() == next.onset());
    let is_outer = |chord: &[T]| {
        let count = chord.len();
        (0..count).map(move |index| index < MAX_SIDE || index + MAX_SIDE >= count)
    };
    let outer: Vec<bool> = chords.flat_map(is_outer).collect();
    let mut kept = Vec::with_capacity(tones.len());
    for (tone, is_outer) in tones.into_iter().zip(outer) {
        if is_outer {
            kept.push(tone);
        } else {
            left_out.add(1, tone.onset());
        }
    }
    kept
}

impl<T: Sounding> Lines<T> {
    /// Lets a note go on in a line, or leaves it out.
    fn put(&mut self, tone: T, line: Option<usize>) {
        let Some(line) = line.and_then(|line| self.each.get_mut(line)) else {
            return self.left_out.add(1, tone.onset());
        };
        if let Some(last) = line.last_mut().filter(|last| last.end() > tone.onset()) {
            last.cut(tone.onset());
            self.cut.add(1, tone.onset());
        }
        line.push(tone);
    }
}

#[cfg(all(test, feature = "midi", feature = "musicxml"))]
mod tests {
    use super::*;
    use crate::line::{Line, Note};

    /// The lines that the notes of these texts make in 4/4 if nothing is written, as texts.
    fn woven(texts: &[&str]) -> Vec<String> {
        let notes = texts.iter().flat_map(|text| text.parse::<Line>().unwrap().notes().to_vec());
        let sign = |_: &Note| [Sign { staff: 1, number: None, bar: 0 }; 2];
        let notes: Vec<Note> = notes.collect();
        let count = together(&notes, Time::WHOLE);
        let lines = weave(notes, sign, count).each;
        let text = |line: &Vec<Note>| {
            let end = line.last().map_or(Time::ZERO, Sounding::end);
            Line::from_notes(line.iter().copied(), end).unwrap().to_string()
        };
        lines.iter().map(text).collect()
    }

    #[test]
    fn voices_go_on_by_small_steps() {
        let two = ["E5:1/4 D5:1/4 C5:1/4 B4:1/4", "C4:1/2 G4:1/2"];
        assert_eq!(woven(&two), two);
    }

    #[test]
    fn voice_that_is_alone_is_told_by_its_register() {
        let above = [
            "R:2 C5:1/4 D5:1/4 E5:1/4 F5:1/4",
            "C4:1/4 B3:1/4 A3:1/4 G3:1/4 C4:1/4 D4:1/4 C4:1/4 B3:1/4 C4:1",
        ];
        assert_eq!(woven(&above), above);
    }

    /// The answer enters on the note nearest to where the first voice was, which goes on below.
    #[test]
    fn what_imitates_the_opening_is_of_one_voice() {
        let two = [
            "R:5/4 G4:1/4 D5:1/4 C5:1/4 B4:1/4 A4:1/2 G4:1/2",
            "C4:1/4 G4:1/4 F4:1/4 E4:1/4 D4:1/4 F4:1/4 G4:1/4 A4:1/4 G4:1/4 F4:1/4 E4:1/4 D4:1/4 E4:1/4",
        ];
        assert_eq!(woven(&two), two);
    }

    /// So full a chord was once shared out in all ways there are, which are millions of millions.
    #[test]
    fn chord_of_more_notes_than_fingers_keeps_its_outer_ones() {
        let rows: Vec<String> = ["C3", "E3", "G3", "B3", "D4", "F4", "A4", "C5", "E5", "G5", "B5", "D6"]
            .map(|pitch| format!("{pitch}:1/4 {pitch}:1/4 {pitch}:1/2"))
            .into();
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        let expected: Vec<&str> = rows[..5].iter().chain(&rows[7..]).rev().copied().collect();
        assert_eq!(woven(&rows), expected);
    }

    #[test]
    fn closing_chords_make_no_voices() {
        let mut tones: Vec<Note> = "C5:1 B4 C5 D5 E5 D5 C5 B4 C5".parse::<Line>().unwrap().notes().to_vec();
        tones.extend("R:17/2 G4:1/2".parse::<Line>().unwrap().notes());
        assert_eq!((together(&tones, Time::WHOLE), most_together(&tones, Time::WHOLE, |_| None)), (1, 1));
        tones.extend("R:1 G4:1/8".parse::<Line>().unwrap().notes());
        assert_eq!((together(&tones, Time::WHOLE), most_together(&tones, Time::WHOLE, |_| None)), (1, 2));
        tones.extend("R:2 G4:1/2".parse::<Line>().unwrap().notes());
        assert_eq!(together(&tones, Time::WHOLE), 2);
    }

    #[test]
    fn chords_of_one_number_in_the_last_bars_make_no_voices() {
        let mut tones: Vec<Note> = "C5:1 B4 C5 D5 E5 D5 C5 B4".parse::<Line>().unwrap().notes().to_vec();
        tones.extend("R:6 E4:1".parse::<Line>().unwrap().notes());
        assert_eq!(most_together(&tones, Time::WHOLE, |_| Some(1)), 1);
        assert_eq!(most_together(&tones, Time::WHOLE, |tone| u32::try_from(tone.pitch().height()).ok()), 2);
        tones.extend("R:1 E4:1".parse::<Line>().unwrap().notes());
        assert_eq!(
            most_together(&tones, Time::WHOLE, |_| Some(1)),
            2,
            "before them an engraver's chord is voices"
        );
    }
}
