//! Entries at another place in the bar than the subject.

use super::recurrence::{Recurrences, so_too};
use super::statement::{Statement, themes};
use crate::exposition::Alignment;
use crate::line::Note;
use crate::meter::Strength;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("displaced_entry.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct DisplacedEntry;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("displaced-entry"),
    severity: Severity::Caution,
    summary: "an entry begins at another place in the bar than the subject, so that its accents are others",
    page: include_str!("displaced_entry.md"),
    source: Source::Memory("handbooks of fugue, of entries per arsin et thesin"),
};

/// What has become of the accents of an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shift {
    /// They are where they were, or half a bar of four beats away.
    None,
    /// Its beats fall on beats, but its accents on others.
    Beats,
    /// Its beats fall between the beats.
    Parts,
}

impl Shift {
    /// The shift of a theme that begins on a tick by so many ticks.
    fn of(texture: &Texture<'_>, begins: i64, by: i64) -> Self {
        let accents = texture.accents();
        let line = accents.bar_line(begins);
        let pulses = || accents.pulses(line, line + accents.bar_at(line)).map(|(start, _)| start);
        let moved = |start: i64| (texture.strength(start), texture.strength(start + by));
        if pulses().map(moved).all(|(one, other)| one.min(Strength::Accent) == other.min(Strength::Accent)) {
            return Self::None;
        }
        let beats = pulses().all(|start| texture.strength(start + by) >= Strength::Pulse);
        if beats { Self::Beats } else { Self::Parts }
    }
}

/// The tick on which a statement of the theme would begin if its first note were as long as the theme's.
fn start(texture: &Texture<'_>, theme: &[Note], statement: &Statement<'_>) -> i64 {
    texture.grid().ticks(Alignment::of_notes(theme, statement.notes).start())
}

/// An entry whose accents are others than the subject's, and where it begins.
struct Displaced<'s, 't> {
    entry: &'s Statement<'t>,
    begins: i64,
    shift: Shift,
    /// By how much it is displaced, whole bars aside.
    by: i64,
}

impl Displaced<'_, '_> {
    /// Reports it, if so many other entries are displaced alike, as the composer's own plan; the subject begins on
    /// a tick.
    fn report(&self, texture: &Texture<'_>, subject: i64, others: usize, report: &mut Report<'_>) {
        let (voice, role) = (texture.name(self.entry.voice()), self.entry.entry.role.name());
        let [beat, due] = [self.begins, subject].map(|tick| texture.place(tick).beat);
        let too = so_too(others);
        let message = format_args!(
            "{voice} begins the {role} on beat {beat}, where the subject begins on beat {due}{too}"
        );
        let evidence = Evidence::of_stretch(texture, self.by);
        match self.shift {
            Shift::Parts if others == 0 => report.add(self.entry.spot(), message, evidence),
            _ => report.add_remark(self.entry.spot(), message, evidence),
        }
    }
}

impl Rule for DisplacedEntry {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::Entries
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let (Some(outline), themes) = (texture.outline(), themes(texture)) else { return };
        let Some((first, later)) = themes.split_first() else { return };
        let theme = outline.subject.line().notes();
        let subject = start(texture, theme, first);
        let displaced = later.iter().map(|entry| {
            let begins = start(texture, theme, entry);
            let shift = Shift::of(texture, subject, begins - subject);
            let by = (begins - subject).rem_euclid(texture.accents().bar_at(subject));
            Displaced { entry, begins, shift, by }
        });
        let displaced: Vec<Displaced<'_, '_>> = displaced.filter(|it| it.shift != Shift::None).collect();
        let mut shifts = Recurrences::of(displaced.iter().map(|it| it.by));
        for it in &displaced {
            if let Some(others) = shifts.tell(&it.by) {
                it.report(texture, subject, others, report);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DisplacedEntry;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::found_in_fugue;

    /// What the rule finds if the answer begins so long after the subject, which has four beats.
    fn answered(rest: &str) -> Vec<String> {
        let answer = format!("R:{rest} G4:1/4 A4:1/8 B4 C5:1/4 G4");
        let marks = [(Subject, 1, 0..5), (Answer, 0, 0..5)];
        found_in_fugue(&DisplacedEntry, &[&answer, "C4:1/4 D4:1/8 E4 F4:1/4 C4"], &marks)
    }

    #[test]
    fn finds_answer_between_the_beats() {
        assert_eq!(
            answered("9/8"),
            ["bar 2, beat 3/2: Caution [(0, 0)] \
              soprano begins the answer on beat 3/2, where the subject begins on beat 1"]
        );
    }

    #[test]
    fn finds_answer_on_another_beat() {
        assert_eq!(
            answered("5/4"),
            ["bar 2, beat 2: Remark [(0, 0)] \
              soprano begins the answer on beat 2, where the subject begins on beat 1"]
        );
    }

    /// Each was once marked by itself.
    #[test]
    fn finds_entries_displaced_alike_once() {
        let late = |bar: &str, pitches: &str| format!("R:{bar} {pitches}");
        let lines = [
            late("5/4", "G4:1/4 A4:1/8 B4 C5:1/4 G4"),
            "C4:1/4 D4:1/8 E4 F4:1/4 C4".to_owned(),
            late("9/4", "C3:1/4 D3:1/8 E3 F3:1/4 C3"),
        ];
        let marks = [(Subject, 1, 0..5), (Answer, 0, 0..5), (Subject, 2, 0..5)];
        assert_eq!(
            found_in_fugue(&DisplacedEntry, &lines.each_ref().map(String::as_str), &marks),
            ["bar 2, beat 2: Remark [(0, 0)] soprano begins the answer on beat 2, where the subject \
              begins on beat 1; another entry has it so, too"]
        );
    }

    /// Common practice: the first and the third beat of four weigh alike.
    #[test]
    fn allows_the_same_place_and_the_half_bar() {
        assert!(answered("1").is_empty());
        assert!(answered("3/2").is_empty());
    }

    /// Prout, *Fugue*, §57.
    #[test]
    fn allows_another_length_of_the_first_note() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        let lines = ["R:9/8 G4:1/8 A4:1/4 B4 G4", "C4:1/4 D4 E4 C4"];
        assert!(found_in_fugue(&DisplacedEntry, &lines, &marks).is_empty());
    }
}
