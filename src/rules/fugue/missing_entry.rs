//! Voices without an entry.

use super::statement::themes;
use crate::exposition::Outline;
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

/// When the next entry is due: as long after the last as the last but one came after that before it;
/// of fewer than three, at the first place after the exposition that is one like that of the subject.
fn due(texture: &Texture<'_>, outline: &Outline) -> i64 {
    let ticks = |time| texture.grid().ticks(time);
    let end = ticks(outline.end);
    let onsets: Vec<i64> = themes(texture).iter().map(|theme| theme.onset).collect();
    if let [.., one, next, last] = onsets.as_slice() {
        let due = last + next - one;
        if due >= end {
            return due;
        }
    }
    let (score, meter) = (texture.score(), texture.score().meter());
    let bar = ticks(meter.bar());
    let alike = if meter.pulses().count() % 2 == 0 { bar / 2 } else { bar };
    let place = ticks(score.pickup()) + ticks(outline.subject.offset());
    end + (place - end).rem_euclid(alike.max(1))
}

impl Rule for MissingEntry {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(outline) = texture.outline() else { return };
        let enters = |voice: usize| outline.themes().any(|entry| entry.voice == voice);
        let (end, due) = (texture.grid().ticks(outline.end), due(texture, outline));
        for voice in (0..texture.voices()).filter(|&voice| !enters(voice)) {
            let spot = match texture.tones(voice).first() {
                Some(first) => Spot::new(first.onset, vec![(voice, 0)]),
                None => Spot::silent(due, voice),
            };
            let message = format_args!("{} never has subject or answer", texture.name(voice));
            report.add(spot, message, Evidence::of_stretch(texture, end));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found, found_in_fugue};
    use crate::score::Score;

    const LINES: [&str; 3] = ["R:1 G4:1/4 A4 B4 G4", "C4:1/4 D4 E4 C4 B3:1/2 G3", "R:1 G3:1"];

    #[test]
    fn finds_a_voice_that_only_accompanies() {
        assert_eq!(
            found_in_fugue(&MissingEntry, &LINES, &[(Subject, 1, 0..4), (Answer, 0, 0..4)]),
            ["bar 2, beat 1: Caution [(2, 0)] tenor never has subject or answer"]
        );
    }

    #[test]
    fn finds_a_silent_voice_where_its_entry_is_due() {
        let lines = [LINES[0], LINES[1], "R:2"];
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        assert_eq!(
            found_in_fugue(&MissingEntry, &lines, &marks),
            ["bar 3, beat 1: Caution [] tenor never has subject or answer"]
        );
        let score = Score::excerpt("C major", "4/4", &lines).unwrap();
        let outline = Outline::marked(&score, &marks).unwrap();
        assert_eq!(Texture::of(&score).with_outline(&outline).marks(&MissingEntry)[0].voices, [2]);
    }

    #[test]
    fn allows_every_voice_to_enter_and_music_without_an_outline() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..1)];
        assert!(found_in_fugue(&MissingEntry, &LINES, &marks).is_empty());
        assert!(found(&MissingEntry, "4/4", &LINES).is_empty());
    }
}
