//! Which note of an entry stands for which note of its theme.

use super::Entry;
use crate::line::{Line, Note};
use crate::score::Score;
use crate::time::Time;

/// The notes of an entry, one for each note of the theme that it states.
///
/// A note of the entry stands for that of the theme which has the same onset, counted from the
/// beginning. The first note may be longer or shorter than in the theme: then the notes after it
/// count. A note of the theme that has no partner is `None`; notes of the entry between two onsets
/// of the theme are ornaments and stand for none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alignment {
    partners: Vec<Option<usize>>,
    start: Time,
}

impl Alignment {
    /// Aligns an entry in a score with the line of its theme, which begins at time zero.
    ///
    /// ```
    /// use soggetto::exposition::{Alignment, Entry, Role};
    /// use soggetto::{Line, Score};
    ///
    /// let score = Score::excerpt("C major", "4/4", &["R:1/4 C5:1/2 D5:1/4 E5:1/8 F5 G5:1/4"])?;
    /// let theme: Line = "C4:1/4 D4 E4 G4".parse()?;
    /// let (onset, key) = ("1/4".parse()?, score.key());
    /// let entry = Entry { role: Role::Subject, voice: 0, onset, notes: 0..5, key };
    /// let alignment = Alignment::of(&score, &entry, &theme);
    /// assert_eq!(alignment.partners(), [Some(0), Some(1), Some(2), Some(4)]);
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    pub fn of(score: &Score, entry: &Entry, theme: &Line) -> Self {
        let notes = score.parts().get(entry.voice).map_or(&[][..], |part| part.line.notes());
        let range = entry.notes.start.min(notes.len())..entry.notes.end.min(notes.len());
        let stated = &notes[range.clone()];
        let starts = starts(stated, theme.notes());
        let aligned = starts.into_iter().map(|start| Self::from(start, stated, theme.notes(), range.start));
        let best = aligned.reduce(|best, next| if next.count() > best.count() { next } else { best });
        best.unwrap_or_else(|| Self { partners: vec![None; theme.notes().len()], start: entry.onset })
    }

    /// The partners if the theme begins at `start`; the first note needs no exact onset.
    fn from(start: Time, stated: &[Note], theme: &[Note], offset: usize) -> Self {
        let partner = |(index, note): (usize, &Note)| {
            let onset = start.checked_add(note.onset()).ok()?;
            let found = stated.binary_search_by_key(&onset, |note| note.onset()).ok();
            let first = (index == 0).then_some(0);
            found.or(first).map(|found| found + offset)
        };
        Self { partners: theme.iter().enumerate().map(partner).collect(), start }
    }

    fn count(&self) -> usize {
        self.partners.iter().flatten().count()
    }

    /// For each note of the theme the index of the note in the voice's line that stands for it.
    pub fn partners(&self) -> &[Option<usize>] {
        &self.partners
    }

    /// When the theme begins by its notes after the first: the onset of the entry, unless its first
    /// note is longer or shorter than the theme's.
    pub const fn start(&self) -> Time {
        self.start
    }
}

/// When the theme may begin: with the entry's first note, or so that second note meets second note.
fn starts(stated: &[Note], theme: &[Note]) -> Vec<Time> {
    let mut starts: Vec<Time> = stated.first().map(|note| note.onset()).into_iter().collect();
    if let ([_, entry_second, ..], [_, theme_second, ..]) = (stated, theme) {
        starts.extend(entry_second.onset().checked_sub(theme_second.onset()));
    }
    starts
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposition::Role;

    fn partners(entry: &str, theme: &str) -> Vec<Option<usize>> {
        let score = Score::excerpt("C major", "4/4", &[entry]).unwrap();
        let line = &score.parts()[0].line;
        let (onset, notes) = (line.notes()[0].onset(), 0..line.notes().len());
        let entry = Entry { role: Role::Subject, voice: 0, onset, notes, key: score.key() };
        Alignment::of(&score, &entry, &theme.parse().unwrap()).partners().to_vec()
    }

    #[test]
    fn wrong_pitch_does_not_matter() {
        assert_eq!(partners("C4:1/4 A4 E4", "C4:1/4 D4 E4"), [Some(0), Some(1), Some(2)]);
    }

    #[test]
    fn first_note_may_be_shorter() {
        assert_eq!(partners("R:1/8 C4 D4:1/4 E4", "C4:1/4 D4 E4"), [Some(0), Some(1), Some(2)]);
    }

    #[test]
    fn missing_note_has_no_partner() {
        assert_eq!(partners("C4:1/2 E4:1/4 F4", "C4:1/4 D4 E4 F4"), [Some(0), None, Some(1), Some(2)]);
    }

    #[test]
    fn entry_outside_the_score_has_no_partners() {
        let score = Score::excerpt("C major", "4/4", &["C4:1"]).unwrap();
        let entry = Entry { role: Role::Subject, voice: 3, onset: Time::ZERO, notes: 4..9, key: score.key() };
        let alignment = Alignment::of(&score, &entry, &"C4:1/4 D4".parse().unwrap());
        assert_eq!(alignment.partners(), [None, None]);
    }
}
