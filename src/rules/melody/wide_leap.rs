//! Leaps of a seventh, or beyond the octave.

use super::stride::strides;
use crate::interval::Quality;
use crate::rules::{Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("wide_leap.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct WideLeap;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("wide-leap"),
    severity: Severity::Caution,
    summary: "a voice leaps a seventh or further than an octave",
    page: include_str!("wide_leap.md"),
    source: Source::Memory("common practice of strict writing"),
};

impl Rule for WideLeap {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for stride in strides(texture) {
            let (number, quality) = (stride.interval().number(), stride.interval().quality());
            let voice = texture.name(stride.voice);
            match (number, quality) {
                (9.., _) => {
                    let message = format_args!("{voice} leaps further than an octave");
                    report.add(stride.spot(), message, stride.evidence());
                }
                (7, Quality::Major) => {
                    let message = format_args!("{voice} leaps a major seventh");
                    report.add(stride.spot(), message, stride.evidence());
                }
                (7, Quality::Minor) => {
                    let message = format_args!("{voice} leaps a minor seventh");
                    report.add_lighter(stride.spot(), message, stride.evidence());
                }
                _ => {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::WideLeap;
    use crate::rules::trial::found;

    #[test]
    fn finds_ninth_and_sevenths_by_weight() {
        assert_eq!(
            found(&WideLeap, "4/4", &["C4:1/4 D5 C5:1/2", "C5:1/4 C#4 D4:1/4 C5"]),
            [
                "bar 1, beat 2: Caution [(0, 0), (0, 1)] soprano leaps further than an octave",
                "bar 1, beat 4: Remark [(1, 2), (1, 3)] alto leaps a minor seventh"
            ]
        );
        assert_eq!(
            found(&WideLeap, "4/4", &["C4:1/4 B4 C5:1/2"]),
            ["bar 1, beat 2: Caution [(0, 0), (0, 1)] soprano leaps a major seventh"]
        );
    }

    #[test]
    fn allows_octave_and_sixth() {
        assert!(found(&WideLeap, "4/4", &["C4:1/4 C5 E4 C5"]).is_empty());
    }

    #[test]
    fn allows_diminished_seventh_and_a_rest_between() {
        assert!(found(&WideLeap, "4/4", &["F5:1/4 G#4 A4 R", "C4:1/4 R D5 C5"]).is_empty());
    }
}
