//! Entries without the countersubject.

use super::statement::{Statement, countersubjects, statements, theme_of, themes};
use crate::exposition::Form;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
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

/// Fewer notes against the answer are no line that could return.
const FEWEST: usize = 4;

impl Rule for DroppedCountersubject {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let (themes, countersubjects) = (themes(texture), countersubjects(texture));
        let accompanied: Vec<i64> =
            countersubjects.iter().filter_map(|it| theme_of(&themes, it)).map(|theme| theme.onset).collect();
        let Some(&first) = accompanied.iter().min() else { return report_none(texture, &themes, report) };
        for theme in themes.iter().filter(|theme| theme.onset > first && !accompanied.contains(&theme.onset))
        {
            let (voice, role) = (texture.name(theme.voice()), theme.entry.role.name());
            let message = format_args!("no voice has the countersubject against the {role} of {voice}");
            let evidence = Evidence::of_stretch(texture, theme.end - theme.onset);
            report.add(spot(texture, &themes, theme), message, evidence);
        }
    }
}

/// Of a fugue without a countersubject: that what first went with the answer does not come back with
/// the third entry. Against a theme in another form it could not.
fn report_none(texture: &Texture<'_>, themes: &[Statement<'_>], report: &mut Report<'_>) {
    let [first, answer, third, ..] = themes else { return };
    if statements(texture).iter().take(3).any(|it| it.form != Form::Straight) {
        return;
    }
    let against = texture.tones(first.voice()).iter().filter(|tone| {
        let is_after = tone.onset >= first.end;
        is_after && answer.onset <= tone.onset && tone.onset < answer.end
    });
    let is_accompanied = against.count() >= FEWEST;
    if first.voice() != answer.voice() && is_accompanied {
        let (leader, voice) = (texture.name(first.voice()), texture.name(third.voice()));
        let role = third.entry.role.name();
        let message = format_args!(
            "what {leader} has against the answer does not return against the {role} of {voice}"
        );
        let evidence = Evidence::of_stretch(texture, third.end - third.onset);
        report.add(spot(texture, themes, third), message, evidence);
    }
}

/// The first note of a theme, and what the voice has then that had the theme before: its companion
/// by custom.
fn spot(texture: &Texture<'_>, themes: &[Statement<'_>], theme: &Statement<'_>) -> Spot {
    let before = themes.iter().rev().find(|it| it.onset < theme.onset && it.voice() != theme.voice());
    let companion = before.and_then(|before| {
        let note = texture.tones(before.voice()).partition_point(|tone| tone.end <= theme.onset);
        texture.tones(before.voice()).get(note).map(|_| (before.voice(), note))
    });
    let first = (theme.voice(), theme.entry.notes.start);
    Spot::new(theme.onset, [first].into_iter().chain(companion).collect())
}

#[cfg(test)]
mod tests {
    use super::DroppedCountersubject;
    use crate::exposition::Role::{Answer, Countersubject, Subject};
    use crate::rules::trial::found_in_fugue;

    /// One note and a rest were once missed.
    #[test]
    fn allows_what_is_no_line() {
        let lines = [LINES[0], "C4:1/4 D4 E4 C4 B3:1/2 R:3/2", LINES[2]];
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..4)];
        assert!(found_in_fugue(&DroppedCountersubject, &lines, &marks).is_empty());
    }

    const LINES: [&str; 3] = [
        "R:1 G4:1/4 A4 B4 G4 E4:1/8 D4 C4:1/4 G4:1/2",
        "C4:1/4 D4 E4 C4 B3:1/8 A3 G3:1/4 D4 G3 R:1",
        "R:2 C3:1/4 D3 E3 C3",
    ];

    #[test]
    fn finds_third_entry_without_it() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Countersubject, 1, 4..7), (Subject, 2, 0..4)];
        assert_eq!(
            found_in_fugue(&DroppedCountersubject, &LINES, &marks),
            [
                "bar 3, beat 1: Remark [(2, 0), (0, 4)] no voice has the countersubject against the subject of tenor"
            ]
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
    fn finds_a_fugue_without_one_once() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4), (Subject, 2, 0..4)];
        assert_eq!(
            found_in_fugue(&DroppedCountersubject, &LINES, &marks),
            ["bar 3, beat 1: Remark [(2, 0), (0, 4)] \
                what alto has against the answer does not return against the subject of tenor"]
        );
    }

    #[test]
    fn allows_two_entries_alone() {
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        assert!(found_in_fugue(&DroppedCountersubject, &LINES, &marks).is_empty());
    }
}
