//! What a notation format writes: music with a title and labels.

use crate::exposition::{Exposition, Role};
use crate::score::Score;
use crate::time::Time;

/// The tempo where none is given: a walking pace, pulses a minute.
pub const DEFAULT_TEMPO: u16 = 72;
/// The slowest tempo, pulses a minute.
pub const MIN_TEMPO: u16 = 10;
/// The fastest tempo, pulses a minute.
pub const MAX_TEMPO: u16 = 500;

/// A word over a note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Label {
    /// The voice, 0 being the top part.
    pub voice: usize,
    /// Where it stands.
    pub onset: Time,
    /// What it says.
    pub text: &'static str,
}

/// A score with a title, labels and a tempo.
///
/// Made of a `&Score` (no title, no labels) or a `&Exposition` (the subject's title; each entry
/// labelled by its role, each codetta in the highest voice that begins a note there).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet<'a> {
    score: &'a Score,
    title: Option<&'a str>,
    labels: Vec<Label>,
    tempo: u16,
}

impl<'a> Sheet<'a> {
    /// With a title.
    #[must_use]
    pub fn with_title(self, title: &'a str) -> Self {
        Self { title: Some(title), ..self }
    }

    /// With a tempo in pulses a minute (the conductor's beats: dotted quarters in 6/8; in an
    /// irregular meter the shortest of its groups), brought into the range from [`MIN_TEMPO`] to
    /// [`MAX_TEMPO`].
    #[must_use]
    pub fn with_tempo(self, tempo: u16) -> Self {
        Self { tempo: tempo.clamp(MIN_TEMPO, MAX_TEMPO), ..self }
    }

    /// The music.
    pub const fn score(&self) -> &'a Score {
        self.score
    }

    /// The title.
    pub const fn title(&self) -> Option<&'a str> {
        self.title
    }

    /// The labels, in order of onset.
    pub fn labels(&self) -> &[Label] {
        &self.labels
    }

    /// Pulses a minute.
    pub const fn tempo(&self) -> u16 {
        self.tempo
    }

    /// The length of one pulse.
    pub fn pulse(&self) -> Time {
        self.score.meter().pulses().map(|(_, length)| length).min().unwrap_or(Time::WHOLE)
    }
}

impl<'a> From<&'a Score> for Sheet<'a> {
    fn from(score: &'a Score) -> Self {
        Self { score, title: None, labels: Vec::new(), tempo: DEFAULT_TEMPO }
    }
}

impl<'a> From<&'a Exposition> for Sheet<'a> {
    fn from(exposition: &'a Exposition) -> Self {
        let score = exposition.score();
        let entries = exposition.entries().iter();
        let entries =
            entries.map(|entry| Label { voice: entry.voice, onset: entry.onset, text: title_of(entry.role) });
        let codettas = exposition.codettas().iter();
        let codettas = codettas.map(|link| Label {
            voice: highest_attack(score, link.onset),
            onset: link.onset,
            text: "Codetta",
        });
        let mut labels: Vec<Label> = entries.chain(codettas).collect();
        labels.sort_by_key(|label| (label.onset, label.voice));
        Self { labels, title: exposition.subject().title(), ..Self::from(score) }
    }
}

/// The highest voice that begins a note at an onset; the top part if none does.
fn highest_attack(score: &Score, onset: Time) -> usize {
    let attacks =
        |line: &crate::line::Line| line.notes().binary_search_by_key(&onset, |note| note.onset()).is_ok();
    score.parts().iter().position(|part| attacks(&part.line)).unwrap_or(0)
}

/// The MIDI channel of a voice, from 0: the tenth is left to percussion, and there is no seventeenth.
#[cfg(any(feature = "midi", feature = "musicxml"))]
pub(super) fn channel(voice: usize) -> Option<u8> {
    const PERCUSSION: u8 = 9;
    (0..16).filter(|&channel| channel != PERCUSSION).nth(voice)
}

const fn title_of(role: Role) -> &'static str {
    match role {
        Role::Subject => "Subject",
        Role::Answer => "Answer",
        Role::Countersubject => "Countersubject",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;

    #[test]
    fn exposition_labels_its_entries_and_codettas_in_order() {
        let exposition = fixture::exposition();
        let sheet = Sheet::from(&exposition);
        let labels: Vec<String> =
            sheet.labels().iter().map(|l| format!("{} {} {}", l.onset, l.voice, l.text)).collect();
        assert_eq!(
            labels,
            [
                "0 1 Subject",
                "2 0 Answer",
                "2 1 Countersubject",
                "4 0 Codetta",
                "5 0 Countersubject",
                "5 2 Subject"
            ]
        );
        assert_eq!(sheet.title(), Some("Fughetta in D minor"));
    }

    #[test]
    fn pulse_is_the_conductors_beat() {
        let pulse = |meter: &str| {
            let score = fixture::score("C major", meter, "0", &["C4:1/4"]);
            Sheet::from(&score).pulse().to_string()
        };
        assert_eq!(pulse("6/8"), "3/8");
        assert_eq!(pulse("2+2+3/8"), "1/4");
        assert_eq!(pulse("3/4"), "1/4");
    }
}
