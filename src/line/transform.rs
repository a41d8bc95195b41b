//! Lines made of lines by moving and cutting them in time.

use super::{Line, LineError, Note};
use crate::time::{Time, TimeError};

impl Line {
    /// The line read backwards, rests included.
    #[must_use]
    pub fn retrograde(&self) -> Self {
        let events = self.events().into_iter().rev().map(|event| (event.pitch, event.duration));
        // Read backwards, all times stay on the grid of the line: this cannot fail.
        Self::from_events(events).unwrap_or_default()
    }

    /// The line in augmentation: every time so many times as long.
    ///
    /// # Errors
    /// If the factor is zero, or times get too large.
    pub fn augmented(&self, times: u32) -> Result<Self, LineError> {
        self.scaled(times, 1)
    }

    /// The line in diminution: every time divided by so many.
    ///
    /// # Errors
    /// If the factor is zero, or times get too fine.
    pub fn diminished(&self, times: u32) -> Result<Self, LineError> {
        self.scaled(1, times)
    }

    /// The line with every time multiplied by `numerator`/`denominator`.
    ///
    /// # Errors
    /// If either number is zero, or times get too fine or too large.
    pub fn scaled(&self, numerator: u32, denominator: u32) -> Result<Self, LineError> {
        if numerator == 0 || denominator == 0 {
            return Err(LineError::Factor { numerator, denominator });
        }
        let scale = |time: Time| time.scaled(numerator.into(), denominator.into());
        self.with_times(scale, scale)
    }

    /// The line after a rest of the given length; with a negative one, the line without so much of
    /// the rest at its beginning.
    ///
    /// # Errors
    /// If a note would begin before 0, or times get out of range.
    pub fn delayed(&self, by: Time) -> Result<Self, LineError> {
        self.with_times(|onset| onset.checked_add(by), Ok)
    }

    /// The line with its onsets (and its length, the onset of what follows) and its durations changed.
    fn with_times(
        &self,
        onset: impl Fn(Time) -> Result<Time, TimeError>,
        duration: impl Fn(Time) -> Result<Time, TimeError>,
    ) -> Result<Self, LineError> {
        let change = |(event, note): (usize, &Note)| {
            let times = onset(note.onset()).and_then(|onset| Ok((onset, duration(note.duration())?)));
            let (onset, duration) = times.map_err(|source| LineError::Time { event, source })?;
            Ok(Note::new(note.pitch(), onset, duration))
        };
        let notes: Result<Vec<Note>, LineError> = self.notes.iter().enumerate().map(change).collect();
        let event = self.notes.len();
        Self::from_notes(notes?, onset(self.length).map_err(|source| LineError::Time { event, source })?)
    }

    /// The line with rests added at the end, or taken from it, until it has the given length.
    ///
    /// # Errors
    /// If a note would outlast the length.
    pub fn extended_to(&self, length: Time) -> Result<Self, LineError> {
        let end = self.notes.last().map_or(Time::ZERO, |note| note.end());
        if length < end {
            return Err(LineError::Length { end, length });
        }
        let mut line = self.clone();
        line.set_length(self.notes.len(), length)?;
        Ok(line)
    }

    /// The line followed by another.
    ///
    /// # Errors
    /// If there are too many notes, or times get too fine or too large; the error counts the notes
    /// of both.
    pub fn then(&self, next: &Self) -> Result<Self, LineError> {
        let mut line = self.clone();
        for (index, event) in next.events().into_iter().enumerate() {
            line.push_event(self.notes.len() + index, event.pitch, event.duration)?;
        }
        Ok(line)
    }

