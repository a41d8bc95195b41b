//! Voices without an entry.

use super::statement::{Statement, themes};
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

/// How many times as long as the subject the others wait for a voice before it is missed: longer than
/// any codetta.
const PATIENCE: i64 = 3;

/// When the next entry is due after some: as long after the last as the last but one came after that
/// before it; of fewer than three, at the first place after the last that is one like that of the
/// subject.
fn due(texture: &Texture<'_>, outline: &Outline, themes: &[Statement<'_>]) -> i64 {
    let ticks = |time| texture.grid().ticks(time);
    let end = themes.last().map_or(0, |last| last.end);
    if let [.., one, next, last] = themes {
        let due = last.onset + next.onset - one.onset;
        if due >= end {
            return due;
        }
    }
    let meter = texture.score().meters().at(texture.time(end));
    let (bar, line) = (ticks(meter.bar()), texture.accents().bar_line(end));
    let alike = if meter.pulses().count().is_multiple_of(2) { bar / 2 } else { bar };
    let place = line + ticks(outline.subject.offset());
    end + (place - end).rem_euclid(alike.max(1))
}

/// The entries of the first round and the voices that enter after it. The round is over when the theme
/// has been silent for three times its length, or for longer than itself before a voice has it again.
fn waited_for<'s, 't>(
    themes: &'s [Statement<'t>],
    length: i64,
) -> (&'s [Statement<'t>], Vec<&'s Statement<'t>>) {
    let is_over = |next: usize| {
        let (Some(one), Some(theme)) =
            (next.checked_sub(1).and_then(|one| themes.get(one)), themes.get(next))
        else {
            return false;
        };
        let is_again = themes.iter().take(next).any(|it| it.voice() == theme.voice());
        theme.onset - one.end > if is_again { length } else { PATIENCE * length }
    };
    let count = (1..themes.len()).find(|&next| is_over(next)).unwrap_or(themes.len());
    let (before, after) = themes.split_at(count);
    let mut late: Vec<&Statement<'t>> = Vec::new();
    for theme in after {
        let is_known = |it: &&Statement<'_>| it.voice() == theme.voice();
        if !before.iter().any(|it| it.voice() == theme.voice()) && !late.iter().any(is_known) {
            late.push(theme);
        }
    }
    (before, late)
}

impl Rule for MissingEntry {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(outline) = texture.outline() else { return };
        let themes = themes(texture);
        let length = texture.grid().ticks(outline.subject.line().length());
        let (exposed, late) = waited_for(&themes, length);
        let due = due(texture, outline, exposed);
        for theme in late {
            let name = texture.name(theme.voice());
            let message = format_args!("{name} has its first entry long after the others");
            report.add_lighter(
                Spot::silent(due, theme.voice()),
                message,
                Evidence::of_stretch(texture, theme.onset - due),
            );
        }
        let end = texture.grid().ticks(outline.end);
        let enters = |voice: usize| outline.themes().any(|entry| entry.voice == voice);
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
    fn finds_a_voice_that_enters_long_after_the_others() {
        let lines = [LINES[0], LINES[1], "R:6 C3:1/4 D3 E3 C3"];
        assert_eq!(
            found_in_fugue(
                &MissingEntry,
                &lines,
                &[(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..4)]
            ),
            ["bar 3, beat 1: Remark [] tenor has its first entry long after the others"]
        );
    }

    #[test]
    fn allows_every_voice_to_enter_and_music_without_an_outline() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..1)];
        assert!(found_in_fugue(&MissingEntry, &LINES, &marks).is_empty());
        assert!(found(&MissingEntry, "4/4", &LINES).is_empty());
    }
}
