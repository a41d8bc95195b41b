//! What a line tells of itself: its range by sound, its intervals, what sounds when.

use super::{Line, Note};
use crate::interval::Interval;
use crate::pitch::Pitch;
use crate::time::Time;

impl Line {
    /// The pitch that sounds highest; of equals the first.
    pub fn highest(&self) -> Option<Pitch> {
        self.extreme(|pitch, best| pitch.height() > best.height())
    }

    /// The pitch that sounds lowest; of equals the first.
    pub fn lowest(&self) -> Option<Pitch> {
        self.extreme(|pitch, best| pitch.height() < best.height())
    }

    fn extreme(&self, beats: impl Fn(Pitch, Pitch) -> bool) -> Option<Pitch> {
        let pitches = self.notes.iter().map(|note| note.pitch());
        pitches.reduce(|best, pitch| if beats(pitch, best) { pitch } else { best })
    }

    /// The interval from the lowest pitch to the highest, `None` of a silent line.
    ///
    /// ```
    /// use soggetto::line::Line;
    /// let line: Line = "C4:1/4 A4 Bb3".parse()?;
    /// assert_eq!(line.ambitus().map(|interval| interval.to_string()).as_deref(), Some("M7"));
    /// # Ok::<(), soggetto::line::LineError>(())
    /// ```
    pub fn ambitus(&self) -> Option<Interval> {
        Some(self.highest()? - self.lowest()?)
    }

    /// The intervals from each note to the next, rests between them left out of account.
    pub fn intervals(&self) -> impl Iterator<Item = Interval> + '_ {
        self.notes.windows(2).map(|pair| pair[1].pitch() - pair[0].pitch())
    }

    /// The index of the note that sounds at a time, `None` in a rest. Takes logarithmic time.
    pub fn index_at(&self, time: Time) -> Option<usize> {
        let index = self.notes.partition_point(|note| note.onset() <= time).checked_sub(1)?;
        self.notes[index].sounds_at(time).then_some(index)
    }

    /// The note that sounds at a time, `None` in a rest. Takes logarithmic time.
    pub fn note_at(&self, time: Time) -> Option<Note> {
        self.index_at(time).map(|index| self.notes[index])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::strategy::any_line;
    use proptest::prelude::*;

    fn line(text: &str) -> Line {
        text.parse().unwrap()
    }

    fn pitch(text: &str) -> Option<Pitch> {
        text.parse().ok()
    }

    proptest! {
        #[test]
        fn prop_note_at_agrees_with_a_search_through_all(line in any_line(), n in 0..64_i64) {
            let time = Time::new(n, 16).unwrap();
            let plain = line.notes().iter().position(|note| note.sounds_at(time));
            prop_assert_eq!(line.index_at(time), plain);
        }

        #[test]
        fn prop_intervals_lead_from_first_to_last(line in any_line()) {
            let total: i32 = line.intervals().map(Interval::semitones).sum();
            if let [first, .., last] = line.notes() {
                prop_assert_eq!(total, last.pitch().height() - first.pitch().height());
            }
        }
    }

    #[test]
    fn range_goes_by_sound_not_by_spelling() {
        let line = line("B##3:1/4 C4 Dbb4 R");
        assert_eq!(line.highest(), pitch("B##3"));
        assert_eq!(line.lowest(), pitch("C4"));
    }

    #[test]
    fn of_equal_sounds_the_first_is_the_highest_and_lowest() {
        let line = line("B#3:1/4 C4 Dbb4");
        assert_eq!(line.highest(), pitch("B#3"));
        assert_eq!(line.lowest(), pitch("B#3"));
    }

    #[test]
    fn silent_lines_have_no_range() {
        for text in ["", "R:1"] {
            assert_eq!((line(text).highest(), line(text).lowest(), line(text).ambitus()), (None, None, None));
            assert_eq!(line(text).intervals().count(), 0);
        }
    }

    #[test]
    fn a_note_sounds_from_its_onset_to_just_before_its_end() {
        let line = line("R:1/4 C4:1/4 D4:1/4 R:1/4 E4:1/4");
        let at = |n| line.note_at(Time::new(n, 8).unwrap()).map(Note::pitch);
        let heard: Vec<Option<Pitch>> = (-1..11).map(at).collect();
        let expected = ["", "", "", "C4", "C4", "D4", "D4", "", "", "E4", "E4", ""].map(pitch);
        assert_eq!(heard, expected);
    }

    #[test]
    fn intervals_pass_over_rests() {
        let names: Vec<String> = line("C4:1/4 G4 R F#4").intervals().map(|i| i.to_string()).collect();
        assert_eq!(names, ["P5", "-m2"]);
    }
}