    /// What sounds from one time to another, from time zero; notes held across an edge are cut.
    ///
    /// # Errors
    /// If the stretch begins before 0, ends before it begins or ends after the line.
    pub fn sliced(&self, from: Time, to: Time) -> Result<Self, LineError> {
        if from < Time::ZERO || to < from || to > self.length {
            return Err(LineError::Stretch { from, to, length: self.length });
        }
        let first = self.notes.partition_point(|note| note.end() <= from);
        let last = self.notes.partition_point(|note| note.onset() < to);
        let cut = |(event, note): (usize, &Note)| {
            let (onset, end) = (note.onset().max(from), note.end().min(to));
            let times = onset.checked_sub(from).and_then(|new| Ok((new, end.checked_sub(onset)?)));
            let (onset, duration) = times.map_err(|source| LineError::Time { event, source })?;
            Ok(Note::new(note.pitch(), onset, duration))
        };
        let notes = self.notes.get(first..last).unwrap_or_default();
        let notes: Result<Vec<Note>, LineError> = notes.iter().enumerate().map(cut).collect();
        let length = to.checked_sub(from).map_err(|source| LineError::Time { event: 0, source })?;
        Self::from_notes(notes?, length)
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

    fn time(text: &str) -> Time {
        text.parse().unwrap()
    }

    proptest! {
        #[test]
        fn prop_retrograde_twice(line in any_line()) {
            let turned = line.retrograde();
            prop_assert_eq!(turned.notes().len(), line.notes().len());
            prop_assert_eq!(turned.length(), line.length());
            prop_assert_eq!(turned.retrograde(), line);
        }

        #[test]
        fn prop_augmented_then_diminished(line in any_line(), times in 1..9_u32) {
            let back = line.augmented(times).and_then(|long| long.diminished(times));
            prop_assert_eq!(back, Ok(line));
        }

        #[test]
        fn prop_lengths_of_lines_in_a_row_add_up(a in any_line(), b in any_line()) {
            let both = a.then(&b).unwrap();
            prop_assert_eq!(Ok(both.length()), a.length().checked_add(b.length()));
            prop_assert_eq!(both.notes().len(), a.notes().len() + b.notes().len());
            prop_assert_eq!(both.sliced(Time::ZERO, a.length()), Ok(a.clone()));
            prop_assert_eq!(both.sliced(a.length(), both.length()), Ok(b));
        }

        #[test]
        fn prop_slices_in_a_row_sound_as_the_whole(line in any_line(), n in 0..=8_i64) {
            let cut = line.length().scaled(n, 8).unwrap();
            let first = line.sliced(Time::ZERO, cut).unwrap();
            let second = line.sliced(cut, line.length()).unwrap();
            let both = first.then(&second).unwrap();
            for note in both.notes() {
                let whole = line.note_at(note.onset()).unwrap();
                prop_assert!(whole.pitch() == note.pitch() && whole.end() >= note.end());
            }
            prop_assert_eq!(both.length(), line.length());
        }

        #[test]
        fn prop_delayed_there_and_back(line in any_line(), n in 0..16_i64) {
            let by = Time::new(n, 8).unwrap();
            let late = line.delayed(by).unwrap();
            prop_assert_eq!(late.sliced(by, late.length()), Ok(line.clone()));
            prop_assert_eq!(late.delayed(Time::new(-n, 8).unwrap()), Ok(line));
        }

        #[test]
        fn prop_transforms_keep_the_guarantees(line in any_line()) {
            for made in [line.retrograde(), line.augmented(3).unwrap(), line.then(&line).unwrap()] {
                prop_assert_eq!(Line::from_notes(made.notes().iter().copied(), made.length()), Ok(made));
            }
        }
    }

    #[test]
    fn transforms_of_a_short_theme() {
        let theme = line("C4:1/4 R:1/8 E4:1/8 G4:1/2");
        assert_eq!(theme.retrograde(), line("G4:1/2 E4:1/8 R:1/8 C4:1/4"));
        assert_eq!(theme.augmented(2), Ok(line("C4:1/2 R:1/4 E4:1/4 G4:1")));
        assert_eq!(theme.diminished(2), Ok(line("C4:1/8 R:1/16 E4:1/16 G4:1/4")));
        assert_eq!(theme.delayed(time("1/2")), Ok(line("R:1/2 C4:1/4 R:1/8 E4:1/8 G4:1/2")));
        assert_eq!(theme.extended_to(time("5/4")), Ok(line("C4:1/4 R:1/8 E4:1/8 G4:1/2 R:1/4")));
        assert_eq!(theme.sliced(time("1/8"), time("3/4")), Ok(line("C4:1/8 R E4 G4:1/4")));
        assert_eq!(theme.then(&line("R:1/4 C4")), Ok(line("C4:1/4 R:1/8 E4:1/8 G4:1/2 R:1/4 C4")));
    }

    #[test]
    fn errors_tell_what_cannot_be_done() {
        let theme = line("R:1/4 C4:1/4 D4");
        let rows = [
            (theme.delayed(time("-1/2")), "note 1 begins at -1/4: a line begins at 0 (delay it by 1/4)"),
            (
                theme.extended_to(time("1/2")),
                "a line whose last note ends at 3/4 cannot have the length 1/2: it must be at least 3/4",
            ),
            (
                theme.sliced(time("1/2"), time("1")),
                "from 1/2 to 1 is no stretch of a line of length 3/4: 0 comes first, then the beginning, the end, \
                 the length",
            ),
            (theme.augmented(0), "a line cannot be made 0/1 times as long: both numbers must be at least 1"),
            (theme.diminished(0), "a line cannot be made 1/0 times as long: both numbers must be at least 1"),
            (
                theme.diminished(1_000_003),
                "note 1: 1/4000012 is out of range: denominators go to 1000000, times to 1000000 whole notes",
            ),
            (
                line("C4:1").augmented(4_000_000),
                "note 1: 4000000/1 is out of range: denominators go to 1000000, times to 1000000 whole notes",
            ),
        ];
        for (result, message) in rows {
            assert_eq!(result.unwrap_err().to_string(), message);
        }
    }
}
