//! How a theme lies over the notes of an entry.

use super::statement::Statement;
use crate::answer::Answer;
use crate::exposition::Alignment;
use crate::interval::Interval;
use crate::line::Note;
use crate::pitch::Pitch;

/// A theme laid over an entry, moved by octaves to where it lies nearest.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    /// For each note of the theme that meets one: its index, that of the entry's note, and the pitch
    /// that is due.
    pub(super) due: Vec<Due>,
    agreeing: usize,
}

/// A note of an entry, and what is due there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Due {
    /// The index of the note in the theme.
    pub(super) index: usize,
    /// The index of the note in the entry.
    pub(super) note: usize,
    /// What it is.
    pub(super) found: Pitch,
    /// What is due.
    pub(super) pitch: Pitch,
}

impl Due {
    /// Whether the note differs.
    pub(super) fn is_wrong(&self) -> bool {
        self.found != self.pitch
    }

    /// Whether the note lies an octave or more from where it is due.
    pub(super) fn is_displaced(&self) -> bool {
        (self.found - self.pitch).steps().abs() >= 7
    }

    /// Whether the note differs by an accidental alone.
    pub(super) fn is_inflected(&self) -> bool {
        self.is_wrong() && self.found.staff_step() == self.pitch.staff_step()
    }
}

impl Fit {
    pub(super) fn of(theme: &[Note], entry: &[Note]) -> Self {
        let meeting = meeting(theme, entry);
        let octaves = octaves_between(&meeting);
        let moved = meeting.into_iter().filter_map(|due| {
            let pitch = due.pitch.moved(octaves).ok()?;
            Some(Due { pitch, ..due })
        });
        let due: Vec<Due> = moved.collect();
        let agreeing = due.iter().filter(|due| !due.is_wrong()).count();
        Self { due, agreeing }
    }

    /// How many notes agree.
    pub(super) const fn agreeing(&self) -> usize {
        self.agreeing
    }

    /// Whether most notes stand on their lines and spaces, so that the others are wrong notes and not
    /// another level; and more of them are right than inflected, which all are in a key a chromatic
    /// semitone away.
    pub(super) fn is_close(&self) -> bool {
        let inflected = self.due.iter().filter(|due| due.is_inflected()).count();
        (self.agreeing + inflected) * 2 > self.due.len() && self.agreeing > inflected
    }

    /// What a note of the theme meets.
    pub(super) fn at(&self, index: usize) -> Option<&Due> {
        self.due.iter().find(|due| due.index == index)
    }

    /// Whether a note of the theme is met and agrees.
    pub(super) fn agrees_at(&self, index: usize) -> bool {
        self.at(index).is_some_and(|due| !due.is_wrong())
    }
}

/// Whether an entry lies where one of the answers lies, or where another entry does that lies so: what two
/// answers have alike the composer has chosen, and one of them may have a wrong note besides.
pub(super) fn is_in_place(answers: &[Answer], theme: &Statement<'_>, themes: &[Statement<'_>]) -> bool {
    let lies = |notes: &[Note]| answers.iter().any(|answer| Fit::of(answer.line().notes(), notes).is_close());
    let lies_like = |other: &Statement<'_>| {
        other.onset != theme.onset && Fit::of(other.notes, theme.notes).is_close() && lies(other.notes)
    };
    lies(theme.notes) || themes.iter().any(lies_like)
}

/// The interval at which most notes of an entry stand above the theme, reduced to less than an
/// octave; `None` if less than half of them agree.
pub(super) fn level(theme: &[Note], entry: &[Note]) -> Option<Interval> {
    let meeting = meeting(theme, entry);
    let up = |due: &Due| due.pitch.class().up_to(due.found.class());
    let (interval, count) = most_frequent(meeting.iter().map(up))?;
    (count * 2 > meeting.len()).then_some(interval)
}

/// The notes that meet, the theme where it is written.
fn meeting(theme: &[Note], entry: &[Note]) -> Vec<Due> {
    let alignment = Alignment::of_notes(theme, entry);
    let due = |(index, note): (usize, &Option<usize>)| {
        let note = (*note)?;
        Some(Due { index, note, found: entry.get(note)?.pitch(), pitch: theme.get(index)?.pitch() })
    };
    alignment.partners().iter().enumerate().filter_map(due).collect()
}

