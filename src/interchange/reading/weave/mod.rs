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

/// The most voices: one for each finger.
const MAX_LINES: usize = 10;
/// A voice sounds with all others for at least so small a part of the piece,
const SHARE: i64 = 16;
/// or for so many bars; what is fuller for a shorter time are chords.
const BARS: i64 = 2;
/// In the last bars of a piece twice as long or longer chords are fuller than the voices are many.
const CLOSE: i64 = 4;

/// Where a note stands on paper or under the hands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) struct Sign {
    /// The staff or the hand.
    pub(in super::super) staff: u8,
    /// The number of its voice, if one is written.
    pub(in super::super) number: Option<u32>,
    /// The bar.
    pub(in super::super) bar: u32,
}

/// How many voices sound together, in music with bars of this length.
pub(in super::super) fn together<T: Sounding>(tones: &[T], bar: Time) -> usize {
    let bars = |count| bar.scaled(count, 1).unwrap_or(bar);
    let (from, to) = register::span(tones);
    let long = to.checked_sub(from).unwrap_or(Time::ZERO);
    let close = if long > bars(2 * CLOSE) { bars(CLOSE) } else { Time::ZERO };
    let least = bars(BARS).min(long.scaled(1, SHARE).unwrap_or(bar));
    register::at_once(tones, to.checked_sub(close).unwrap_or(to), least)
}

/// The lines of these notes, the highest first; `signs` tells where a note begins and where it ends, which
/// may be another place if it is tied over.
pub(in super::super) fn weave<T: Sounding>(
    mut tones: Vec<T>,
    signs: impl Fn(&T) -> [Sign; 2],
    bar: Time,
) -> Lines<T> {
    use std::cmp::Reverse;
    tones.sort_by_key(|tone| (tone.onset(), Reverse(tone.height()), Reverse(tone.end())));
    let count = together(&tones, bar).clamp(1, MAX_LINES);
    let costs = Costs::of(&tones, signs, count);
    let mut made =
        Lines { each: vec![Vec::new(); count], main: 0, left_out: Tally::default(), cut: Tally::default() };
    for (tone, line) in tones.into_iter().zip(search::search(&costs, count)) {
        made.put(tone, line);
    }
    made.each.retain(|line| !line.is_empty());
    made
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::{Line, Note};

    /// The lines that the notes of these texts make in 4/4 if nothing is written, as texts.
    fn woven(texts: &[&str]) -> Vec<String> {
        numbered(&texts.iter().map(|text| (*text, None)).collect::<Vec<_>>())
    }

    /// The same, each text under a voice number.
    fn numbered(texts: &[(&str, Option<u32>)]) -> Vec<String> {
        let notes = texts.iter().flat_map(|&(text, number)| {
            let line: Line = text.parse().unwrap();
            line.notes().iter().map(|&note| Numbered { note, number }).collect::<Vec<_>>()
        });
        let sign = |tone: &Numbered| [Sign { staff: 1, number: tone.number, bar: 0 }; 2];
        let lines = weave(notes.collect(), sign, Time::WHOLE).each;
        let text = |line: &Vec<Numbered>| {
            let end = line.last().map_or(Time::ZERO, Sounding::end);
            Line::from_notes(line.iter().map(|tone| tone.note), end).unwrap().to_string()
        };
        lines.iter().map(text).collect()
    }

    #[derive(Clone, Copy)]
    struct Numbered {
        note: Note,
        number: Option<u32>,
    }

    impl Sounding for Numbered {
        fn onset(&self) -> Time {
            self.note.onset()
        }

        fn end(&self) -> Time {
            self.note.end()
        }

        fn height(&self) -> i32 {
            self.note.pitch().height()
        }

        fn cut(&mut self, end: Time) {
            let long = end.checked_sub(self.onset()).unwrap();
            self.note = Note::new(self.note.pitch(), self.onset(), long);
        }
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

    #[test]
    fn written_numbers_tell_crossing_voices_apart() {
        let crossing =
            [("E4:1/2 D4:1/2 C4:1/2 E4:1/2", Some(1)), ("C4:1/2 D4:1/4 E4:1/4 E4:1/2 C4:1/2", Some(2))];
        let texts = crossing.map(|(text, _)| text.parse::<Line>().unwrap().to_string());
        assert_eq!(numbered(&crossing), texts);
    }

    #[test]
    fn closing_chords_make_no_voices() {
        let mut tones: Vec<Note> = "C5:1 B4 C5 D5 E5 D5 C5 B4 C5".parse::<Line>().unwrap().notes().to_vec();
        tones.extend("R:7 G4:1 E4:1".parse::<Line>().unwrap().notes());
        let count = |tones: &[Note]| {
            let tones: Vec<Numbered> = tones.iter().map(|&note| Numbered { note, number: None }).collect();
            together(&tones, Time::WHOLE)
        };
        assert_eq!(count(&tones), 1);
        tones.extend("R:1 G4:1 E4:1".parse::<Line>().unwrap().notes());
        assert_eq!(count(&tones), 2);
    }
}
