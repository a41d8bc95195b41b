//! Remedies: proven repairs, as data that a program can apply.

use crate::line::{Line, LineError, Note};
use crate::score::{Part, Score, ScoreError};
use std::fmt;

/// A proven repair: the smallest change that clears a finding.
///
/// Its text is one clause, `alto: B4 for C5 at bar 3, beat 2`; its changes are data, and
/// [`Remedy::apply`] makes them.
///
/// ```
/// use soggetto::rules::{Change, Remedy};
/// use soggetto::{Note, Score};
/// let score = Score::excerpt("C major", "4/4", &["G4:1/2 A4", "C4:1/2 D4"])?;
/// let from = score.parts()[1].line.notes()[1];
/// let to = vec![Note::new("F4".parse()?, from.onset(), from.duration())];
/// let remedy = Remedy::new(&score, vec![Change { voice: 1, note: 1, from, to }]);
/// assert_eq!(remedy.to_string(), "alto: F4 for D4 at bar 1, beat 3");
/// assert_eq!(remedy.apply(&score)?.parts()[1].line.to_string(), "C4:1/2 F4:1/2");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remedy {
    changes: Vec<Change>,
    message: String,
}

/// What becomes of one note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The voice, 0 being the top part.
    pub voice: usize,
    /// The index of the note in its line as it was, from 0.
    pub note: usize,
    /// The note as it was.
    pub from: Note,
    /// What stands in its place: a note, a note struck twice, or nothing, which is a rest.
    pub to: Vec<Note>,
}

/// Why changes cannot be made in a score.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RemedyError {
    /// The score does not have the note.
    #[error(
        "the remedy is for another score: voice {} has no note {} that is {pitch} (review this score, and seek its own)",
        voice + 1,
        note + 1
    )]
    OtherScore {
        /// The voice, from 0.
        voice: usize,
        /// The index of the note, from 0.
        note: usize,
        /// The pitch that was to be changed.
        pitch: crate::pitch::Pitch,
    },
    /// The changed notes make no line.
    #[error("voice {}: {source}", voice + 1)]
    Line {
        /// The voice, from 0.
        voice: usize,
        /// What is wrong.
        source: LineError,
    },
    /// The changed lines make no score.
    #[error(transparent)]
    Score(#[from] ScoreError),
}

impl RemedyError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::OtherScore { .. } => "remedy-other-score",
            Self::Line { .. } => "remedy-line",
            Self::Score(error) => error.code(),
        }
    }
}

impl Remedy {
    /// The remedy that makes these changes in a score, put in order of voice and note.
    pub fn new(score: &Score, mut changes: Vec<Change>) -> Self {
        changes.sort_by_key(|change| (change.voice, change.note));
        let message = in_words(score, &changes);
        Self { changes, message }
    }

    /// What changes, in order of voice and note.
    pub fn changes(&self) -> &[Change] {
        &self.changes
    }

    /// What changes, in one clause.
    pub fn message(&self) -> &str {
        &self.message
    }

    /// The score with the changes made.
    ///
    /// # Errors
    /// - [`RemedyError::OtherScore`] if the score does not have the notes that are to change;
    /// - [`RemedyError::Line`] or [`RemedyError::Score`] if what results cannot be, as when notes
    ///   overlap.
    pub fn apply(&self, score: &Score) -> Result<Score, RemedyError> {
        Change::apply_all(&self.changes, score)
    }
}

impl Change {
    /// The score with changes made, which stand in order of voice and note.
    pub(crate) fn apply_all(changes: &[Self], score: &Score) -> Result<Score, RemedyError> {
        let mut parts = score.parts().to_vec();
        for own in changes.chunk_by(|a, b| a.voice == b.voice) {
            let Some(first) = own.first() else { continue };
            let part = parts.get_mut(first.voice).ok_or_else(|| first.elsewhere())?;
            if !repitch(&mut part.line, own) {
                part.line = changed(part, own)?;
            }
        }
        Ok(score.with_parts(parts)?)
    }

    fn elsewhere(&self) -> RemedyError {
        RemedyError::OtherScore { voice: self.voice, note: self.note, pitch: self.from.pitch() }
    }
}

/// Makes changes that are of pitch alone; whether they are. No time of the line has to be looked at again.
fn repitch(line: &mut Line, changes: &[Change]) -> bool {
    let times = |note: &Note| (note.onset(), note.duration());
    let is_of_pitch = |change: &Change| {
        let [to] = change.to.as_slice() else { return false };
        times(to) == times(&change.from) && line.notes().get(change.note) == Some(&change.from)
    };
    let are_of_pitch = changes.iter().all(is_of_pitch);
    for change in changes.iter().filter(|_| are_of_pitch) {
        change.to.iter().for_each(|to| line.set_pitch(change.note, to.pitch()));
    }
    are_of_pitch
}

/// The line of a part with its changes made.
fn changed(part: &Part, changes: &[Change]) -> Result<Line, RemedyError> {
    let old = part.line.notes();
    let (mut notes, mut next) = (Vec::with_capacity(old.len() + 1), 0);
    for change in changes {
        if change.note < next || old.get(change.note) != Some(&change.from) {
            return Err(change.elsewhere());
        }
        notes.extend_from_slice(&old[next..change.note]);
        notes.extend_from_slice(&change.to);
        next = change.note + 1;
    }
    notes.extend_from_slice(&old[next..]);
    let length = notes.last().map_or(part.line.length(), |note| note.end().max(part.line.length()));
    let voice = changes.first().map_or(0, |change| change.voice);
    Line::from_notes(notes, length).map_err(|source| RemedyError::Line { voice, source })
}

