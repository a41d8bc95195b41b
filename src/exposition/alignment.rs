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
        let mut alignment = Self::of_notes(theme.notes(), &notes[range.clone()]);
        for partner in alignment.partners.iter_mut().flatten() {
            *partner += range.start;
        }
        if range.is_empty() {
            alignment.start = entry.onset;
        }
        alignment
    }

    /// Aligns the notes of a statement, counted from its first, with those of a theme, wherever the
    /// two stand in time. Cost: the notes of the theme times the logarithm of those of the statement.
    ///
    /// ```
    /// use soggetto::{Line, exposition::Alignment};
    /// let theme: Line = "C4:1/2 E4:1/4 G4:1/4 C4:1/2".parse()?;
    /// let statement: Line = "R:1/4 G3:1/4 B3:1/4 D4:1/8 E4:1/8 G3:1/2".parse()?;
    /// let alignment = Alignment::of_notes(theme.notes(), statement.notes());
    /// assert_eq!(alignment.partners(), [Some(0), Some(1), Some(2), Some(4)]);
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    pub fn of_notes(theme: &[Note], stated: &[Note]) -> Self {
        let aligned = distances(theme, stated).into_iter().map(|by| Self::at(theme, stated, by));
        let best = aligned.reduce(|best, next| if next.count() > best.count() { next } else { best });
        best.unwrap_or_else(|| Self { partners: vec![None; theme.len()], start: Time::ZERO })
    }

    /// The partners if the theme is moved by a time; the first note needs no exact onset.
    fn at(theme: &[Note], stated: &[Note], by: Time) -> Self {
        let partner = |(index, note): (usize, &Note)| {
            let onset = note.onset().checked_add(by).ok()?;
            let found = stated.binary_search_by_key(&onset, |note| note.onset()).ok();
            found.or((index == 0).then_some(0))
        };
        let start = theme.first().and_then(|first| first.onset().checked_add(by).ok());
        Self { partners: theme.iter().enumerate().map(partner).collect(), start: start.unwrap_or(Time::ZERO) }
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

/// By how much the theme may have been moved: first notes meet, or second notes do.
fn distances(theme: &[Note], stated: &[Note]) -> Vec<Time> {
    let pairs = theme.iter().zip(stated).take(2);
    pairs.filter_map(|(own, other)| other.onset().checked_sub(own.onset()).ok()).collect()
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
