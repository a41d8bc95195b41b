//! Entries without the countersubject.

use super::statement::{countersubjects, theme_of, themes};
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("dropped_countersubject.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct DroppedCountersubject;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("dropped-countersubject"),
    severity: Severity::Remark,
    summary: "a later entry of subject or answer goes without the countersubject",
    page: include_str!("dropped_countersubject.md"),
    source: Source::Handbook("Prout, Fugue, §§159-160"),
};

impl Rule for DroppedCountersubject {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let (themes, countersubjects) = (themes(texture), countersubjects(texture));
        let accompanied: Vec<i64> =
            countersubjects.iter().filter_map(|it| theme_of(&themes, it)).map(|theme| theme.onset).collect();
        let Some(&first) = accompanied.iter().min() else { return };
        for theme in themes.iter().filter(|theme| theme.onset > first && !accompanied.contains(&theme.onset))
        {
            let (voice, role) = (texture.name(theme.voice()), theme.entry.role.name());
            let message = format_args!("no voice has the countersubject against the {role} of {voice}");
            report.add(theme.spot(), message, Evidence::of_stretch(texture, theme.end - theme.onset));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DroppedCountersubject;
    use crate::exposition::Role::{Answer, Countersubject, Subject};
    use crate::rules::trial::found_in_fugue;

    const LINES: [&str; 3] = [
        "R:1 G4:1/4 A4 B4 G4 E4:1/8 D4 C4:1/4 G4:1/2",
        "C4:1/4 D4 E4 C4 B3:1/8 A3 G3:1/4 D4:1/2 R:1",
        "R:2 C3:1/4 D3 E3 C3",
    ];

    #[test]
    fn finds_third_entry_without_it() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Countersubject, 1, 4..7), (Subject, 2, 0..4)];
        assert_eq!(
            found_in_fugue(&DroppedCountersubject, &LINES, &marks),
            ["bar 3, beat 1: Remark [(2, 0)] no voice has the countersubject against the subject of tenor"]
        );
    }

    #[test]
    fn allows_it_in_any_voice() {
        let marks = [
            (Subject, 1, 0..4),
            (Answer, 0, 0..4),
            (Countersubject, 1, 4..7),
            (Subject, 2, 0..4),
            (Countersubject, 0, 4..7),
        ];
        assert!(found_in_fugue(&DroppedCountersubject, &LINES, &marks).is_empty());
    }

    #[test]
    fn allows_a_fugue_without_one() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..4)];
        assert!(found_in_fugue(&DroppedCountersubject, &LINES, &marks).is_empty());
    }
}