/// `alto: B4 for C5 at bar 3, beat 2, and A4 for B4 at bar 3, beat 3; tenor: a rest for ...`.
fn in_words(score: &Score, changes: &[Change]) -> String {
    let of_voice = |own: &[Change]| {
        let voice = own.first().map_or(0, |change| change.voice);
        let name = score.parts().get(voice).map_or("", |part| part.voice.name());
        let clauses: Vec<String> = own.iter().map(|change| clause(score, change)).collect();
        format!("{name}: {}", clauses.join(", and "))
    };
    let voices: Vec<String> = changes.chunk_by(|a, b| a.voice == b.voice).map(of_voice).collect();
    voices.join("; ")
}

/// One change; durations are named where they change.
fn clause(score: &Score, Change { from, to, .. }: &Change) -> String {
    let place =
        |note: &Note| score.place(note.onset()).map_or(note.onset().to_string(), |place| place.to_string());
    let timed = |note: &Note| format!("{}:{}", note.pitch(), note.duration());
    match to.as_slice() {
        [] => format!("a rest for {} at {}", from.pitch(), place(from)),
        [to] if (to.onset(), to.duration()) == (from.onset(), from.duration()) => {
            format!("{} for {} at {}", to.pitch(), from.pitch(), place(from))
        }
        [to] if to.onset() != from.onset() => {
            format!("{} at {} for {} at {}", timed(to), place(to), timed(from), place(from))
        }
        several => {
            let several: Vec<String> = several.iter().map(timed).collect();
            format!("{} for {} at {}", several.join(" "), timed(from), place(from))
        }
    }
}

impl fmt::Display for Remedy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.message)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn score() -> Score {
        Score::excerpt("C major", "4/4", &["G4:1/2 A4", "C4:1/2 D4:1/4 D4"]).unwrap()
    }

    /// A change of one note of the score into the notes of a text, which begin with the note.
    fn change(voice: usize, note: usize, text: &str) -> Change {
        let from = score().parts()[voice].line.notes()[note];
        let line: Line = format!("R:{} {text}", from.onset()).replace("R:0 ", "").parse().unwrap();
        Change { voice, note, from, to: line.notes().to_vec() }
    }

    fn lines(score: &Score) -> Vec<String> {
        score.parts().iter().map(|part| part.line.to_string()).collect()
    }

    #[test]
    fn changes_are_told_in_one_clause_and_made() {
        let rows = [
            (vec![change(0, 1, "B4:1/2")], "soprano: B4 for A4 at bar 1, beat 3", "G4:1/2 B4:1/2"),
            (
                vec![change(0, 0, "G4:1/4 G4:1/4")],
                "soprano: G4:1/4 G4:1/4 for G4:1/2 at bar 1, beat 1",
                "G4:1/4 G4:1/4 A4:1/2",
            ),
            (
                vec![change(0, 0, "G4:3/4"), change(0, 1, "R:1/4 A4:1/4")],
                "soprano: G4:3/4 for G4:1/2 at bar 1, beat 1, and A4:1/4 at bar 1, beat 4 for A4:1/2 at bar 1, beat 3",
                "G4:3/4 A4:1/4",
            ),
        ];
        for (changes, message, line) in rows {
            let remedy = Remedy::new(&score(), changes);
            assert_eq!(remedy.to_string(), message);
            assert_eq!(lines(&remedy.apply(&score()).unwrap())[0], line);
        }
    }

    #[test]
    fn changes_in_two_voices_are_put_in_order() {
        let silent = Change { to: Vec::new(), ..change(1, 2, "D4") };
        let remedy = Remedy::new(&score(), vec![silent, change(0, 1, "F4:1/2")]);
        assert_eq!(
            remedy.message(),
            "soprano: F4 for A4 at bar 1, beat 3; alto: a rest for D4 at bar 1, beat 4"
        );
        assert_eq!(lines(&remedy.apply(&score()).unwrap()), ["G4:1/2 F4:1/2", "C4:1/2 D4:1/4 R:1/4"]);
    }

    #[test]
    fn errors_tell_what_cannot_be_changed() {
        let other = Score::excerpt("C major", "4/4", &["G4:1/2 G4"]).unwrap();
        let error = |changes| Remedy::new(&score(), changes).apply(&other).unwrap_err();
        let wrong = error(vec![change(0, 1, "B4:1/2")]);
        assert_eq!(
            wrong.to_string(),
            "the remedy is for another score: voice 1 has no note 2 that is A4 (review this score, and seek its own)"
        );
        assert_eq!(wrong.code(), "remedy-other-score");
        assert_eq!(error(vec![change(1, 0, "B3:1/2")]).code(), "remedy-other-score");
        let overlapping = error(vec![change(0, 0, "G4:3/4")]);
        assert_eq!(overlapping.code(), "remedy-line");
        assert_eq!(
            overlapping.to_string(),
            "voice 1: note 2 begins at 1/2, before the one before has ended at 3/4: a line has one note at a time"
        );
    }
}
