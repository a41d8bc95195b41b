//! Consecutive fifths and octaves by contrary motion.

use crate::pitch::Pitch;
use crate::rules::words::One;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Step, Texture};

#[doc = include_str!("contrary_perfects.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct ContraryPerfects;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("contrary-perfects"),
    severity: Severity::Caution,
    summary: "two voices move from a perfect fifth or octave to another in contrary motion",
    page: include_str!("contrary_perfects.md"),
    source: Source::Memory("common practice of strict writing"),
};

/// Whether the two have the same notes before and after: they leap octaves, or change places.
fn keeps_notes(step: &Step<'_>) -> bool {
    let [[a, b], [c, d]] = [step.upper(), step.lower()].map(|it| it.map(Pitch::class));
    [a, c] == [b, d] || [a, c] == [d, b]
}

impl Rule for ContraryPerfects {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        Reach::along_octaves(texture)
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.own_pairs() {
            let [upper, lower] = pair.names();
            for step in pair.steps() {
                let Some(perfect) = step.contrary_perfect() else { continue };
                if keeps_notes(&step) || step.is_within(pair.doublings()) {
                    continue;
                }
                let (one, other) = (step.intervals()[0], step.intervals()[1]);
                let [from, to] = [one, other].map(|interval| One(perfect.singular(interval)));
                let evidence = Evidence::of_step(&step);
                if from.0 == to.0 {
                    let plural = perfect.plural(other);
                    let message = format_args!("{upper} and {lower} move in {plural} by contrary motion");
                    report.add(&step, message, evidence);
                } else {
                    let message =
                        format_args!("{upper} and {lower} go from {from} to {to} by contrary motion");
                    report.add(&step, message, evidence);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::ContraryPerfects;
    use crate::rules::trial::found;

    #[test]
    fn finds_fifth_to_twelfth_and_octave_to_unison() {
        assert_eq!(
            found(&ContraryPerfects, "4/4", &["G4:1/2 D5", "C4:1/2 G3"]),
            ["bar 1, beat 3: Caution [(0, 0), (1, 0), (0, 1), (1, 1)] \
                 soprano and alto move in fifths by contrary motion"]
        );
        let unison = found(&ContraryPerfects, "4/4", &["C5:1/2 F4", "C4:1/2 F4"]);
        assert!(unison[0].ends_with("soprano and alto go from an octave to a unison by contrary motion"));
    }

    /// The double bass has the bass's line, now at its height, now an octave lower.
    #[test]
    fn allows_two_voices_that_double_each_other() {
        let lines = ["C3:1/4 D3 E3 F3 G3 C3 D3 E3", "C3:1/4 D3 E3 F3 G2 C3 D3 E3"];
        assert!(found(&ContraryPerfects, "4/4", &lines).is_empty());
        assert_eq!(found(&ContraryPerfects, "4/4", &["F3:1/4 G3 R:1/2", "F3:1/4 G2 R:1/2"]).len(), 1);
    }

    /// Viola and cello change their E for that of the other; a chord of A is struck the other way round.
    #[test]
    fn allows_two_voices_that_change_places() {
        assert!(found(&ContraryPerfects, "4/4", &["E3:1/2 E4", "E4:1/2 E3"]).is_empty());
        assert!(found(&ContraryPerfects, "4/4", &["A3:1/2 E4", "E4:1/2 A3"]).is_empty());
        assert_eq!(found(&ContraryPerfects, "4/4", &["A3:1/2 E4", "D3:1/2 A2"]).len(), 1);
    }

    #[test]
    fn allows_similar_motion_and_mixed_intervals() {
        assert!(found(&ContraryPerfects, "4/4", &["G4:1/2 A4", "C4:1/2 D4"]).is_empty());
        assert!(found(&ContraryPerfects, "4/4", &["G4:1/2 C5", "C4:1/2 C4"]).is_empty());
        assert!(found(&ContraryPerfects, "4/4", &["D5:1/2 C5", "G3:1/2 C4"]).is_empty());
    }
}
