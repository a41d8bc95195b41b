//! Entries out of turn.

use super::statement::{Statement, statements};
use crate::exposition::{Form, Role};
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("irregular_order.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct IrregularOrder;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("irregular-order"),
    severity: Severity::Remark,
    summary: "subject and answer do not take turns, or a pair of voices divides them",
    page: include_str!("irregular_order.md"),
    source: Source::Handbook("Prout, Fugue, §§180-181, 199-200"),
};

/// The first entry of each voice, in order, in whatever form.
fn first_entries<'t>(texture: &Texture<'t>) -> Vec<Statement<'t>> {
    let mut firsts: Vec<Statement<'t>> = Vec::new();
    for theme in statements(texture) {
        if firsts.iter().all(|first| first.voice() != theme.voice()) {
            firsts.push(theme);
        }
    }
    firsts
}

/// Whether one entry follows the other and both are straight: turned upside down, the subject is as good as an
/// answer, and of voices that begin together neither waits for its turn.
fn take_turns(one: &Statement<'_>, other: &Statement<'_>) -> bool {
    one.onset != other.onset && [one, other].iter().all(|it| it.form == Form::Straight)
}

const fn turn(role: Role) -> &'static str {
    match role {
        Role::Subject => "the answer's turn",
        Role::Answer | Role::Countersubject => "the subject's turn",
    }
}

/// Entries that repeat the role of the one before.
fn report_turns(texture: &Texture<'_>, firsts: &[Statement<'_>], report: &mut Report<'_>) -> bool {
    let mut found = false;
    let pairs = firsts.iter().zip(firsts.iter().skip(1));
    for (before, theme) in pairs.filter(|(one, other)| take_turns(one, other)) {
        let role = theme.entry.role;
        if role == before.entry.role {
            let voice = texture.name(theme.voice());
            let message = format_args!("{voice} enters with the {} when it is {}", role.name(), turn(role));
            report.add(theme.spot(), message, distance(texture, before, theme));
            found = true;
        }
    }
    found
}

/// In four parts: entries whose pair, two parts off, had the other role.
fn report_pairs(texture: &Texture<'_>, firsts: &[Statement<'_>], report: &mut Report<'_>) {
    for (index, theme) in firsts.iter().enumerate() {
        let pair = firsts.iter().take(index).find(|it| it.voice().abs_diff(theme.voice()) == 2);
        let differs = |pair: &&Statement<'_>| pair.entry.role != theme.entry.role && take_turns(pair, theme);
        let Some(pair) = pair.filter(differs) else { continue };
        let [voice, other] = [theme, pair].map(|it| texture.name(it.voice()));
        let [role, had] = [theme, pair].map(|it| it.entry.role.name());
        let message = format_args!("{voice} enters with the {role} though {other}, its pair, had the {had}");
        report.add(theme.spot(), message, distance(texture, pair, theme));
    }
}

/// The time from one entry to the other.
fn distance(texture: &Texture<'_>, one: &Statement<'_>, other: &Statement<'_>) -> Evidence {
    Evidence::of_stretch(texture, other.onset - one.onset)
}

impl Rule for IrregularOrder {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::Entries
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let firsts = first_entries(texture);
        let irregular = report_turns(texture, &firsts, report);
        if !irregular && texture.voices() == 4 {
            report_pairs(texture, &firsts, report);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::IrregularOrder;
    use crate::exposition::Form;
    use crate::exposition::Role;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found_in_forms, found_in_fugue};

    /// What the rule finds if four voices enter in an order, a bar each.
    fn entering(order: [(Role, usize); 4]) -> Vec<String> {
        let line = |voice: usize| {
            let place = order.iter().position(|(_, it)| *it == voice).unwrap();
            format!("R:{} C4:1/4 D4 E4 C4", if place == 0 { "1/4".to_owned() } else { place.to_string() })
        };
        let lines = [0, 1, 2, 3].map(line);
        let marks = order.map(|(role, voice)| (role, voice, 0..4));
        found_in_fugue(&IrregularOrder, &lines.each_ref().map(String::as_str), &marks)
    }

    /// Prout, *Fugue*, §200: alto, treble, tenor, bass with subject, answer, answer, subject.
    #[test]
    fn finds_two_answers_in_succession() {
        assert_eq!(
            entering([(Subject, 1), (Answer, 0), (Answer, 2), (Subject, 3)]),
            ["bar 3, beat 1: Remark [(2, 0)] tenor enters with the answer when it is the subject's turn"]
        );
    }

    /// Prout, *Fugue*, §200: the same order, alto and tenor with the subject.
    #[test]
    fn finds_a_pair_that_divides_subject_and_answer() {
        assert_eq!(
            entering([(Subject, 1), (Answer, 0), (Subject, 2), (Answer, 3)]),
            [
                "bar 3, beat 1: Remark [(2, 0)] \
                 tenor enters with the subject though soprano, its pair, had the answer",
                "bar 4, beat 1: Remark [(3, 0)] \
                 bass enters with the answer though alto, its pair, had the subject"
            ]
        );
    }

    /// Prout, *Fugue*, §199: the four best orders.
    #[test]
    fn allows_the_orders_that_the_handbook_recommends() {
        for voices in [[0, 1, 2, 3], [3, 2, 1, 0], [1, 2, 3, 0], [2, 1, 0, 3]] {
            let roles = [Subject, Answer, Subject, Answer];
            let order = [0, 1, 2, 3].map(|at| (roles[at], voices[at]));
            assert!(entering(order).is_empty(), "{voices:?}");
        }
    }

    #[test]
    fn allows_a_voice_to_enter_again() {
        let lines = ["R:1 G4:1/4 A4 B4 G4", "C4:1/4 D4 E4 C4 R:1 C4:1/4 D4 E4 C4"];
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Answer, 1, 4..8)];
        assert!(found_in_fugue(&IrregularOrder, &lines, &marks).is_empty());
    }

    /// Two answers were once said to follow each other, though one voice had the subject upside down between.
    #[test]
    fn allows_a_turn_taken_upside_down_and_voices_that_begin_together() {
        let lines = ["C4:1/4 D4 E4 C4", "R:1 G4:1/4 A4 B4 G4", "R:2 C4:1/4 B3 A3 C4", "R:3 G3:1/4 A3 B3 G3"];
        let marks = [(Subject, 0, 0..4), (Answer, 1, 0..4), (Answer, 3, 0..4)];
        let others = [(Form::Inverted, 2, 0..4)];
        assert!(found_in_forms(&IrregularOrder, &lines, &marks, &others).is_empty());
        assert_eq!(found_in_fugue(&IrregularOrder, &lines, &marks).len(), 1);
        let together = ["R:1 G4:1/4 A4 B4 G4", "C4:1/4 D4 E4 C4", "R:1 G3:1/4 A3 B3 G3"];
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Answer, 2, 0..4)];
        assert!(found_in_fugue(&IrregularOrder, &together, &marks).is_empty());
    }
}
