//! Wrong notes in an entry of the subject.

use super::fit::{Due, Fit};
use super::statement::{Statement, themes_of};
use crate::exposition::Role;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("wrong_subject_note.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct WrongSubjectNote;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("wrong-subject-note"),
    severity: Severity::Fault,
    summary: "an entry of the subject has another note than the subject",
    page: include_str!("wrong_subject_note.md"),
    source: Source::Handbook("Prout, Fugue, §§10, 57"),
};

fn report_entry(texture: &Texture<'_>, theme: &Statement<'_>, fit: &Fit, report: &mut Report<'_>) {
    let last = fit.due.last().map(|due| due.index);
    for due in fit.due.iter().filter(|due| due.is_wrong()) {
        let Due { index, note, found, pitch } = *due;
        let voice = texture.name(theme.voice());
        let message =
            format_args!("{voice} has {found} as note {} of the subject instead of {pitch}", index + 1);
        let (spot, evidence) = (theme.spot_of(texture, note), Evidence::Instead { found, due: pitch });
        if due.is_inflected() && Some(index) == last {
            report.add_lighter(spot, message, evidence);
        } else {
            report.add(spot, message, evidence);
        }
    }
}

impl Rule for WrongSubjectNote {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(outline) = texture.outline() else { return };
        for theme in themes_of(texture, Role::Subject) {
            let fit = Fit::of(outline.subject.line().notes(), theme.notes);
            if fit.is_close() {
                report_entry(texture, &theme, &fit, report);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::WrongSubjectNote;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::found_in_fugue;

    const SUBJECT: &str = "C4:1/4 D4 E4 F4 G4:1";
    const ANSWER: &str = "R:2 G4:1/4 A4 B4 C5 D5:1";

    /// What the rule finds if the bass enters thus.
    fn bass(entry: &str) -> Vec<String> {
        let bass = format!("R:4 {entry}");
        let marks = [(Subject, 1, 0..5), (Answer, 0, 0..5), (Subject, 2, 0..5)];
        found_in_fugue(&WrongSubjectNote, &[ANSWER, SUBJECT, &bass], &marks)
    }

    #[test]
    fn finds_another_note() {
        assert_eq!(
            bass("C3:1/4 D3 F3 F3 G3:1"),
            ["bar 5, beat 3: Fault [(2, 2)] tenor has F3 as note 3 of the subject instead of E3"]
        );
        assert_eq!(bass("C3:1/4 D3 Eb3 F3 G3:1").len(), 1);
    }

    #[test]
    fn finds_inflected_last_note_as_a_lighter_matter() {
        assert_eq!(
            bass("C3:1/4 D3 E3 F3 G#3:1"),
            ["bar 6, beat 1: Caution [(2, 4)] tenor has G#3 as note 5 of the subject instead of G3"]
        );
    }

    #[test]
    fn allows_any_octave_and_other_lengths_at_both_ends() {
        assert!(bass("C2:1/4 D2 E2 F2 G2:1/4").is_empty());
        assert!(bass("R:1/8 C3:1/8 D3:1/4 E3 F3 G3:2").is_empty());
    }

    #[test]
    fn allows_another_level_which_is_another_matter() {
        assert!(bass("F3:1/4 G3 A3 Bb3 C4:1").is_empty());
    }
}
