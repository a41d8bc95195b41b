//! Two voices with one line.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Pair, Stretch, Texture};

#[doc = include_str!("doubling.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct Doubling;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("doubling"),
    severity: Severity::Remark,
    summary: "two voices have one line in unison or octaves for a passage",
    page: include_str!("doubling.md"),
    source: Source::CommonPractice,
};

/// The notes of both voices as the passage begins.
fn spot(pair: Pair<'_>, stretch: Stretch) -> Spot {
    let note = |voice: usize| {
        let tones = pair.texture().tones(voice);
        (voice, tones.partition_point(|tone| tone.end <= stretch.onset))
    };
    Spot::new(stretch.onset, vec![note(pair.upper()), note(pair.lower())])
}

impl Rule for Doubling {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.pairs() {
            let [upper, lower] = pair.names();
            for stretch in pair.doublings() {
                let message =
                    format_args!("{upper} and {lower} double each other for {} notes", stretch.attacks);
                let evidence = Evidence::of_stretch(texture, stretch.duration());
                report.add(spot(pair, stretch), message, evidence);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Doubling;
    use crate::rules::trial::found;

    #[test]
    fn finds_a_passage_in_octaves_once() {
        assert_eq!(
            found(&Doubling, "4/4", &["C5:1/4 D5 E5 F5 G5:1", "C4:1/4 D4 E4 F4 E4:1"]),
            ["bar 1, beat 1: Remark [(0, 0), (1, 0)] soprano and alto double each other for 4 notes"]
        );
    }

    #[test]
    fn allows_two_octaves_which_are_another_matter() {
        assert!(found(&Doubling, "4/4", &["C5:1/4 D5 E5:1/2", "C4:1/4 D4 C4:1/2"]).is_empty());
    }
}