/// The octaves from a theme to an entry by the note that lies in the middle of all distances: neither
/// a note in another octave nor one that a tonal answer alters moves it.
fn octaves_between(meeting: &[Due]) -> Interval {
    let mut steps: Vec<i32> = meeting.iter().map(|due| (due.found - due.pitch).steps()).collect();
    steps.sort_unstable();
    let middle = steps.get(steps.len() / 2).copied().unwrap_or(0);
    Interval::OCTAVE.checked_mul((middle + 3).div_euclid(7)).unwrap_or(Interval::UNISON)
}

/// The value that occurs most often, and how often; of several the first.
fn most_frequent(values: impl Iterator<Item = Interval>) -> Option<(Interval, usize)> {
    let mut counts: Vec<(Interval, usize)> = Vec::new();
    for value in values {
        match counts.iter_mut().find(|(known, _)| *known == value) {
            Some((_, count)) => *count += 1,
            None => counts.push((value, 1)),
        }
    }
    counts.into_iter().rev().max_by_key(|(_, count)| *count)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;

    fn lines(texts: [&str; 2]) -> [Line; 2] {
        texts.map(|text| text.parse().unwrap())
    }

    #[test]
    fn theme_is_laid_in_the_octave_of_the_entry() {
        let [theme, entry] = lines(["C4:1/4 D4 E4 C4", "R:1 C3:1/4 D3 F3 C3"]);
        let fit = Fit::of(theme.notes(), entry.notes());
        let wrong: Vec<String> =
            fit.due.iter().filter(|due| due.is_wrong()).map(|due| format!("{}", due.pitch)).collect();
        assert_eq!((fit.agreeing(), wrong), (3, vec!["E3".to_owned()]));
        assert!(fit.is_close() && fit.agrees_at(0) && !fit.agrees_at(2));
    }

    #[test]
    fn other_level_is_no_fit_and_has_an_interval() {
        let [theme, entry] = lines(["C4:1/4 D4 E4 C4", "D3:1/4 E3 F#3 D3"]);
        assert!(!Fit::of(theme.notes(), entry.notes()).is_close());
        assert_eq!(level(theme.notes(), entry.notes()), Some(Interval::MAJOR_SECOND));
        let [theme, other] = lines(["C4:1/4 D4 E4 C4", "D3:1/4 B3 A3 G3"]);
        assert_eq!(level(theme.notes(), other.notes()), None);
    }

    #[test]
    fn inflected_note_has_the_right_place_on_the_staff() {
        let [theme, entry] = lines(["C4:1/4 D4 E4 C4", "C5:1/4 D5 Eb5 B4"]);
        let fit = Fit::of(theme.notes(), entry.notes());
        assert_eq!(fit.due.iter().map(Due::is_inflected).collect::<Vec<_>>(), [false, false, true, false]);
    }

    /// An answer half of whose notes were right, and others inflected, was once one in another key.
    #[test]
    fn inflected_notes_are_no_other_level_unless_most_are_inflected() {
        let [theme, inflected] = lines(["C4:1/4 D4 E4 F4 E4 C4", "C4:1/4 D4 Eb4 F4 G4 A4"]);
        assert!(Fit::of(theme.notes(), inflected.notes()).is_close());
        let [theme, other] = lines(["C4:1/4 D4 E4 F4 E4 C4", "Cb4:1/4 Db4 Eb4 F4 Eb4 Cb4"]);
        assert!(!Fit::of(theme.notes(), other.notes()).is_close());
    }

    /// One note of two agrees in each octave: the first was once taken for the right one.
    #[test]
    fn note_in_another_octave_moves_no_theme() {
        let [theme, entry] = lines(["C4:1/4 D4 E4 C4", "C5:1/4 D4 F4 D4"]);
        let due: Vec<String> =
            Fit::of(theme.notes(), entry.notes()).due.iter().map(|due| due.pitch.to_string()).collect();
        assert_eq!(due, ["C4", "D4", "E4", "C4"]);
    }
}
