//! Wrong notes in the answer.

use super::fit::{Due, Fit, is_in_place};
use super::slip::{Slip, Weighing, report_slips};
use super::statement::{Statement, all_themes_of, answered, themes_of};
use crate::answer::{Answer, Charge, Reading};
use crate::exposition::Role;
use crate::pitch::Pitch;
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::subject::Subject;
use crate::texture::Texture;

#[doc = include_str!("wrong_answer_note.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct WrongAnswerNote;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("wrong-answer-note"),
    severity: Severity::Caution,
    summary: "the answer has a note that none of the subject's answers has",
    page: include_str!("wrong_answer_note.md"),
    source: Source::Handbook("Prout, Fugue, §§55-57, 120-122"),
};

/// The answers as they lie over an entry, the nearest first.
fn fits<'a>(answers: &'a [Answer], theme: &Statement<'_>) -> Vec<(&'a Answer, Fit)> {
    let mut fits: Vec<(&Answer, Fit)> =
        answers.iter().map(|answer| (answer, Fit::of(answer.line().notes(), theme.notes))).collect();
    fits.sort_by_key(|(_, fit)| std::cmp::Reverse(fit.agreeing()));
    fits
}

/// The notes that agree neither with the nearest answer nor with another that the entry follows there, or that do so an
/// octave away.
fn wrong_notes<'f>(fits: &'f [(&Answer, Fit)]) -> impl Iterator<Item = &'f Due> {
    fits.first().into_iter().flat_map(move |(answer, fit)| {
        let others = fits.iter().filter(|(other, _)| other.key() == answer.key());
        let is_known = move |due: &Due| {
            !due.is_displaced() && others.clone().any(|(_, other)| follows(fit, other, due.index))
        };
        fit.due.iter().filter(move |due| due.is_wrong() && !is_known(due))
    })
}

/// Whether an entry follows another answer than the nearest at a note: it has that note, and if the two answers part
/// for longer, the one before or after it as well, be it with another accidental. The level of an answer changes
/// between phrases of the theme; a note alone that stands at the fourth among others at the fifth is a slip (Prout,
/// *Fugue*, §§120-122).
fn follows(nearest: &Fit, other: &Fit, index: usize) -> bool {
    let has_step = |due: &Due| due.found.staff_step() == due.pitch.staff_step();
    let at = |index: Option<usize>| {
        let (one, other) = index.and_then(|it| nearest.at(it).zip(other.at(it)))?;
        (one.pitch != other.pitch).then_some(other)
    };
    let beside: Vec<&Due> = [index.checked_sub(1), index.checked_add(1)].into_iter().filter_map(at).collect();
    let is_alone = !beside.is_empty() && !beside.into_iter().any(has_step);
    other.agrees_at(index) && !is_alone
}

/// What the breach of an old rule weighs at least (the scale stands in the table of costs).
const OLD_RULE: u32 = 4;

/// Whether a charge is for the shape of an opening whose dominant the tonic answers. The old rule asks for
/// that tonic all the same, and most masters keep to it (Prout, *Fugue*, §§86, 102): either answer will do.
const fn is_price_of_the_tonic(charge: Charge) -> bool {
    matches!(
        charge,
        Charge::ChordBroken | Charge::ChordMade | Charge::SequenceBroken | Charge::NeighbourFollows
    )
}

/// Whether an answer goes against an old rule that the best one keeps.
fn is_poorer(answer: &Answer, best: &Answer) -> bool {
    let has = |charge: Charge| best.costs().iter().any(|line| line.charge == charge);
    let binds = |charge: Charge| charge.weight() >= OLD_RULE && !is_price_of_the_tonic(charge);
    answer.cost() > best.cost() && answer.costs().iter().any(|line| binds(line.charge) && !has(line.charge))
}

/// The notes in which an entry follows an answer that goes against an old rule, and how the best one has them.
fn poorer_choices(answers: &[Answer], theme: &Statement<'_>) -> Vec<Due> {
    let fits = fits(answers, theme);
    let (Some((nearest, fit)), Some(best)) = (fits.first(), answers.first()) else { return Vec::new() };
    let better = Fit::of(best.line().notes(), theme.notes);
    if !is_poorer(nearest, best) || !better.is_close() {
        return Vec::new();
    }
    better.due.into_iter().filter(|due| due.is_wrong() && fit.agrees_at(due.index)).collect()
}

/// Why an answer has what it has at a note.
fn reason(subject: &Subject, answer: &Answer, index: usize) -> String {
    if let Some(altered) = answer.alterations().iter().find(|altered| altered.note == index) {
        return altered.reason.to_string();
    }
    let pitch =
        subject.line().notes().get(index).map_or(String::new(), |note| note.pitch().class().to_string());
    match answer.readings().get(index) {
        Some(Reading::Dominant) => format!("{pitch} is heard in the dominant and answered at the fourth"),
        _ => format!("{pitch} is heard in the tonic and answered at the fifth"),
    }
}

