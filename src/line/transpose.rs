//! Lines made of lines by moving their pitches: transposition and inversion.

use super::{Line, Note};
use crate::interval::Interval;
use crate::key::Key;
use crate::pitch::{Pitch, PitchClass, PitchError};
use crate::scale::Degree;

impl Line {
    /// The line moved by an interval.
    ///
    /// # Errors
    /// If a pitch cannot be written.
    pub fn moved(&self, by: Interval) -> Result<Self, PitchError> {
        self.with_pitches(|pitch| pitch.moved(by))
    }

    /// The line turned upside down about a pitch, every interval kept exactly (real inversion):
    /// what lay a major third above `axis` lies a major third below it.
    ///
    /// ```
    /// use soggetto::line::Line;
    /// let line: Line = "C4:1/4 E4 G4".parse()?;
    /// assert_eq!(line.inverted("C4".parse()?)?.to_string(), "C4:1/4 Ab3:1/4 F3:1/4");
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    ///
    /// # Errors
    /// If a pitch cannot be written.
    pub fn inverted(&self, axis: Pitch) -> Result<Self, PitchError> {
        self.with_pitches(|pitch| axis.moved(axis - pitch))
    }

    /// The line turned upside down about a pitch within a key, scale degree by scale degree
    /// (diatonic inversion); a raised degree becomes a lowered one.
    ///
    /// ```
    /// use soggetto::line::Line;
    /// let line: Line = "C4:1/4 E4 G4".parse()?;
    /// assert_eq!(line.inverted_in("C major".parse()?, "C4".parse()?)?.to_string(), "C4:1/4 A3:1/4 F3:1/4");
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    ///
    /// # Errors
    /// If a pitch cannot be written.
    pub fn inverted_in(&self, key: Key, axis: Pitch) -> Result<Self, PitchError> {
        self.with_pitches(|pitch| mirrored(pitch, axis, key))
    }

    /// The line with its rhythm and other pitches: one for each note; notes beyond the pitches keep
    /// their own.
    pub(crate) fn with_each_pitch(&self, pitches: &[Pitch]) -> Self {
        let mut line = self.clone();
        for (note, &pitch) in line.notes.iter_mut().zip(pitches) {
            *note = Note::new(pitch, note.onset(), note.duration());
        }
        line
    }

    fn with_pitches(&self, change: impl Fn(Pitch) -> Result<Pitch, PitchError>) -> Result<Self, PitchError> {
        let change = |note: &Note| Ok(Note::new(change(note.pitch())?, note.onset(), note.duration()));
        let notes: Result<Vec<Note>, PitchError> = self.notes.iter().map(change).collect();
        Ok(Self { notes: notes?, length: self.length, tick: self.tick })
    }
}

/// A pitch mirrored about another by staff steps, its alteration against the key reversed.
fn mirrored(pitch: Pitch, axis: Pitch, key: Key) -> Result<Pitch, PitchError> {
    let step = 2 * axis.staff_step() - pitch.staff_step();
    let degree = Degree::of_steps(step - i32::from(key.tonic().letter().index()));
    let natural = key.class(degree)?;
    let alteration = natural.alteration() - key.degree(pitch.class()).alteration();
    Pitch::new(PitchClass::new(natural.letter(), alteration)?, step.div_euclid(7))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::strategy::any_line;
    use proptest::prelude::*;

    fn line(text: &str) -> Line {
        text.parse().unwrap()
    }

    fn key(text: &str) -> Key {
        text.parse().unwrap()
    }

    proptest! {
        #[test]
        fn prop_moved_there_and_back(line in any_line(), name in "m2|M2|m3|M3|P4|P5|P8") {
            let by: Interval = name.parse().unwrap();
            let back = line.moved(by).and_then(|moved| moved.moved(-by));
            prop_assert_eq!(back, Ok(line));
        }

        #[test]
        fn prop_inverted_twice(line in any_line(), axis in "[A-G]4") {
            let axis: Pitch = axis.parse().unwrap();
            let back = line.inverted(axis).and_then(|turned| turned.inverted(axis));
            prop_assert_eq!(back, Ok(line.clone()));
            let key = key("D minor");
            let back = line.inverted_in(key, axis).and_then(|turned| turned.inverted_in(key, axis));
            prop_assert_eq!(back, Ok(line));
        }
    }

    #[test]
    fn a_theme_moves_with_its_spelling() {
        let theme = line("C4:1/4 R:1/8 E4:1/8 G4:1/2");
        assert_eq!(theme.moved("P5".parse().unwrap()), Ok(line("G4:1/4 R:1/8 B4:1/8 D5:1/2")));
        assert_eq!(theme.moved("-A4".parse().unwrap()), Ok(line("Gb3:1/4 R:1/8 Bb3:1/8 Db4:1/2")));
    }

    /// In A minor about A4: the raised seventh mirrors to the second, lowered.
    #[test]
    fn inversion_within_a_key_mirrors_degrees() {
        let inverted = line("A4:1/4 B4 C5 G#4").inverted_in(key("A minor"), "A4".parse().unwrap());
        assert_eq!(inverted, Ok(line("A4:1/4 G4 F4 Bb4")));
    }

    #[test]
    fn refuses_pitches_beyond_notation() {
        assert!(line("B9:1").moved(Interval::OCTAVE).is_err());
        assert!(line("C4:1 C0").inverted("C9".parse().unwrap()).is_err());
    }
}
