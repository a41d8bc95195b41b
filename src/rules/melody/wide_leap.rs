//! Leaps of a seventh, or beyond the octave.

use super::restated::is_restated;
use super::stride::strides;
use crate::interval::Quality;
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("wide_leap.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct WideLeap {
    /// Which leaps are wide: as in strict writing by default.
    pub leaps: Leaps,
}

/// Which leaps are wide.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Leaps {
    /// Sevenths, the minor one a lighter matter, and what is wider than an octave.
    #[default]
    Strict,
    /// Major sevenths and what is wider than an octave; of parts that nobody sings, by their names,
    /// all a lighter matter.
    Free,
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("wide-leap"),
    severity: Severity::Caution,
    summary: "a voice leaps a seventh or more than an octave",
    page: include_str!("wide_leap.md"),
    source: Source::Memory("common practice of strict writing"),
};

impl Rule for WideLeap {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for stride in strides(texture) {
            let interval = stride.interval();
            let (what, is_grave) = match interval.number() {
                9.. => ("more than an octave", true),
                7 if interval.quality() == Quality::Major => ("a major seventh", true),
                7 if interval.quality() == Quality::Minor && self.leaps == Leaps::Strict => {
                    ("a minor seventh", false)
                }
                _ => continue,
            };
            if is_restated(texture, &stride) {
                continue;
            }
            let is_sung = texture.score().parts().get(stride.voice).is_some_and(|part| part.voice.is_sung());
            let message = format_args!("{} leaps {what}", texture.name(stride.voice));
            if is_grave && (self.leaps == Leaps::Strict || is_sung) {
                report.add(stride.spot(), message, stride.evidence());
            } else {
                report.add_lighter(stride.spot(), message, stride.evidence());
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Leaps, WideLeap};
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found, found_in_fugue};

    #[test]
    fn finds_ninth_and_sevenths_by_weight() {
        assert_eq!(
            found(&WideLeap::default(), "4/4", &["C4:1/4 D5 C5:1/2", "C5:1/4 C#4 D4:1/4 C5"]),
            [
                "bar 1, beat 2: Caution [(0, 0), (0, 1)] soprano leaps more than an octave",
                "bar 1, beat 4: Remark [(1, 2), (1, 3)] alto leaps a minor seventh"
            ]
        );
        assert_eq!(
            found(&WideLeap::default(), "4/4", &["C4:1/4 B4 C5:1/2"]),
            ["bar 1, beat 2: Caution [(0, 0), (0, 1)] soprano leaps a major seventh"]
        );
    }

    #[test]
    fn allows_octave_and_sixth() {
        assert!(found(&WideLeap::default(), "4/4", &["C4:1/4 C5 E4 C5"]).is_empty());
    }

    #[test]
    fn allows_diminished_seventh_and_a_rest_between() {
        assert!(found(&WideLeap::default(), "4/4", &["F5:1/4 G#4 A4 R", "C4:1/4 R D5 C5"]).is_empty());
    }

    /// A choir breathes between the lines of a chorale.
    #[test]
    fn allows_a_new_phrase_to_begin_where_it_likes() {
        let lines =
            |soprano: &'static str| [soprano, "G4:1/4 G4 G4:1/2 G4:1/4 G4", "E4:1/4 D4 C4:1/2 B3:1/4 C4"];
        assert!(found(&WideLeap::default(), "4/4", &lines("E4:1/4 D4 C4:1/2 D5:1/4 C5")).is_empty());
        assert_eq!(found(&WideLeap::default(), "4/4", &lines("E4:1/4 D4 C4 C4 D5 C5")).len(), 1);
    }

    #[test]
    fn allows_the_minor_seventh_where_the_style_is_free() {
        let rule = WideLeap { leaps: Leaps::Free };
        assert!(found(&rule, "4/4", &["C4:1/4 Bb4 A4:1/2"]).is_empty());
        assert_eq!(found(&rule, "4/4", &["C4:1/4 B4 A4:1/2"]).len(), 1);
    }

    #[test]
    fn finds_leaps_of_unnamed_parts_as_a_lighter_matter_where_the_style_is_free() {
        let lines = ["R:1", "R:1", "R:1", "R:1", "R:1", "C3:1/4 D4 C4:1/2"];
        assert!(found(&WideLeap::default(), "4/4", &lines)[0].contains("Caution"));
        assert!(found(&WideLeap { leaps: Leaps::Free }, "4/4", &lines)[0].contains("Remark"));
        let sung = found(&WideLeap { leaps: Leaps::Free }, "4/4", &["C4:1/4 D5 C5:1/2"]);
        assert!(sung[0].contains("Caution"));
    }

    /// The leap of a subject was once marked at every entry.
    #[test]
    fn finds_the_leap_of_a_theme_at_its_first_entry_alone() {
        let lines = ["R:1 G4:1/4 A5 G5 F#5", "C4:1/4 D5 C5 B4 C5:1"];
        let entries = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        let marks = found_in_fugue(&WideLeap::default(), &lines, &entries);
        assert_eq!(marks, ["bar 1, beat 2: Caution [(1, 0), (1, 1)] alto leaps more than an octave"]);
        let wrong = ["R:1 G4:1/4 A4 B5 F#5", "C4:1/4 D5 C5 B4 C5:1"];
        assert_eq!(found_in_fugue(&WideLeap::default(), &wrong, &entries).len(), 2);
    }
}
