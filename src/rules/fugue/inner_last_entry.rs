//! Last entries in the middle.

use super::statement::statements;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("inner_last_entry.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct InnerLastEntry;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("inner-last-entry"),
    severity: Severity::Remark,
    summary: "the last voice to enter is an inner one",
    page: include_str!("inner_last_entry.md"),
    source: Source::Handbook("Prout, Fugue, §182"),
};

impl Rule for InnerLastEntry {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::Entries
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let statements = statements(texture);
        let mut entered = Vec::new();
        let mut last = None;
        for theme in &statements {
            if !entered.contains(&theme.voice()) {
                entered.push(theme.voice());
                last = Some(theme);
            }
        }
        let Some(last) = last.filter(|_| entered.len() == texture.voices()) else { return };
        if last.voice() > 0 && last.voice() + 1 < texture.voices() {
            let message = format_args!("{}, an inner voice, enters last", texture.name(last.voice()));
            report.add(last.spot(), message, Evidence::of_stretch(texture, last.end - last.onset));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::InnerLastEntry;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::found_in_fugue;

    const THEME: &str = "C4:1/4 D4 E4 C4";

    /// What the rule finds if three voices enter in an order.
    fn entering(voices: [usize; 3]) -> Vec<String> {
        let line = |voice: usize| {
            let place = voices.iter().position(|it| *it == voice).unwrap();
            format!("R:{} {THEME}", ["1/4", "1", "2"][place])
        };
        let lines = [0, 1, 2].map(line);
        let marks = [(Subject, voices[0], 0..4), (Answer, voices[1], 0..4), (Subject, voices[2], 0..4)];
        found_in_fugue(&InnerLastEntry, &lines.each_ref().map(String::as_str), &marks)
    }

    /// Prout, *Fugue*, §184: outer, outer, middle is rare.
    #[test]
    fn finds_the_middle_voice_last() {
        assert_eq!(entering([0, 2, 1]), ["bar 3, beat 1: Remark [(1, 0)] alto, an inner voice, enters last"]);
    }

    #[test]
    fn allows_an_outer_voice_last() {
        assert!(entering([0, 1, 2]).is_empty());
        assert!(entering([1, 2, 0]).is_empty());
    }

    #[test]
    fn allows_what_is_no_whole_exposition() {
        let marks = [(Subject, 0, 0..4), (Answer, 1, 0..4)];
        let lines = [THEME, "R:1 G3:1/4 A3 B3 G3", "R:1"];
        assert!(found_in_fugue(&InnerLastEntry, &lines, &marks).is_empty());
    }
}