/// Whether it is the fourth or the seventh degree of the subject, whose seconds may change their size.
fn may_be_inflected(subject: &Subject, index: usize) -> bool {
    let pitch: Option<Pitch> = subject.line().notes().get(index).map(|note| note.pitch());
    pitch.is_some_and(|pitch| matches!(subject.key().degree(pitch.class()).number(), 4 | 7))
}

/// The wrong notes of an entry, and those that one would rather have otherwise, in order.
fn slips<'t>(
    subject: &'t Subject,
    answers: &[Answer],
    theme: Statement<'t>,
    is_placed: bool,
) -> Vec<Slip<'t>> {
    let (fits, theme_notes) = (fits(answers, &theme), subject.line().notes());
    let slip = |answer: Option<&Answer>, due: Due, weighing: Weighing| {
        let reason = answer.map(|answer| reason(subject, answer, due.index));
        Slip { theme, due, theme_notes, reason, weighing }
    };
    let wrong = wrong_notes(&fits).filter(|_| is_placed).map(|due| {
        let bends = due.is_inflected() && may_be_inflected(subject, due.index);
        let weighing = if bends { Weighing::Lighter } else { Weighing::Full };
        slip(fits.first().map(|fit| fit.0), *due, weighing)
    });
    let choices = poorer_choices(answers, &theme).into_iter();
    let choices = choices.map(|due| slip(answers.first(), due, Weighing::Choice));
    let mut slips: Vec<Slip<'t>> = wrong.chain(choices).collect();
    slips.sort_by_key(|slip| slip.due.index);
    slips
}

impl Rule for WrongAnswerNote {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::Entries
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some((subject, answers)) = answered(texture) else { return };
        let exposed = themes_of(texture, Role::Answer);
        let all = all_themes_of(texture, Role::Answer).into_iter();
        let all =
            all.flat_map(|theme| slips(subject, &answers, theme, is_in_place(&answers, &theme, &exposed)));
        let slips: Vec<Slip<'_>> = all.collect();
        report_slips(texture, &slips, report);
    }
}

#[cfg(test)]
mod tests {
    use super::WrongAnswerNote;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::found_in_fugue;

    /// What the rule finds in an answer to a subject, both six notes long.
    fn answered(subject: &str, answer: &str) -> Vec<String> {
        let answer = format!("R:2 {answer}");
        let marks = [(Subject, 1, 0..6), (Answer, 0, 0..6)];
        found_in_fugue(&WrongAnswerNote, &[&answer, subject], &marks)
    }

    const SUBJECT: &str = "C4:1/4 D4 E4 F4 E4:1/2 C4";

    #[test]
    fn finds_another_note_and_says_why() {
        assert_eq!(
            answered(SUBJECT, "G4:1/4 A4 B4 D5 B4:1/2 G4"),
            ["bar 3, beat 4: Caution [(0, 3)] soprano has D5 as note 4 of the answer instead of C5: \
              F is heard in the tonic and answered at the fifth"]
        );
        assert_eq!(answered(SUBJECT, "G4:1/4 A4 Bb4 C5 B4:1/2 G4").len(), 1, "B flat is not the key's");
    }

    /// Two answers part at the close, where one goes back to the tonic. A note that follows that one alone was once taken
    /// for right.
    #[test]
    fn finds_a_note_alone_at_the_fourth_among_others_at_the_fifth() {
        let subject = "C4:1/2 E4:1/4 G4 E4 C4 D4 E4:1/8 D4 A3:1/4 G3:1/2";
        let found = |close: &str| {
            let answer = format!("R:11/4 G4:1/2 B4:1/4 D5 B4 G4 A4 {close}");
            let marks = [(Subject, 1, 0..10), (Answer, 0, 0..10)];
            found_in_fugue(&WrongAnswerNote, &[&answer, subject], &marks)
        };
        assert!(found("B4:1/8 G4 D4:1/4 C4:1/2").is_empty());
        let alone = found("B4:1/8 G4 E4:1/4 D4:1/2");
        let message = "soprano has G4 as note 8 of the answer instead of A4";
        assert!(alone[0].contains(message), "{alone:?}");
    }

    /// Prout, *Fugue*, §144.
    #[test]
    fn finds_inflected_answer_of_the_seventh_degree_as_a_lighter_matter() {
        let found = answered("C4:1/4 D4 B3 C4 E4:1/2 C4", "G4:1/4 A4 F4 G4 B4:1/2 G4");
        assert_eq!(found.len(), 1);
        assert!(found[0].starts_with("bar 3, beat 3: Remark [(0, 2)] soprano has F4 as note 3"), "{found:?}");
    }

