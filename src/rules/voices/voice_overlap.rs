//! Voices that overlap.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Step, Texture, keeps_harmony, overlap};

#[doc = include_str!("voice_overlap.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct VoiceOverlap {
    /// Which parts are judged: all by default.
    pub between: Singers,
}

/// Which parts a rule of singing judges.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Singers {
    /// Any two neighbours.
    #[default]
    AllParts,
    /// Neighbours that bear the names of singers, and only where the harmony changes.
    SungParts,
}

impl VoiceOverlap {
    fn is_judged(self, step: &Step<'_>) -> bool {
        let pair = step.after().pair();
        let parts = pair.texture().score().parts();
        let is_sung = |voice: usize| parts.get(voice).is_some_and(|part| part.voice.is_sung());
        let is_free = !is_sung(pair.upper()) || !is_sung(pair.lower());
        let is_excused = is_free || keeps_harmony(step.upper(), step.lower());
        self.between == Singers::AllParts || !is_excused
    }
}

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
            let overlaps = |step: &Step<'_>| overlap(step.upper(), step.lower()) && self.is_judged(step);
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
    use super::{Singers, VoiceOverlap};
    use crate::rules::trial::found;

    #[test]
    fn finds_voices_that_pass_what_the_other_left() {
        assert_eq!(
            found(&VoiceOverlap::default(), "4/4", &["C5:1/2 F4", "G4:1/2 D4"]),
            ["bar 1, beat 3: Remark [(0, 0), (1, 0), (0, 1), (1, 1)] \
                 soprano passes below the note that alto leaves"]
        );
        assert!(
            found(&VoiceOverlap::default(), "4/4", &["C5:1/2 G5", "G4:1/2 D5"])[0]
                .ends_with("alto passes above the note that soprano leaves")
        );
    }

    /// Instruments are free, and so is a chord that only changes its position.
    #[test]
    fn allows_singers_a_change_of_position_where_they_alone_are_judged() {
        let rule = VoiceOverlap { between: Singers::SungParts };
        assert_eq!(found(&rule, "4/4", &["C5:1/2 F4", "G4:1/2 D4"]).len(), 1);
        assert!(found(&rule, "4/4", &["G4:1/2 C5", "E4:1/2 G4"]).is_empty());
        assert!(found(&rule, "4/4", &["E4:1/2 C5", "C4:1/2 G4"]).is_empty());
        assert_eq!(found(&VoiceOverlap::default(), "4/4", &["E4:1/2 C5", "C4:1/2 G4"]).len(), 1);
    }

    #[test]
    fn allows_reaching_the_very_note() {
        assert!(found(&VoiceOverlap::default(), "4/4", &["C5:1/2 G4", "G4:1/2 D4"]).is_empty());
    }

    #[test]
    fn allows_crossing_which_is_another_matter() {
        assert!(found(&VoiceOverlap::default(), "4/4", &["C5:1/2 F4", "G4:1/2 A4"]).is_empty());
    }

    #[test]
    fn allows_voices_that_are_no_neighbours() {
        assert!(found(&VoiceOverlap::default(), "4/4", &["C5:1/2 F4", "R:1", "G4:1/2 D4"]).is_empty());
    }
}
