//! Voices without an entry.

use super::statement::{Statement, all_themes};
use super::turn::Round;
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

/// A voice that has its entry late, or never.
struct Missed<'s, 't> {
    voice: usize,
    late: Option<&'s Statement<'t>>,
}

impl Missed<'_, '_> {
    /// Reports when it missed its turn.
    fn report(&self, texture: &Texture<'_>, turn: i64, report: &mut Report<'_>) {
        let name = texture.name(self.voice);
        if let Some(theme) = self.late {
            let message = format_args!("{name} has its first entry long after the others");
            let evidence = Evidence::of_stretch(texture, theme.onset - turn);
            report.add_lighter(self.spot(texture, turn), message, evidence);
        } else {
            let end = texture.outline().map_or(turn, |outline| texture.grid().ticks(outline.end));
            let message = format_args!("{name} never has subject or answer");
            report.add(self.spot(texture, turn), message, Evidence::of_stretch(texture, end));
        }
    }

    /// A tick, with the first note of the voice if it lies there.
    fn spot(&self, texture: &Texture<'_>, turn: i64) -> Spot {
        let comes_in = begins(texture, self.voice) == turn;
        if comes_in { Spot::new(turn, vec![(self.voice, 0)]) } else { Spot::silent(turn, self.voice) }
    }
}

/// When a voice is first heard.
fn begins(texture: &Texture<'_>, voice: usize) -> i64 {
    texture.tones(voice).first().map_or(i64::MAX, |first| first.onset)
}

impl Rule for MissingEntry {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(outline) = texture.outline() else { return };
        let themes = all_themes(texture);
        let length = texture.grid().ticks(outline.subject.line().length());
        let (exposed, late) = waited_for(&themes, length);
        let enters = |voice: usize| outline.themes().any(|entry| entry.voice == voice);
        let never = (0..texture.voices()).filter(|&voice| !enters(voice));
        let late = late.into_iter().map(|theme| Missed { voice: theme.voice(), late: Some(theme) });
        let mut missed: Vec<Missed<'_, '_>> = late.chain(never.map(|voice| Missed { voice, late: None })).collect();
        missed.sort_by_key(|it| begins(texture, it.voice));
        let mut round = Round::of(texture, outline, exposed);
        for (index, it) in missed.iter().enumerate() {
            it.report(texture, round.miss(it.voice, missed.len() - index), report);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exposition::Outline;
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
