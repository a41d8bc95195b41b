//! A voice in the making: tones on the ticks of the frame.

use super::frame::Frame;
use crate::line::{Line, LineError, Note};
use crate::pitch::Pitch;
use crate::time::TimeError;

/// A sounding note in ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Tone {
    pub(super) pitch: Pitch,
    pub(super) on: i64,
    pub(super) off: i64,
}

/// The tones of one voice in order of onset, not overlapping; gaps are rests.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Strand {
    tones: Vec<Tone>,
}

impl Strand {
    /// The tones of a line that begins at `start`.
    pub(super) fn of_line(line: &Line, start: i64, frame: &Frame) -> Self {
        let tone = |note: &Note| Tone {
            pitch: note.pitch(),
            on: start + frame.ticks(note.onset()),
            off: start + frame.ticks(note.end()),
        };
        Self { tones: line.notes().iter().map(tone).collect() }
    }

    /// The tones of a list, brought into order.
    pub(super) fn of_tones(mut tones: Vec<Tone>) -> Self {
        tones.sort_by_key(|tone| tone.on);
        Self { tones }
    }

    /// The tones.
    pub(super) fn tones(&self) -> &[Tone] {
        &self.tones
    }

    /// The same tones so many ticks later, or earlier if negative.
    pub(super) fn moved_in_time(&self, by: i64) -> Self {
        let tones = self.tones.iter().map(|tone| Tone { on: tone.on + by, off: tone.off + by, ..*tone });
        Self { tones: tones.collect() }
    }

    /// Adds the tones of another strand, which must not overlap these.
    pub(super) fn join(&mut self, other: &Self) {
        self.tones.extend_from_slice(&other.tones);
        self.tones.sort_by_key(|tone| tone.on);
    }

    /// Index of the first tone that ends after a moment.
    fn first_ending_after(&self, ticks: i64) -> usize {
        self.tones.partition_point(|tone| tone.off <= ticks)
    }

    /// Index of the tone sounding at a moment.
    pub(super) fn index_at(&self, ticks: i64) -> Option<usize> {
        let index = self.first_ending_after(ticks);
        self.tones.get(index).filter(|tone| tone.on <= ticks).map(|_| index)
    }

    /// The tone sounding at a moment.
    pub(super) fn at(&self, ticks: i64) -> Option<Tone> {
        self.index_at(ticks).map(|index| self.tones[index])
    }

    /// The tone sounding just before a moment, whether or not it goes on.
    pub(super) fn before(&self, ticks: i64) -> Option<Tone> {
        self.at(ticks - 1)
    }

    /// Indices of the tones that sound within a span.
    pub(super) fn within(&self, from: i64, to: i64) -> std::ops::Range<usize> {
        self.first_ending_after(from)..self.tones.partition_point(|tone| tone.on < to)
    }

    /// When it has sounded its last.
    pub(super) fn end(&self) -> i64 {
        self.tones.last().map_or(0, |tone| tone.off)
    }

    /// The line, of the given length in ticks.
    pub(super) fn to_line(&self, length: i64, frame: &Frame) -> Result<Line, LineError> {
        let wrap = |source: TimeError| LineError::Time { event: 0, source };
        let notes: Result<Vec<Note>, LineError> = self
            .tones
            .iter()
            .map(|tone| {
                let onset = frame.time(tone.on).map_err(wrap)?;
                Ok(Note::new(tone.pitch, onset, frame.time(tone.off - tone.on).map_err(wrap)?))
            })
            .collect();
        Line::from_notes(notes?, frame.time(length).map_err(wrap)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compose::fixtures::{any_subject, frame, pitch, strand};
    use crate::time::Time;
    use proptest::prelude::*;

    /// Two bars of 4/4 with a rest in the first; a quarter has 8 ticks.
    fn example() -> Strand {
        strand(&frame("4/4"), "C4:1/4 D4 R:1/4 E4:1/4 F4:1")
    }

    fn names(tone: Option<Tone>) -> Option<String> {
        tone.map(|tone| tone.pitch.to_string())
    }

    #[test]
    fn a_tone_sounds_from_its_onset_to_just_before_its_end() {
        let strand = example();
        assert_eq!(names(strand.at(0)).as_deref(), Some("C4"));
        assert_eq!(names(strand.at(7)).as_deref(), Some("C4"));
        assert_eq!(names(strand.at(8)).as_deref(), Some("D4"));
        assert_eq!(strand.at(-1), None);
        assert_eq!(strand.at(64), None);
    }

    #[test]
    fn nothing_sounds_in_a_rest() {
        let strand = example();
        assert_eq!(strand.at(16), None);
        assert_eq!(strand.at(23), None);
        assert_eq!(strand.before(24), None);
    }

    #[test]
    fn before_is_the_tone_that_ends_or_goes_on() {
        let strand = example();
        assert_eq!(names(strand.before(8)).as_deref(), Some("C4"));
        assert_eq!(names(strand.before(4)).as_deref(), Some("C4"));
        assert_eq!(names(strand.before(16)).as_deref(), Some("D4"));
        assert_eq!(strand.before(0), None);
    }

    #[test]
    fn within_counts_tones_that_sound_in_part() {
        let strand = example();
        assert_eq!(strand.within(4, 9), 0..2);
        assert_eq!(strand.within(8, 24), 1..2);
        assert!(strand.within(16, 24).is_empty());
        assert_eq!(strand.within(-10, 100), 0..4);
    }

    #[test]
    fn joined_strands_are_in_order() {
        let frame = frame("4/4");
        let mut later = strand(&frame, "R:1 G4:1/2");
        later.join(&strand(&frame, "C4:1/2"));
        let onsets: Vec<i64> = later.tones().iter().map(|tone| tone.on).collect();
        assert_eq!((onsets, later.end()), (vec![0, 32], 48));
    }

    #[test]
    fn an_empty_strand_ends_where_it_begins() {
        assert_eq!(Strand::default().end(), 0);
        assert_eq!(Strand::default().at(0), None);
        assert!(Strand::default().within(0, 100).is_empty());
    }

    #[test]
    fn moving_in_time_keeps_pitches_and_lengths() {
        let moved = example().moved_in_time(-8);
        assert_eq!(moved.tones()[0], Tone { pitch: pitch("C4"), on: -8, off: 0 });
        assert_eq!(moved.moved_in_time(8), example());
    }

    #[test]
    fn overlapping_tones_make_no_line() {
        let frame = frame("4/4");
        let mut strand = strand(&frame, "C4:1/2");
        strand.join(&strand.clone());
        assert!(strand.to_line(32, &frame).is_err());
    }

    proptest! {
        #[test]
        fn prop_a_line_comes_back_from_its_strand(subject in any_subject(2..12)) {
            let frame = Frame::new(&subject, Time::ZERO).unwrap();
            let strand = Strand::of_line(subject.line(), 0, &frame);
            let length = frame.ticks(subject.line().length());
            prop_assert_eq!(&strand.to_line(length, &frame).unwrap(), subject.line());
        }

        #[test]
        fn prop_at_finds_what_a_plain_look_finds(ticks in -5..70_i64) {
            let strand = example();
            let plain = strand.tones().iter().find(|tone| (tone.on..tone.off).contains(&ticks)).copied();
            prop_assert_eq!(strand.at(ticks), plain);
        }
    }
}
