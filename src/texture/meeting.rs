//! The intervals between two themes, as a table to proofread.

use super::{Moment, Shares, Texture};
use crate::exposition::Entry;
use crate::interval::{Consonance, Interval};
use crate::pitch::Pitch;
use crate::score::Place;

/// Two notes that sound together: a row of an interval table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Meeting {
    /// Where they begin to sound together.
    pub place: Place,
    /// The tick on which they begin to.
    pub onset: i64,
    /// The tick on which one of them ends.
    pub end: i64,
    /// The higher note by sound.
    pub upper: Pitch,
    /// The lower one.
    pub lower: Pitch,
    /// How the two are heard: a fourth is perfect over an inner voice and dissonant over the lowest,
    /// so that [`Consonance::Fourth`] does not occur.
    pub consonance: Consonance,
}

impl Meeting {
    /// The interval from the lower note up to the upper one.
    pub fn interval(&self) -> Interval {
        self.upper - self.lower
    }

    /// How the two are heard, in a word: `perfect`, `imperfect` or `dissonant`.
    pub const fn class(&self) -> &'static str {
        match self.consonance {
            Consonance::Perfect => "perfect",
            Consonance::Imperfect => "imperfect",
            Consonance::Fourth | Consonance::Dissonant => "dissonant",
        }
    }

    fn of(moment: &Moment<'_>) -> Option<Self> {
        let [above, below] = moment.pitches()?;
        let crossed = above.height() < below.height();
        let (upper, lower) = if crossed { (below, above) } else { (above, below) };
        let (onset, end) = (moment.onset(), moment.end());
        let place = moment.pair().texture().place(onset);
        Some(Self { place, onset, end, upper, lower, consonance: moment.consonance()? })
    }
}

impl Texture<'_> {
    /// The interval table of two entries: what their notes sound together, from each change in one
    /// of them to the next. Empty if they never sound together, or share a voice.
    ///
    /// Cost: linear in the notes of their two voices.
    ///
    /// ```
    /// use soggetto::exposition::{Entry, Role};
    /// use soggetto::score::Score;
    /// use soggetto::texture::Texture;
    /// let score = Score::excerpt("A minor", "4/4", &["A4:1/4 C5 B4:1/2", "R:1/4 A4 G4:1/8 E4 D4:1/4"])?;
    /// let [upper, lower] = [(Role::Answer, 0, 3), (Role::Countersubject, 1, 4)].map(|(role, voice, end)| {
    ///     Entry { role, voice, onset: "0".parse().unwrap(), notes: 0..end, key: score.key() }
    /// });
    /// let table = Texture::of(&score).meetings(&upper, &lower);
    /// let rows: Vec<String> = table.iter().map(|row| format!("{} {}", row.place, row.interval())).collect();
    /// assert_eq!(rows[0], "bar 1, beat 2 m3");
    /// assert_eq!(rows.len(), 4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn meetings(&self, one: &Entry, other: &Entry) -> Vec<Meeting> {
        let Some(pair) = self.pair(one.voice, other.voice) else { return Vec::new() };
        let (upper, lower) = if one.voice < other.voice { (one, other) } else { (other, one) };
        let belongs = |moment: &Moment<'_>| {
            let within =
                |note: Option<usize>, entry: &Entry| note.is_some_and(|note| entry.notes.contains(&note));
            let [above, below] = moment.notes();
            within(above, upper) && within(below, lower)
        };
        pair.moments().filter(belongs).filter_map(|moment| Meeting::of(&moment)).collect()
    }
}

impl Shares {
    /// The shares of the time that the rows of a table last.
    pub fn of_meetings(meetings: &[Meeting]) -> Self {
        let rows = meetings.iter();
        Self::of(rows.map(|row| (row.consonance, (row.end - row.onset).unsigned_abs())))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposition::Role;
    use crate::score::Score;

    /// The table of the first two parts of an excerpt in C major and 4/4.
    fn table(lines: &[&str]) -> Vec<Meeting> {
        let score = Score::excerpt("C major", "4/4", lines).unwrap();
        let entry = |voice: usize| {
            let notes = 0..score.parts()[voice].line.notes().len();
            Entry { role: Role::Subject, voice, onset: "0".parse().unwrap(), notes, key: score.key() }
        };
        Texture::of(&score).meetings(&entry(0), &entry(1))
    }

    fn rows(lines: &[&str]) -> Vec<String> {
        let row = |row: &Meeting| format!("{}-{} {} {}", row.upper, row.lower, row.interval(), row.class());
        table(lines).iter().map(row).collect()
    }

    #[test]
    fn table_begins_and_ends_with_what_sounds_together() {
        let lines = ["R:1/4 E5 D5:1/2", "C5:1/2 B4:1/4 R"];
        assert_eq!(rows(&lines), ["E5-C5 M3 imperfect", "D5-B4 m3 imperfect"]);
    }

    #[test]
    fn crossed_voices_are_read_from_the_lower_sound() {
        assert_eq!(rows(&["C4:1", "E4:1"]), ["E4-C4 M3 imperfect"]);
    }

    /// Cherubini, two-part counterpoint; over an inner voice it is free (common practice).
    #[test]
    fn fourth_is_dissonant_over_the_lowest_voice_alone() {
        assert_eq!(rows(&["C5:1", "G4:1"]), ["C5-G4 P4 dissonant"]);
        assert_eq!(rows(&["C5:1", "G4:1", "E3:1"]), ["C5-G4 P4 perfect"]);
    }

    #[test]
    fn notes_outside_the_entries_are_left_out() {
        let score = Score::excerpt("C major", "4/4", &["E4:1/2 F4", "C4:1/2 D4"]).unwrap();
        let entry = |voice, notes| Entry {
            role: Role::Subject,
            voice,
            onset: "0".parse().unwrap(),
            notes,
            key: score.key(),
        };
        let texture = Texture::of(&score);
        assert_eq!(texture.meetings(&entry(0, 1..2), &entry(1, 0..2)).len(), 1);
        assert_eq!(texture.meetings(&entry(1, 0..2), &entry(0, 1..2)).len(), 1);
        assert!(texture.meetings(&entry(0, 0..1), &entry(0, 1..2)).is_empty());
    }

    #[test]
    fn shares_weigh_the_rows_by_their_time() {
        let shares = Shares::of_meetings(&table(&["E5:3/4 D5:1/4", "C5:1/2 A4:1/4 C5"]));
        let shares = [shares.imperfect, shares.perfect, shares.dissonant].map(|share| share.to_string());
        assert_eq!(shares, ["1/2", "1/4", "1/4"]);
    }
}
