//! Links that are longer than the subject.

use super::statement::statements;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("overlong_codetta.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct OverlongCodetta;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("overlong-codetta"),
    severity: Severity::Remark,
    summary: "a link between two entries of the exposition is longer than the subject",
    page: include_str!("overlong_codetta.md"),
    source: Source::Memory(
        "Prout, Fugue, §§188, 200, 215, for what a codetta is; the measure is this library's",
    ),
};

impl Rule for OverlongCodetta {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::Entries
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(outline) = texture.outline() else { return };
        let statements = statements(texture);
        let longest = texture.grid().ticks(outline.subject.length());
        for link in outline.codettas.iter().filter(|link| link.end <= outline.end) {
            let [onset, end] = [link.onset, link.end].map(|time| texture.grid().ticks(time));
            let Some(next) = statements.iter().find(|theme| theme.onset == end) else { continue };
            if end - onset > longest {
                let (role, voice) = (next.entry.role.name(), texture.name(next.voice()));
                let spot = Spot::new(onset, next.spot().notes().to_vec());
                let message =
                    format_args!("the link before the {role} in {voice} is longer than the subject");
                report.add(spot, message, Evidence::of_stretch(texture, end - onset));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::OverlongCodetta;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::found_in_fugue;

    fn linked(rest: &str) -> Vec<String> {
        let upper = format!("R:{rest} G4:1/4 A4 B4 G4");
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        found_in_fugue(&OverlongCodetta, &[&upper, "C4:1/4 D4 E4 C4 D4 E4 F4 E4 D4:1/2 F4 E4:1 D4:1"], &marks)
    }

    #[test]
    fn finds_a_link_longer_than_the_subject() {
        assert_eq!(
            linked("9/4"),
            [
                "bar 2, beat 1: Remark [(0, 0)] the link before the answer in soprano is longer than the subject"
            ]
        );
    }

    #[test]
    fn allows_a_link_as_long_as_the_subject_and_none() {
        assert!(linked("2").is_empty());
        assert!(linked("1").is_empty());
    }
}