    /// Prout, *Fugue*, §§86, 91: both are correct, the tonal one is in the majority.
    #[test]
    fn allows_the_tonal_answer_and_remarks_the_real_one() {
        let subject = "C4:1/4 G4 E4 F4 E4:1/2 C4";
        assert!(answered(subject, "G4:1/4 C5 B4 C5 B4:1/2 G4").is_empty());
        let real = answered(subject, "G4:1/4 D5 B4 C5 B4:1/2 G4");
        let message =
            "bar 3, beat 2: Remark [(0, 1)] soprano has D5 as note 2 of the answer, where C5 is usual: ";
        assert!(real.len() == 1 && real[0].starts_with(message), "{real:?}");
    }

    /// Prout, *Fugue*, §§102, 105-106: the tonic that answers the dominant was once remarked where that note is
    /// long and the tonic follows, for some masters copy such an opening.
    #[test]
    fn allows_a_dominant_answered_by_the_tonic_and_by_a_copy() {
        let subject = "G4:1/2 C4:1/4 D4 E4 D4 C4";
        assert!(answered(subject, "C5:1/2 G4:1/4 A4 B4 A4 G4").is_empty());
        assert!(answered(subject, "D5:1/2 G4:1/4 A4 B4 A4 G4").is_empty());
    }

    /// Prout, *Fugue*, §§114-119: an end on 6 5 implies the dominant, and a copy would end in a third key. It
    /// was once passed over, since the better answer has slight costs of its own.
    #[test]
    fn remarks_a_copy_where_the_close_implies_the_dominant() {
        let subject = "C4:1/2 E4:1/4 G4 E4 C4 D4 E4:1/8 D4 A3:1/4 G3:1/2";
        let found = |answer: &str| {
            let answer = format!("R:11/4 G4:1/2 B4:1/4 D5 B4 G4 A4 B4:1/8 {answer}");
            let marks = [(Subject, 1, 0..10), (Answer, 0, 0..10)];
            found_in_fugue(&WrongAnswerNote, &[&answer, subject], &marks)
        };
        assert!(found("G4 D4:1/4 C4:1/2").is_empty());
        let copy = found("A4 E4:1/4 D4:1/2");
        let message = "soprano has A4 E4 D4 as notes 8 to 10 of the answer, where G4 D4 C4 are usual: \
            the subject has gone to the dominant, so the answer goes back to the tonic";
        assert!(copy.len() == 1 && copy[0].ends_with(message), "{copy:?}");
    }

    /// The octave below was once taken for the note of another answer.
    #[test]
    fn finds_a_note_in_another_octave() {
        let found = answered("C4:1/4 G4 E4 F4 E4:1/2 C4", "G3:1/4 C5 B4 C5 B4:1/2 G4");
        assert!(
            found.len() == 1 && found[0].contains("has G3 as note 1 of the answer instead of G4"),
            "{found:?}"
        );
    }

    /// The real answer has D5 as second note: D4, a seventh from the tonal one, was once taken for it.
    #[test]
    fn finds_the_note_of_another_answer_in_another_octave() {
        let found = answered("C4:1/4 G4 E4 F4 E4:1/2 C4", "G4:1/4 D4 B4 C5 B4:1/2 G4");
        assert!(found.iter().any(|it| it.contains("Caution [(0, 1)]")), "{found:?}");
    }

    #[test]
    fn names_the_reason_of_an_altered_note() {
        let found = answered("C4:1/4 G4 E4 F4 E4:1/2 C4", "G4:1/4 E5 B4 C5 B4:1/2 G4");
        assert_eq!(found.len(), 1);
        assert!(
            found[0].ends_with("instead of C5: the dominant at the opening is answered by the tonic"),
            "{found:?}"
        );
    }

    /// Common practice: the end of an answer may be bent towards the harmony that follows.
    #[test]
    fn finds_bent_note_at_the_end_as_a_lighter_matter() {
        let found = answered(SUBJECT, "G4:1/4 A4 B4 C5 Bb4:1/2 G4");
        assert!(found.len() == 1 && found[0].starts_with("bar 4, beat 1: Remark [(0, 4)]"), "{found:?}");
    }

    /// Common practice: what two answers have alike the composer has chosen.
    #[test]
    fn finds_what_recurs_in_another_answer_once_as_a_remark() {
        let (answer, low) = ("R:2 G4:1/4 A4 B4 D5 B4:1/2 G4", "R:4 G3:1/4 A3 B3 D4 B3:1/2 G3");
        let marks = [(Subject, 1, 0..6), (Answer, 0, 0..6), (Answer, 2, 0..6)];
        let found = found_in_fugue(&WrongAnswerNote, &[answer, SUBJECT, low], &marks);
        assert_eq!(
            found,
            ["bar 3, beat 4: Remark [(0, 3)] soprano has D5 as note 4 of the answer instead of C5: \
              F is heard in the tonic and answered at the fifth; another entry has it so, too"]
        );
    }

    #[test]
    fn allows_another_level_which_is_another_matter() {
        assert!(answered(SUBJECT, "D4:1/4 E4 F#4 G4 F#4:1/2 D4").is_empty());
    }
}
