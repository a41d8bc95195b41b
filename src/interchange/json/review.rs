//! The review of a score.

use super::exposition::EntryFile;
use super::{line, page};
use crate::exposition::Entry;
use crate::key::Key;
use crate::line::{Line, Note};
use crate::meter::Meter;
use crate::pitch::Pitch;
use crate::rules::{Change, Evidence, Finding, Remedy};
use crate::score::{Part, Score};
use crate::time::Time;
use serde::Serialize;

/// What a review says of a score.
#[derive(Clone, Copy, Debug)]
pub struct Review<'a> {
    /// The score.
    pub score: &'a Score,
    /// Its subject; `None` if it is no fugue.
    pub subject: Option<Theme<'a>>,
    /// The entries.
    pub entries: &'a [Entry],
    /// How the pairs of voices consonate.
    pub consonance: &'a [Share],
    /// The findings, in order of onset.
    pub findings: &'a [Finding],
}

/// A subject in a score: its first entry, and its notes from time zero.
#[derive(Clone, Copy, Debug)]
pub struct Theme<'a> {
    /// The first entry.
    pub entry: &'a Entry,
    /// The notes.
    pub line: &'a Line,
}

/// How long two voices sound together in which class, in whole notes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Share {
    /// The voices, the upper one first, 0 being the top part.
    pub voices: [usize; 2],
    /// In perfect consonance.
    pub perfect: Time,
    /// In imperfect consonance.
    pub imperfect: Time,
    /// In dissonance.
    pub dissonant: Time,
}

#[derive(Serialize)]
struct ReviewFile<'a> {
    key: Key,
    meter: Meter,
    voices: Vec<VoiceFile<'a>>,
    subject: Option<ThemeFile<'a>>,
    entries: Vec<EntryFile>,
    consonance: Vec<ShareFile>,
    findings: Vec<FindingFile<'a>>,
}

/// A voice with the lowest and highest note it has, by sound.
#[derive(Serialize)]
struct VoiceFile<'a> {
    name: &'a str,
    lowest: Option<Pitch>,
    highest: Option<Pitch>,
}

#[derive(Serialize)]
struct ThemeFile<'a> {
    voice: usize,
    onset: Time,
    bar: i64,
    beat: Time,
    notes: usize,
    line: &'a Line,
}

/// Shares as fractions of the time in which both voices sound.
#[derive(Serialize)]
struct ShareFile {
    voices: [usize; 2],
    imperfect: Time,
    perfect: Time,
    dissonant: Time,
}

#[derive(Serialize)]
struct FindingFile<'a> {
    rule: &'a str,
    severity: String,
    bar: i64,
    beat: Time,
    onset: Time,
    voices: &'a [usize],
    notes: &'a [(usize, usize)],
    message: &'a str,
    evidence: EvidenceFile,
    source: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    remedy: Option<RemedyFile<'a>>,
}

#[derive(Serialize)]
struct RemedyFile<'a> {
    message: &'a str,
    changes: Vec<ChangeFile>,
}

/// A note and what stands in its place.
#[derive(Serialize)]
struct ChangeFile {
    voice: usize,
    note: usize,
    from: NoteFile,
    to: Vec<NoteFile>,
}

#[derive(Serialize)]
struct NoteFile {
    onset: Time,
    pitch: Pitch,
    duration: Time,
}

/// Evidence, its kind in a field of its own, its notes as text.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum EvidenceFile {
    Motion { upper: [Pitch; 2], lower: [Pitch; 2] },
    Melody { from: Pitch, to: Pitch, interval: String },
    Vertical { upper: Pitch, lower: Pitch, interval: String },
    Limit { pitch: Pitch, limit: Pitch },
    Stretch { duration: Time },
}

/// Writes a review as a page of JSON: `{"key", "meter", "voices", "subject", "entries",
/// "consonance", "findings"}`. Voice 0 is the top part; shares are exact fractions of the time in
/// which both voices sound; `notes` of an entry is how many notes it has.
pub fn write_review(review: &Review<'_>) -> String {
    page(&ReviewFile::from(*review))
}

/// Writes a review as one line of JSON, for JSON Lines.
pub fn write_review_line(review: &Review<'_>) -> String {
    line(&ReviewFile::from(*review))
}

impl<'a> From<Review<'a>> for ReviewFile<'a> {
    fn from(review: Review<'a>) -> Self {
        let score = review.score;
        Self {
            key: score.key(),
            meter: score.meter(),
            voices: score.parts().iter().map(VoiceFile::from).collect(),
            subject: review.subject.map(|theme| ThemeFile::of(theme, score)),
            entries: review.entries.iter().map(|entry| EntryFile::of(entry, score)).collect(),
            consonance: review.consonance.iter().map(ShareFile::from).collect(),
            findings: review.findings.iter().map(FindingFile::from).collect(),
        }
    }
}

impl<'a> From<&'a Part> for VoiceFile<'a> {
    fn from(part: &'a Part) -> Self {
        let pitches = || part.line.notes().iter().map(|note| note.pitch());
        Self {
            name: part.voice.name(),
            lowest: pitches().min_by_key(|pitch| pitch.height()),
            highest: pitches().max_by_key(|pitch| pitch.height()),
        }
    }
}

