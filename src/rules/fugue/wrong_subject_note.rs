//! Wrong notes in an entry of the subject.

use super::fit::{Due, Fit};
use super::slip::{Slip, Weighing, report_slips};
use super::statement::{Statement, all_themes_of};
use crate::exposition::Role;
use crate::line::Note;
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("wrong_subject_note.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct WrongSubjectNote;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("wrong-subject-note"),
    severity: Severity::Caution,
    summary: "an entry of the subject has another note than the subject",
    page: include_str!("wrong_subject_note.md"),
    source: Source::Handbook("Prout, Fugue, §§10, 57"),
};

/// The wrong notes of an entry.
fn slips<'t>(subject: &'t [Note], theme: Statement<'t>) -> Vec<Slip<'t>> {
    let fit = Fit::of(subject, theme.notes);
    let slip =
        |due: &Due| Slip { theme, due: *due, theme_notes: subject, reason: None, weighing: Weighing::Full };
    fit.due.iter().filter(|due| fit.is_close() && due.is_wrong()).map(slip).collect()
}

impl Rule for WrongSubjectNote {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::Entries
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(outline) = texture.outline() else { return };
        let subject = outline.subject.line().notes();
        let themes = all_themes_of(texture, Role::Subject).into_iter();
        let slips: Vec<Slip<'_>> = themes.flat_map(|theme| slips(subject, theme)).collect();
        report_slips(texture, &slips, report);
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
            ["bar 5, beat 3: Caution [(2, 2)] tenor has F3 as note 3 of the subject instead of E3"]
        );
        assert_eq!(bass("C3:1/4 D3 Eb3 F3 G3:1").len(), 1);
    }

    #[test]
    fn finds_inflected_last_note_as_a_lighter_matter() {
        assert_eq!(
            bass("C3:1/4 D3 E3 F3 G#3:1"),
            ["bar 6, beat 1: Remark [(2, 4)] tenor has G#3 as note 5 of the subject instead of G3"]
        );
    }

    /// Each note was once marked by itself. The compass asks for it (common practice).
    #[test]
    fn finds_an_end_in_another_octave_once_as_a_lighter_matter() {
        assert_eq!(
            bass("C3:1/4 D3 E3 F2 G2:1"),
            [
                "bar 5, beat 4: Remark [(2, 3), (2, 4)] tenor has F2 G2 as notes 4 to 5 of the subject instead of F3 G3"
            ]
        );
        assert!(bass("C3:1/4 D3 E2 F3 G3:1")[0].contains("Caution"));
    }

    /// Common practice: an end may turn to what follows, as to the fifth at a close in the bass.
    #[test]
    fn finds_another_last_note_as_a_lighter_matter() {
        assert!(bass("C3:1/4 D3 E3 F3 C3:1")[0].starts_with("bar 6, beat 1: Remark"));
    }

    /// The same note an octave off was once taken for what another entry has in its place.
    #[test]
    fn finds_what_recurs_only_in_another_octave() {
        let (answer, high) = ("R:2 G4:1/4 A4 B4 C5 D5:1", "R:6 C5:1/4 D5 D5 F5 G5:1");
        let marks = [(Subject, 1, 0..5), (Answer, 0, 0..5), (Subject, 2, 0..5), (Subject, 3, 0..5)];
        let lines = [answer, SUBJECT, "R:4 C3:1/4 D3 D4 F3 G3:1", high];
        let found = found_in_fugue(&WrongSubjectNote, &lines, &marks);
        assert!(found.len() == 2 && found.iter().all(|it| it.contains("Caution")), "{found:?}");
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
