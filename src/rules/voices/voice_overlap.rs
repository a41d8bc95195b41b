//! Voices that overlap.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Step, Texture, overlap};

#[doc = include_str!("voice_overlap.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct VoiceOverlap;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("voice-overlap"),
    severity: Severity::Remark,
    summary: "a voice passes beyond the note that its neighbour has just left",
    page: include_str!("voice_overlap.md"),
    source: Source::Memory("common practice of vocal writing"),
};

impl Rule for VoiceOverlap {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.pairs().filter(|pair| pair.lower() == pair.upper() + 1) {
            let [upper, lower] = pair.names();
            let overlaps = |step: &Step<'_>| overlap(step.upper(), step.lower());
            for step in pair.steps().filter(overlaps) {
                let falls = step.upper()[1].height() < step.lower()[0].height();
                let (mover, other) = if falls { (upper, lower) } else { (lower, upper) };
                let side = if falls { "below" } else { "above" };
                let message = format_args!("{mover} passes {side} the note that {other} leaves");
                report.add(&step, message, Evidence::of_step(&step));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::VoiceOverlap;
    use crate::rules::trial::found;

    #[test]
    fn finds_voices_that_pass_what_the_other_left() {
        assert_eq!(
            found(&VoiceOverlap, "4/4", &["C5:1/2 F4", "G4:1/2 D4"]),
            ["bar 1, beat 3: Remark [(0, 0), (1, 0), (0, 1), (1, 1)] \
                 soprano passes below the note that alto leaves"]
        );
        assert!(
            found(&VoiceOverlap, "4/4", &["C5:1/2 G5", "G4:1/2 D5"])[0]
                .ends_with("alto passes above the note that soprano leaves")
        );
    }

    #[test]
    fn allows_reaching_the_very_note() {
        assert!(found(&VoiceOverlap, "4/4", &["C5:1/2 G4", "G4:1/2 D4"]).is_empty());
    }

    #[test]
    fn allows_crossing_which_is_another_matter() {
        assert!(found(&VoiceOverlap, "4/4", &["C5:1/2 F4", "G4:1/2 A4"]).is_empty());
    }

    #[test]
    fn allows_voices_that_are_no_neighbours() {
        assert!(found(&VoiceOverlap, "4/4", &["C5:1/2 F4", "R:1", "G4:1/2 D4"]).is_empty());
    }
}
