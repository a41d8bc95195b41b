//! Entries that clash with the end of the one before.

use super::statement::{Statement, themes};
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Dissonance, Texture, is_dissonant};

#[doc = include_str!("missing_codetta.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct MissingCodetta;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("missing-codetta"),
    severity: Severity::Caution,
    summary: "an entry begins against the last note of the entry before and clashes with it",
    page: include_str!("missing_codetta.md"),
    source: Source::Handbook("Prout, Fugue, §§62, 190-193"),
};

/// The clash of the last note of one theme with the first of the next, if nothing prepares it.
fn clash(texture: &Texture<'_>, theme: &Statement<'_>, next: &Statement<'_>) -> Option<Dissonance> {
    let last = (theme.voice(), theme.entry.notes.end.checked_sub(1)?);
    let first = (next.voice(), next.entry.notes.start);
    let interval = next.notes.first()?.pitch() - theme.notes.last()?.pitch();
    let is_fourth = interval.abs().steps().rem_euclid(7) == 3;
    if next.onset >= theme.end || is_fourth || !is_dissonant(interval, true) {
        return None;
    }
    let meets =
        |it: &Dissonance| (it.note, it.against) == (last, first) || (it.note, it.against) == (first, last);
    let clash = texture.pair(last.0, first.0)?.dissonance_at(next.onset)?;
    (meets(&clash) && !clash.figure.is_prepared()).then_some(clash)
}

impl Rule for MissingCodetta {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let themes = themes(texture);
        for (theme, next) in themes.iter().zip(themes.iter().skip(1)) {
            let Some(clash) = clash(texture, theme, next) else { continue };
            let (Some(one), Some(other)) = (theme.notes.last(), next.notes.first()) else { continue };
            let [voice, before] = [next, theme].map(|it| texture.name(it.voice()));
            let [role, ended] = [next, theme].map(|it| it.entry.role.name());
            let message =
                format_args!("the {role} in {voice} enters against the last note of the {ended} in {before}");
            report.add(&clash, message, Evidence::of_vertical(one.pitch(), other.pitch()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::MissingCodetta;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::found_in_fugue;

    const SUBJECT: &str = "C4:1/4 D4 E4 F4 E4:1/2 A3:1/2 G3:1/2";

    /// What the rule finds if the third voice enters thus.
    fn third(entry: &str) -> Vec<String> {
        let marks = [(Subject, 1, 0..5), (Answer, 0, 0..5), (Subject, 2, 0..5)];
        found_in_fugue(&MissingCodetta, &["R:1 G4:1/4 A4 B4 C5 B4:1/2 C5:1/2", SUBJECT, entry], &marks)
    }

    /// Prout, *Fugue*, §193: the answer ends on a chord to which the tonic is foreign.
    #[test]
    fn finds_tonic_against_the_end_of_the_answer() {
        assert_eq!(
            third("R:2 C3:1/4 D3 E3 F3 E3:1/2"),
            ["bar 3, beat 1: Caution [(0, 4), (2, 0)] \
              the subject in tenor enters against the last note of the answer in soprano"]
        );
    }

    #[test]
    fn allows_the_next_beat_and_consonance() {
        assert!(third("R:5/2 C3:1/4 D3 E3 F3 E3:1/2").is_empty());
        assert!(third("R:9/4 E3:1/4 F3 G3 A3 G3:1/2").is_empty());
    }
}
