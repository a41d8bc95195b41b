//! The clean expositions into which faults are planted.

use crate::common::subjects;
use soggetto::compose::{DraftOptions, draft};
use soggetto::ensemble::Ensemble;
use soggetto::exposition::{Entry, Exposition, Outline, Role};
use soggetto::interchange::read_score;
use soggetto::line::{Line, Note};
use soggetto::recognize::recognize;
use soggetto::score::{Part, Score};
use soggetto::subject::Subject;
use soggetto::time::Time;
use std::path::Path;

/// An exposition, and what is known of it without asking the library to recognize anything.
pub(crate) struct Clean {
    pub(crate) name: String,
    pub(crate) music: Music,
    pub(crate) outline: Outline,
}

/// A score whose notes can be changed.
#[derive(Clone, Debug)]
pub(crate) struct Music {
    score: Score,
    pub(crate) lines: Vec<Vec<Note>>,
}

impl Music {
    pub(crate) fn of(score: &Score) -> Self {
        let lines = score.parts().iter().map(|part| part.line.notes().to_vec()).collect();
        Self { score: score.clone(), lines }
    }

    /// The score as it was before any change.
    pub(crate) fn frame(&self) -> &Score {
        &self.score
    }

    /// The score of the notes as they are.
    pub(crate) fn score(&self) -> Score {
        let parts = self.score.parts().iter().zip(&self.lines).map(|(part, notes)| {
            let end = notes.last().map_or(Time::ZERO, |note| note.end());
            let line = Line::from_notes(notes.iter().copied(), part.line.length().max(end)).unwrap();
            Part { voice: part.voice.clone(), line }
        });
        let (key, meter, pickup) = (self.score.key(), self.score.meter(), self.score.pickup());
        Score::new(key, meter, pickup, parts.collect()).unwrap()
    }

    /// How long a beat is: the lower figure of the meter.
    pub(crate) fn beat(&self) -> Time {
        self.score.meter().unit()
    }

    /// Whether a time is the beginning of one of the meter's pulses.
    pub(crate) fn is_pulse(&self, time: Time) -> bool {
        self.pulse(time).is_some_and(|(begin, _)| begin == time)
    }

    /// The pulse in which a time lies: from when to when.
    pub(crate) fn pulse(&self, time: Time) -> Option<(Time, Time)> {
        let bar = self.score.place(time).ok()?.bar;
        let start = self.score.bar_start(bar).ok()?;
        let start =
            if bar == 0 { self.score.pickup().checked_sub(self.score.meter().bar()).ok()? } else { start };
        let pulses = self.score.meter();
        let mut pulses = pulses.pulses().filter_map(|(place, length)| {
            let begin = start.checked_add(place).ok()?;
            Some((begin, begin.checked_add(length).ok()?))
        });
        pulses.find(|(begin, end)| *begin <= time && time < *end)
    }
}

impl Clean {
    /// The entries of subject and answer in the exposition, in order of onset.
    pub(crate) fn themes(&self) -> Vec<&Entry> {
        self.outline.themes().filter(|entry| entry.onset < self.outline.end).collect()
    }

    /// The entries of the countersubject in the exposition.
    pub(crate) fn countersubjects(&self) -> Vec<&Entry> {
        self.outline.countersubjects().filter(|entry| entry.onset < self.outline.end).collect()
    }

    pub(crate) fn notes(&self, entry: &Entry) -> &[Note] {
        &self.music.lines[entry.voice][entry.notes.clone()]
    }

    pub(crate) fn end_of(&self, entry: &Entry) -> Time {
        self.notes(entry).last().unwrap().end()
    }

    /// The entry to which a note belongs, if any.
    pub(crate) fn entry_of(&self, voice: usize, note: usize) -> Option<&Entry> {
        self.outline.entries.iter().find(|entry| entry.voice == voice && entry.notes.contains(&note))
    }

    /// Whether an answer sounds at a time.
    pub(crate) fn is_in_answer(&self, time: Time) -> bool {
        let mut answers = self.outline.themes().filter(|entry| entry.role == Role::Answer);
        answers.any(|entry| entry.onset <= time && time < self.end_of(entry))
    }
}

/// Drafts of every demo subject, in two to five voices and in every ensemble that can play them in turn, so
/// many rounds.
pub(crate) fn drafts(rounds: usize) -> Vec<Clean> {
    let subjects = subjects();
    let mut drafts = Vec::new();
    for round in 0..rounds {
        for (index, (name, subject)) in subjects.iter().enumerate() {
            let voices = 2 + (index + round) % 4;
            let seed = u64::try_from(round).unwrap();
            let (ensemble, exposition) = played(subject, voices, index / 4 + round, seed);
            drafts.push(Clean {
                name: format!("{name} in {voices} for {ensemble}, seed {seed}"),
                music: Music::of(exposition.score()),
                outline: exposition.outline(),
            });
        }
    }
    drafts
}

/// A draft for the first ensemble, from one on, that has so many voices and that the subject suits.
fn played(subject: &Subject, voices: usize, from: usize, seed: u64) -> (&'static str, Exposition) {
    let names = Ensemble::NAMES.iter().cycle().skip(from).take(Ensemble::NAMES.len());
    let mut drafts = names.filter_map(|name| {
        let ensemble = Ensemble::named(name).ok()?.with_voices(voices).ok()?;
        Some((*name, draft(subject, &DraftOptions::new(ensemble).with_seed(seed)).ok()?))
    });
    drafts.next().unwrap()
}

/// The fugues in a folder of scores, with the outline that recognition finds in them as they are.
pub(crate) fn strangers(folder: &Path) -> Vec<Clean> {
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let read = paths.iter().filter_map(|path| {
        let score = read_score(path).ok()?.score;
        let outline = recognize(&score)?.outline;
        let name = path.file_stem()?.to_string_lossy().into_owned();
        Some(Clean { name, music: Music::of(&score), outline })
    });
    read.collect()
}
