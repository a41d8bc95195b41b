//! Voices without an entry.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("missing_entry.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct MissingEntry;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("missing-entry"),
    severity: Severity::Caution,
    summary: "a voice never states subject or answer",
    page: include_str!("missing_entry.md"),
    source: Source::Handbook("Prout, Fugue, §§11, 203"),
};

impl Rule for MissingEntry {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(outline) = texture.outline() else { return };
        let enters = |voice: usize| outline.themes().any(|entry| entry.voice == voice);
        let end = texture.grid().ticks(outline.end);
        for voice in (0..texture.voices()).filter(|&voice| !enters(voice)) {
            let spot = match texture.tones(voice).first() {
                Some(first) => Spot::new(first.onset, vec![(voice, 0)]),
                None => Spot::new(end, Vec::new()),
            };
            let message = format_args!("{} never has subject or answer", texture.name(voice));
            report.add(spot, message, Evidence::of_stretch(texture, end));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::MissingEntry;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found, found_in_fugue};

    const LINES: [&str; 3] = ["R:1 G4:1/4 A4 B4 G4", "C4:1/4 D4 E4 C4 B3:1/2 G3", "R:1 G3:1"];

    #[test]
    fn finds_a_voice_that_only_accompanies() {
        assert_eq!(
            found_in_fugue(&MissingEntry, &LINES, &[(Subject, 1, 0..4), (Answer, 0, 0..4)]),
            ["bar 2, beat 1: Caution [(2, 0)] tenor never has subject or answer"]
        );
    }

    #[test]
    fn finds_a_silent_voice_at_the_end_of_the_exposition() {
        let lines = [LINES[0], LINES[1], "R:2"];
        assert_eq!(
            found_in_fugue(&MissingEntry, &lines, &[(Subject, 1, 0..4), (Answer, 0, 0..4)]),
            ["bar 3, beat 1: Caution [] tenor never has subject or answer"]
        );
    }

    #[test]
    fn allows_every_voice_to_enter_and_music_without_an_outline() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..1)];
        assert!(found_in_fugue(&MissingEntry, &LINES, &marks).is_empty());
        assert!(found(&MissingEntry, "4/4", &LINES).is_empty());
    }
}