impl<'a> ThemeFile<'a> {
    fn of(theme: Theme<'a>, score: &Score) -> Self {
        let Entry { voice, onset, ref notes, .. } = *theme.entry;
        let place = score.place(onset);
        Self {
            voice,
            onset,
            bar: place.as_ref().map_or(0, |place| place.bar),
            beat: place.map_or(Time::ZERO, |place| place.beat),
            notes: notes.len(),
            line: theme.line,
        }
    }
}

impl From<&Share> for ShareFile {
    fn from(share: &Share) -> Self {
        let add = |sum: Time, part: Time| sum.checked_add(part).unwrap_or(sum);
        let both = add(add(share.perfect, share.imperfect), share.dissonant);
        let of_both = |part: Time| part.scaled(both.denominator(), both.numerator()).unwrap_or(Time::ZERO);
        Self {
            voices: share.voices,
            imperfect: of_both(share.imperfect),
            perfect: of_both(share.perfect),
            dissonant: of_both(share.dissonant),
        }
    }
}

impl<'a> From<&'a Finding> for FindingFile<'a> {
    fn from(finding: &'a Finding) -> Self {
        Self {
            rule: finding.rule.as_str(),
            severity: finding.severity.to_string(),
            bar: finding.place.bar,
            beat: finding.place.beat,
            onset: finding.place.onset,
            voices: &finding.voices,
            notes: &finding.notes,
            message: &finding.message,
            evidence: (&finding.evidence).into(),
            source: finding.source.to_string(),
            remedy: finding.remedy.as_ref().map(RemedyFile::from),
        }
    }
}

impl<'a> From<&'a Remedy> for RemedyFile<'a> {
    fn from(remedy: &'a Remedy) -> Self {
        Self { message: remedy.message(), changes: remedy.changes().iter().map(ChangeFile::from).collect() }
    }
}

impl From<&Change> for ChangeFile {
    fn from(Change { voice, note, from, to }: &Change) -> Self {
        let to = to.iter().map(NoteFile::from).collect();
        Self { voice: *voice, note: *note, from: from.into(), to }
    }
}

impl From<&Note> for NoteFile {
    fn from(note: &Note) -> Self {
        Self { onset: note.onset(), pitch: note.pitch(), duration: note.duration() }
    }
}

impl From<&Evidence> for EvidenceFile {
    fn from(evidence: &Evidence) -> Self {
        match *evidence {
            Evidence::Motion { upper, lower } => Self::Motion { upper, lower },
            Evidence::Melody { from, to, interval } => {
                Self::Melody { from, to, interval: interval.to_string() }
            }
            Evidence::Vertical { upper, lower, interval } => {
                Self::Vertical { upper, lower, interval: interval.to_string() }
            }
            Evidence::Limit { pitch, limit } => Self::Limit { pitch, limit },
            Evidence::Stretch { duration } => Self::Stretch { duration },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;
    use serde_json::{Value, json};

    #[test]
    fn review_has_the_fields_of_the_script_interface() {
        let exposition = fixture::exposition();
        let findings = [fixture::finding()];
        let time = |text: &str| text.parse().unwrap();
        let share =
            Share { voices: [0, 1], perfect: time("1/2"), imperfect: time("5/4"), dissonant: time("3/4") };
        let text = write_review(&Review {
            score: exposition.score(),
            subject: Some(Theme { entry: &exposition.entries()[0], line: exposition.subject().line() }),
            entries: exposition.entries(),
            consonance: &[share],
            findings: &findings,
        });
        let value: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(value["key"], "D minor");
        assert_eq!(value["voices"][2], json!({"name": "Bass", "lowest": "D3", "highest": "A3"}));
        assert_eq!(value["subject"]["bar"], 1);
        assert_eq!(
            value["entries"][1],
            json!({"role": "answer", "voice": 0, "onset": "2", "bar": 3, "beat": "1", "notes": 11, "key": "A minor"})
        );
        assert_eq!(
            value["consonance"][0],
            json!({"voices": [0, 1], "imperfect": "1/2", "perfect": "1/5", "dissonant": "3/10"})
        );
        assert_eq!(
            value["findings"][0],
            json!({
                "rule": "parallel-perfects", "severity": "Fault", "bar": 3, "beat": "2", "onset": "9/4",
                "voices": [0, 1], "notes": [[0, 1], [1, 12]],
                "message": "Soprano and Alto move in parallel fifths",
                "evidence": {"kind": "motion", "upper": ["A4", "D5"], "lower": ["D4", "G4"]},
                "source": "common practice"
            })
        );
    }

    #[test]
    fn score_without_subject_says_null() {
        let score = fixture::score("C major", "4/4", "0", &["C4:1"]);
        let review = Review { score: &score, subject: None, entries: &[], consonance: &[], findings: &[] };
        let value: Value = serde_json::from_str(&write_review(&review)).unwrap();
        assert_eq!(value["subject"], Value::Null);
        assert_eq!(serde_json::from_str::<Value>(&write_review_line(&review)).unwrap(), value);
    }
}
