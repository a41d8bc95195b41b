//! Answers in another key than the dominant.

use super::fit::{Due, Fit, is_in_place, level};
use super::recurrence::{Recurrences, so_too};
use super::statement::{Statement, answered, themes_of};
use crate::answer::Answer;
use crate::exposition::Role;
use crate::interval::Interval;
use crate::line::Note;
use crate::rules::words::Words;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("misplaced_answer.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct MisplacedAnswer;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("misplaced-answer"),
    severity: Severity::Caution,
    summary: "the answer lies in another key than any of the subject's answers",
    page: include_str!("misplaced_answer.md"),
    source: Source::Handbook("Prout, Fugue, §§55-56"),
};

fn report_entry(
    texture: &Texture<'_>,
    theme: &Statement<'_>,
    subject: &[Note],
    best: &Answer,
    report: &mut Report<'_>,
) {
    let (Some(first), Some(due)) = (theme.notes.first(), best.line().notes().first()) else { return };
    let (voice, key) = (texture.name(theme.voice()), best.key());
    let evidence = Evidence::Instead { found: first.pitch(), due: due.pitch() };
    let stands = match level(subject, theme.notes) {
        Some(Interval::UNISON) => "at the unison or octave".to_owned(),
        Some(level) => format!("{} above the subject", Words(level)),
        None => "in another key".to_owned(),
    };
    let message = format_args!("{voice} answers {stands}, where the answer lies in {key}");
    report.add(theme.spot(), message, evidence);
}

/// An entry that stands where only an answer stands that one would not prefer: at which interval above the
/// subject, and at which the best one stands.
fn choice(theme: &Statement<'_>, subject: &[Note], best: &Answer) -> Option<(Interval, Interval)> {
    let [stands, due] = [theme.notes, best.line().notes()].map(|notes| level(subject, notes));
    stands.zip(due).filter(|(stands, due)| stands != due)
}

/// Remarks such entries, those that stand alike once.
fn report_choices(
    texture: &Texture<'_>,
    placed: &[&Statement<'_>],
    subject: &[Note],
    best: &Answer,
    report: &mut Report<'_>,
) {
    let chosen = placed.iter().filter_map(|theme| Some((theme, choice(theme, subject, best)?)));
    let chosen: Vec<_> = chosen.collect();
    let key = |(stands, _): (Interval, Interval)| (stands.steps(), stands.semitones());
    let mut levels = Recurrences::of(chosen.iter().map(|it| key(it.1)));
    for (theme, choice) in chosen {
        let wrong = Fit::of(best.line().notes(), theme.notes).due.into_iter().find(Due::is_wrong);
        let Some(Due { found, pitch: due, .. }) = wrong else { continue };
        let Some(others) = levels.tell(&key(choice)) else { continue };
        let (voice, stands, lies) = (texture.name(theme.voice()), Words(choice.0), Words(choice.1));
        let message = format_args!(
            "{voice} answers mostly {stands} above the subject, where the answer lies {lies} above it{}",
            so_too(others)
        );
        report.add_remark(theme.spot(), message, Evidence::Instead { found, due });
    }
}

impl Rule for MisplacedAnswer {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::Entries
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some((subject, answers)) = answered(texture) else { return };
        let themes = themes_of(texture, Role::Answer);
        let Some(best) = answers.first() else { return };
        let (placed, others): (Vec<_>, Vec<_>) =
            themes.iter().partition(|theme| is_in_place(&answers, theme, &themes));
        report_choices(texture, &placed, subject.line().notes(), best, report);
        for theme in others {
            report_entry(texture, theme, subject.line().notes(), best, report);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::MisplacedAnswer;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::found_in_fugue;

    fn answered(answer: &str) -> Vec<String> {
        let answer = format!("R:2 {answer}");
        let marks = [(Subject, 1, 0..6), (Answer, 0, 0..6)];
        found_in_fugue(&MisplacedAnswer, &[&answer, "C4:1/4 D4 E4 F4 E4:1/2 C4"], &marks)
    }

    #[test]
    fn finds_answer_in_the_supertonic_and_in_the_tonic() {
        assert_eq!(
            answered("D4:1/4 E4 F#4 G4 F#4:1/2 D4"),
            ["bar 3, beat 1: Caution [(0, 0)] soprano answers a major second above the subject, \
              where the answer lies in G major"]
        );
        assert!(answered("C5:1/4 D5 E5 F5 E5:1/2 C5")[0].contains("answers at the unison or octave, where"));
    }

    /// The entry keeps to no one interval: it was once passed over.
    #[test]
    fn finds_a_tonal_answer_in_another_key() {
        let lines = ["R:2 A4:1/4 B4 C#5 D5 C#5:1/2 D5", "C4:1/4 D4 E4 G4 F#4:1/2 G4"];
        assert_eq!(
            found_in_fugue(&MisplacedAnswer, &lines, &[(Subject, 1, 0..6), (Answer, 0, 0..6)]),
            [
                "bar 3, beat 1: Caution [(0, 0)] soprano answers in another key, where the answer lies in G major"
            ]
        );
    }

    /// Prout, *Fugue*, §74: not where the tonic stands at the beginning.
    #[test]
    fn remarks_an_answer_in_the_subdominant() {
        assert_eq!(
            answered("F4:1/4 G4 A4 Bb4 A4:1/2 F4"),
            ["bar 3, beat 1: Remark [(0, 0)] soprano answers mostly a perfect fourth above the subject, \
              where the answer lies a perfect fifth above it"]
        );
    }

    #[test]
    fn remarks_answers_that_stand_alike_once() {
        let low = "R:7/2 F3:1/4 G3 A3 Bb3 A3:1/2 F3";
        let lines = ["R:2 F4:1/4 G4 A4 Bb4 A4:1/2 F4", "C4:1/4 D4 E4 F4 E4:1/2 C4", low];
        let marks = [(Subject, 1, 0..6), (Answer, 0, 0..6), (Answer, 2, 0..6)];
        let found = found_in_fugue(&MisplacedAnswer, &lines, &marks);
        assert!(
            found.len() == 1 && found[0].ends_with("above it; another entry has it so, too"),
            "{found:?}"
        );
    }

    #[test]
    fn allows_the_dominant_in_any_octave() {
        assert!(answered("G4:1/4 A4 B4 C5 B4:1/2 G4").is_empty());
        assert!(answered("G5:1/4 A5 B5 C6 B5:1/2 G5").is_empty());
    }

    #[test]
    fn allows_wrong_notes_which_are_another_matter() {
        assert!(answered("G4:1/4 A4 D5 C5 B4:1/2 G4").is_empty());
    }

    /// What two answers have alike is chosen: the second has one wrong note more, and half of its notes were once too
    /// few for an answer in its place.
    #[test]
    fn allows_an_answer_that_lies_where_another_does() {
        let low = "R:7/2 G3:1/4 A3 B3 E4 D4:1/2 D3";
        let lines = ["R:2 G4:1/4 A4 B4 C5 D5:1/2 D4", "C4:1/4 D4 E4 F4 E4:1/2 C4", low];
        let two = [(Subject, 1, 0..6), (Answer, 0, 0..6), (Answer, 2, 0..6)];
        assert!(found_in_fugue(&MisplacedAnswer, &lines, &two).is_empty());
        let alone = [(Subject, 1, 0..6), (Answer, 2, 0..6)];
        assert_eq!(found_in_fugue(&MisplacedAnswer, &lines, &alone).len(), 1);
    }
}
