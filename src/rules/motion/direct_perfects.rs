//! Fifths and octaves reached in the same direction.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Step, Texture, comes_by_step, keeps_harmony};

#[doc = include_str!("direct_perfects.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct DirectPerfects {
    /// Which pairs of voices are judged: the outer ones by default.
    pub between: Between,
}

/// Which pairs of voices a rule judges.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Between {
    /// The highest and the lowest of the parts that sound.
    #[default]
    OuterVoices,
    /// Any two voices.
    AllVoices,
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("direct-perfects"),
    severity: Severity::Caution,
    summary: "the outer voices reach a perfect fifth or octave in the same direction",
    page: include_str!("direct_perfects.md"),
    source: Source::Handbook("Grove 3, \"Strict Counterpoint\", First Order"),
};

/// The exceptions: see the page.
fn is_excused(step: &Step<'_>) -> bool {
    comes_by_step(step.upper(), step.lower()) || keeps_harmony(step.upper(), step.lower())
}

/// Whether no part above the upper or below the lower voice sounds as the step is made.
fn is_outermost(texture: &Texture<'_>, step: &Step<'_>) -> bool {
    let (after, before) = (step.after(), step.before());
    let pair = after.pair();
    let mut others = (0..pair.upper()).chain(pair.lower() + 1..texture.voices());
    !others.any(|voice| {
        [before.onset(), after.onset()].into_iter().any(|it| texture.sounding(voice, it).is_some())
    })
}

impl Rule for DirectPerfects {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.pairs() {
            let [upper, lower] = pair.names();
            for step in pair.steps() {
                let Some(perfect) = step.direct_perfect().filter(|_| !is_excused(&step)) else { continue };
                if self.between == Between::OuterVoices && !is_outermost(texture, &step) {
                    continue;
                }
                let name = perfect.singular(step.intervals()[1]);
                let message = format_args!("{upper} and {lower} reach a direct {name}");
                report.add(&step, message, Evidence::of_step(&step));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Between, DirectPerfects};
    use crate::rules::trial::found;

    #[test]
    fn finds_direct_fifth_and_octave() {
        let rule = DirectPerfects::default();
        assert_eq!(
            found(&rule, "4/4", &["E4:1/2 A4", "C4:1/2 D4"]),
            ["bar 1, beat 3: Caution [(0, 0), (1, 0), (0, 1), (1, 1)] soprano and alto reach a direct fifth"]
        );
        assert!(found(&rule, "4/4", &["A4:1/2 D5", "C4:1/2 D4"])[0].ends_with("reach a direct octave"));
    }

    #[test]
    fn allows_step_above_over_a_leap() {
        assert!(found(&DirectPerfects::default(), "4/4", &["B4:1/2 C5", "G3:1/2 C4"]).is_empty());
    }

    #[test]
    fn allows_the_same_harmony() {
        assert!(found(&DirectPerfects::default(), "4/4", &["E4:1/2 G4", "E3:1/2 C4",]).is_empty());
        assert!(found(&DirectPerfects::default(), "4/4", &["C5:1/2 E5", "G3:1/2 A3"]).len() == 1);
    }

    #[test]
    fn allows_inner_voices_unless_all_are_judged() {
        let lines = ["C5:1", "E4:1/2 A4", "C4:1/2 D4"];
        assert!(found(&DirectPerfects::default(), "4/4", &lines).is_empty());
        assert_eq!(found(&DirectPerfects { between: Between::AllVoices }, "4/4", &lines).len(), 1);
    }

    #[test]
    fn finds_them_between_the_outer_voices_that_sound() {
        let lines = ["R:1", "E4:1/2 A4", "R:1", "C4:1/2 D4"];
        assert_eq!(found(&DirectPerfects::default(), "4/4", &lines).len(), 1);
    }

    #[test]
    fn allows_contrary_motion() {
        assert!(found(&DirectPerfects::default(), "4/4", &["E5:1/2 D5", "C4:1/2 G4"]).is_empty());
    }
}
