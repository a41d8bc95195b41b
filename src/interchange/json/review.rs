//! The review of a score.

use super::exposition::EntryFile;
use super::{line, page};
use crate::exposition::Entry;
use crate::interchange::Review;
use crate::key::Key;
use crate::line::{Line, Note};
use crate::meter::Meter;
use crate::pitch::Pitch;
use crate::rules::{Change, Evidence, Finding, Remedy};
use crate::score::{MeterChangeFile, Part, Score};
use crate::texture::{Pair, Shares, Texture};
use crate::time::Time;
use serde::Serialize;

#[derive(Serialize)]
struct ReviewFile<'a> {
    key: Key,
    meter: Meter,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    meters: Vec<MeterChangeFile>,
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
    imperfect: String,
    perfect: String,
    dissonant: String,
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
    Instead { found: Pitch, due: Pitch },
    Stretch { duration: Time },
}

/// Writes a review as a page of JSON: `{"key", "meter", "meters"?, "voices", "subject", "entries",
/// "consonance", "findings"}`. Voice 0 is the top part; shares of consonance are exact
/// fractions of the time in which both voices sound; `meters` are the changes of meter,
/// `{"bar", "meter"}` each; `notes` of an entry is how many notes it has. The key is that of the subject,
/// if there is one. An entry upside down or in other note values has a further field `"form"`:
/// `"inverted"`, `"augmented"`, `"diminished"`, `"inverted and augmented"` or `"inverted and diminished"`.
pub fn write_review(review: &Review<'_>) -> String {
    page(&ReviewFile::from(review))
}

/// Writes a review as one line of JSON, for JSON Lines.
pub fn write_review_line(review: &Review<'_>) -> String {
    line(&ReviewFile::from(review))
}

impl<'a> From<&Review<'a>> for ReviewFile<'a> {
    fn from(review: &Review<'a>) -> Self {
        let score = review.score;
        let theme = review.first_entry().zip(review.outline);
        let entries = review.statements().into_iter();
        Self {
            key: review.key(),
            meter: score.meter(),
            meters: MeterChangeFile::all(score),
            voices: score.parts().iter().map(VoiceFile::from).collect(),
            subject: theme.map(|(entry, outline)| ThemeFile::of(entry, outline.subject.line(), score)),
            entries: entries.map(|(entry, form)| EntryFile::of(entry, score).in_form(form)).collect(),
            consonance: Texture::of(score).pairs().map(ShareFile::from).collect(),
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
    fn of(entry: &Entry, line: &'a Line, score: &Score) -> Self {
        let place = score.place(entry.onset);
        Self {
            voice: entry.voice,
            onset: entry.onset,
            bar: place.as_ref().map_or(0, |place| place.bar),
            beat: place.map_or(Time::ZERO, |place| place.beat),
            notes: entry.notes.len(),
            line,
        }
    }
}

impl From<Pair<'_>> for ShareFile {
    fn from(pair: Pair<'_>) -> Self {
        let Shares { imperfect, perfect, dissonant } = pair.shares_by_time();
        Self {
            voices: [pair.upper(), pair.lower()],
            imperfect: imperfect.to_string(),
            perfect: perfect.to_string(),
            dissonant: dissonant.to_string(),
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
            Evidence::Instead { found, due } => Self::Instead { found, due },
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
        let (outline, findings) = (exposition.outline(), [fixture::finding()]);
        let review = Review { outline: Some(&outline), ..Review::of(exposition.score(), &findings) };
        let value: Value = serde_json::from_str(&write_review(&review)).unwrap();
        assert_eq!(value["key"], "D minor");
        assert_eq!(value["voices"][2], json!({"name": "Bass", "lowest": "D3", "highest": "A3"}));
        assert_eq!(value["subject"]["bar"], 1);
        assert_eq!(value["subject"]["line"], exposition.subject().line().to_string());
        assert_eq!(
            value["entries"][1],
            json!({"role": "answer", "voice": 0, "onset": "2", "bar": 3, "beat": "1", "notes": 11, "key": "A minor"})
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
    fn entry_in_another_form_says_so() {
        let exposition = fixture::exposition();
        let (outline, transformed) = (exposition.outline(), [fixture::inverted(&exposition)]);
        let review = Review {
            outline: Some(&outline),
            transformed: &transformed,
            ..Review::of(exposition.score(), &[])
        };
        let value: Value = serde_json::from_str(&write_review(&review)).unwrap();
        let entries = value["entries"].as_array().unwrap();
        assert_eq!(entries.len(), outline.entries.len() + 1);
        let last = entries.last().unwrap();
        assert_eq!((&last["role"], &last["form"]), (&json!("answer"), &json!("inverted")));
        assert_eq!(entries.iter().filter(|entry| entry.get("form").is_some()).count(), 1);
    }

    /// The file may give another key than the one that the subject is in.
    #[test]
    fn key_is_that_of_the_subject() {
        let exposition = fixture::exposition();
        let (outline, score) = (exposition.outline(), exposition.score());
        let key = "F major".parse().unwrap();
        let score = Score::new(key, score.meter(), score.pickup(), score.parts().to_vec()).unwrap();
        let with = |outline| Review { outline, ..Review::of(&score, &[]) };
        let key = |review: &Review<'_>| {
            serde_json::from_str::<Value>(&write_review(review)).unwrap()["key"].clone()
        };
        assert_eq!((key(&with(Some(&outline))), key(&with(None))), (json!("D minor"), json!("F major")));
    }

    #[test]
    fn shares_are_exact_fractions_of_the_time_in_which_both_sound() {
        // Sixth for a half, fifth for a quarter, seventh for an eighth, tenth for an eighth.
        let lines = ["C5:1/2 B4:1/4 B4:1/8 G4", "E4:1/2 E4:1/4 C4:1/8 E3"];
        let score = fixture::score("C major", "4/4", "0", &lines);
        let value: Value = serde_json::from_str(&write_review(&Review::of(&score, &[]))).unwrap();
        let shares = json!([{"voices": [0, 1], "imperfect": "5/8", "perfect": "1/4", "dissonant": "1/8"}]);
        assert_eq!(value["consonance"], shares);
    }

    #[test]
    fn remedy_tells_what_becomes_of_which_note() {
        let score = fixture::score("C major", "4/4", "0", &["G4:1/2 A4", "C4:1/2 D4"]);
        let from = score.parts()[0].line.notes()[1];
        let to = vec![Note::new("B4".parse().unwrap(), from.onset(), from.duration())];
        let remedy = Remedy::new(&score, vec![Change { voice: 0, note: 1, from, to }]);
        let findings = [Finding { remedy: Some(remedy), ..fixture::finding() }];
        let value: Value = serde_json::from_str(&write_review(&Review::of(&score, &findings))).unwrap();
        let remedy = &value["findings"][0]["remedy"];
        assert!(remedy["message"].as_str().unwrap().ends_with("B4 for A4 at bar 1, beat 3"));
        assert_eq!(
            remedy["changes"],
            json!([{
                "voice": 0, "note": 1,
                "from": {"onset": "1/2", "pitch": "A4", "duration": "1/2"},
                "to": [{"onset": "1/2", "pitch": "B4", "duration": "1/2"}]
            }])
        );
    }

    #[test]
    fn score_without_subject_says_null() {
        let score = fixture::score("C major", "4/4", "0", &["C4:1"]);
        let review = Review::of(&score, &[]);
        let value: Value = serde_json::from_str(&write_review(&review)).unwrap();
        assert_eq!(value["subject"], Value::Null);
        assert_eq!(serde_json::from_str::<Value>(&write_review_line(&review)).unwrap(), value);
    }
}
