//! Consecutive fifths, octaves and unisons.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("parallel_perfects.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct ParallelPerfects;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("parallel-perfects"),
    severity: Severity::Fault,
    summary: "two voices move from a perfect fifth, octave or unison to another in the same direction",
    page: include_str!("parallel_perfects.md"),
    source: Source::Handbook("Grove 3, \"Strict Counterpoint\", First Order"),
};

impl Rule for ParallelPerfects {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.pairs() {
            let ([upper, lower], doublings) = (pair.names(), pair.doublings());
            for step in pair.steps() {
                let Some(perfect) = step.parallel_perfect() else { continue };
                if step.is_within(&doublings) {
                    continue;
                }
                let plural = perfect.plural(step.intervals()[1]);
                let message = format_args!("{upper} and {lower} move in parallel {plural}");
                report.add(&step, message, Evidence::of_step(&step));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::ParallelPerfects;
    use crate::rules::trial::found;

    #[test]
    fn finds_fifths_octaves_and_unisons() {
        assert_eq!(
            found(&ParallelPerfects, "4/4", &["G4:1/2 A4", "C4:1/2 D4"]),
            [
                "bar 1, beat 3: Fault [(0, 0), (1, 0), (0, 1), (1, 1)] soprano and alto move in parallel fifths"
            ]
        );
        let octaves = found(&ParallelPerfects, "4/4", &["C5:1/2 D5", "C4:1/2 D4"]);
        assert!(octaves[0].ends_with("parallel octaves"));
        let unisons = found(&ParallelPerfects, "4/4", &["C4:1/2 D4", "C4:1/2 D4"]);
        assert!(unisons[0].ends_with("parallel unisons"));
    }

    #[test]
    fn finds_compound_fifths_and_twelfth_to_fifth() {
        assert_eq!(found(&ParallelPerfects, "4/4", &["G5:1/2 A5", "C4:1/2 D4"]).len(), 1);
        assert_eq!(found(&ParallelPerfects, "4/4", &["E4:1/2 F4", "A2:1/2 Bb3"]).len(), 1);
    }

    #[test]
    fn finds_fifths_after_a_chord_struck_again() {
        assert_eq!(
            found(&ParallelPerfects, "4/4", &["G4:1/4 G4 A4:1/2", "C4:1/4 C4 D4:1/2"]),
            [
                "bar 1, beat 3: Fault [(0, 1), (1, 1), (0, 2), (1, 2)] soprano and alto move in parallel fifths"
            ]
        );
    }

    /// Colla parte is scoring: it was once a Fault at every note.
    #[test]
    fn allows_a_doubling_but_not_two_octaves() {
        let doubled = ["C5:1/4 D5 E5 F5", "C4:1/4 D4 E4 F4"];
        assert!(found(&ParallelPerfects, "4/4", &doubled).is_empty());
        assert_eq!(found(&ParallelPerfects, "4/4", &["C5:1/4 D5 E5 F5", "C4:1/4 D4 E4 D4"]).len(), 2);
    }

    #[test]
    fn allows_contrary_motion_and_repetition() {
        assert!(found(&ParallelPerfects, "4/4", &["G4:1/2 D5", "C4:1/2 G3"]).is_empty());
        assert!(found(&ParallelPerfects, "4/4", &["G4:1/2 G4", "C4:1/2 C4"]).is_empty());
    }

    #[test]
    fn allows_perfect_fifth_to_diminished_fifth() {
        assert!(found(&ParallelPerfects, "4/4", &["G4:1/2 F4", "C4:1/2 B3"]).is_empty());
    }

    #[test]
    fn allows_fifth_to_octave_and_thirds() {
        assert!(found(&ParallelPerfects, "4/4", &["G4:1/2 A4 B4", "C4:1/2 A3 G3"]).is_empty());
    }
}
