//! Later entries of the subject outside the tonic.

use super::fit::{Fit, level};
use super::statement::{Statement, statements, themes_of};
use crate::exposition::Role;
use crate::rules::words::Words;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::subject::Subject;
use crate::texture::Texture;
use std::collections::BTreeMap;

#[doc = include_str!("misplaced_return.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct MisplacedReturn;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("misplaced-return"),
    severity: Severity::Caution,
    summary: "the subject returns in the exposition, but not in the tonic",
    page: include_str!("misplaced_return.md"),
    source: Source::Handbook("Prout, Fugue, §§180-181, 199"),
};

impl Rule for MisplacedReturn {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::Entries
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(subject) = texture.outline().map(|outline| &outline.subject) else { return };
        let (notes, turns) = (subject.line().notes(), first_turns(texture));
        for theme in themes_of(texture, Role::Subject).into_iter().skip(1) {
            let (Some(first), Some(due)) = (theme.notes.first(), notes.first()) else { continue };
            if Fit::of(notes, theme.notes).is_close() {
                continue;
            }
            let evidence = Evidence::Instead { found: first.pitch(), due: due.pitch() };
            let Some(message) = message(texture, subject, &theme) else { continue };
            // A voice that has had its turn adds what goes beyond the needs of an exposition.
            if turns.get(&theme.voice()).is_some_and(|turn| *turn < theme.onset) {
                report.add_lighter(theme.spot(), format_args!("{message}"), evidence);
            } else {
                report.add(theme.spot(), format_args!("{message}"), evidence);
            }
        }
    }
}

/// What is said of an entry that is not close to the subject; nothing if it stands in unison or octaves after all.
fn message(texture: &Texture<'_>, subject: &Subject, theme: &Statement<'_>) -> Option<String> {
    let (voice, key) = (texture.name(theme.voice()), subject.key());
    match level(subject.line().notes(), theme.notes) {
        Some(level) if level.is_unison() => None,
        Some(level) => {
            Some(format!("{voice} returns to the subject {} above its place in {key}", Words(level)))
        }
        None => Some(format!("{voice} returns to the subject in another key than {key}")),
    }
}

/// When each voice first states subject or answer.
fn first_turns(texture: &Texture<'_>) -> BTreeMap<usize, i64> {
    let mut turns = BTreeMap::new();
    for statement in statements(texture) {
        turns.entry(statement.voice()).or_insert(statement.onset);
    }
    turns
}

#[cfg(test)]
mod tests {
    use super::MisplacedReturn;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::found_in_fugue;

    fn returns(entry: &str) -> Vec<String> {
        let (subject, answer) = ("C4:1/4 D4 E4 F4 G4:1", "R:2 G4:1/4 A4 B4 C5 D5:1");
        let marks = [(Subject, 1, 0..5), (Answer, 0, 0..5), (Subject, 2, 0..5)];
        found_in_fugue(&MisplacedReturn, &[answer, subject, &format!("R:4 {entry}")], &marks)
    }

    #[test]
    fn finds_third_entry_in_the_supertonic() {
        assert_eq!(
            returns("D3:1/4 E3 F#3 G3 A3:1"),
            [
                "bar 5, beat 1: Caution [(2, 0)] tenor returns to the subject a major second above its place in C major"
            ]
        );
    }

    /// Prout, *Fugue*, §186: an additional entry is not needed, and was once weighed like the last voice's.
    #[test]
    fn finds_a_redundant_entry_as_a_lighter_matter() {
        let lines = ["R:2 G4:1/4 A4 B4 C5 D5:1", "C4:1/4 D4 E4 F4 G4:1 R:2 D4:1/4 E4 F#4 G4 A4:1"];
        let marks = [(Subject, 1, 0..5), (Answer, 0, 0..5), (Subject, 1, 5..10)];
        let found = found_in_fugue(&MisplacedReturn, &lines, &marks);
        assert!(found.len() == 1 && found[0].starts_with("bar 5, beat 1: Remark"), "{found:?}");
    }

    #[test]
    fn allows_the_tonic_in_any_octave_and_with_a_wrong_note() {
        assert!(returns("C3:1/4 D3 E3 F3 G3:1").is_empty());
        assert!(returns("C3:1/4 D3 F3 F3 G3:1").is_empty());
    }
}
