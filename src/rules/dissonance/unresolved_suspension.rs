//! Suspensions that do not fall.

use super::{Mistake, mistakes};
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Dissonance, Figure, Texture};

#[doc = include_str!("unresolved_suspension.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct UnresolvedSuspension;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("unresolved-suspension"),
    severity: Severity::Caution,
    summary: "a suspended note does not resolve by falling a step",
    page: include_str!("unresolved_suspension.md"),
    source: Source::Handbook("Grove 3, \"Strict Counterpoint\", Fourth Order"),
};

impl Rule for UnresolvedSuspension {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let judged = |it: &Dissonance| it.figure == Figure::UnresolvedSuspension;
        for Mistake { spot, voice, others, evidence, .. } in mistakes(texture, judged) {
            let message = format_args!("{voice} does not resolve its suspension against {others}");
            report.add(spot, message, evidence);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::UnresolvedSuspension;
    use crate::rules::trial::found;

    #[test]
    fn finds_suspension_that_leaps_away() {
        assert_eq!(
            found(&UnresolvedSuspension, "4/4", &["R:1/2 C5:1 F4:1/2", "E4:1 D4:1"]),
            ["bar 2, beat 1: Caution [(0, 0), (1, 1)] soprano does not resolve its suspension against alto"]
        );
    }

    #[test]
    fn finds_suspension_cut_off_by_a_rest() {
        assert_eq!(found(&UnresolvedSuspension, "4/4", &["R:1/2 C5:1 R:1/2", "E4:1 D4:1"]).len(), 1);
    }

    #[test]
    fn allows_falling_by_step_at_once_or_after_an_ornament() {
        assert!(found(&UnresolvedSuspension, "4/4", &["R:1/2 C5:1 B4:1/2", "E4:1 D4:1"]).is_empty());
        assert!(found(&UnresolvedSuspension, "4/4", &["R:1/2 C5:1 A4:1/4 B4", "E4:1 D4:1"]).is_empty());
    }

    #[test]
    fn allows_leading_note_to_rise() {
        assert!(found(&UnresolvedSuspension, "4/4", &["R:1/2 B4:1 C5:1/2", "G4:1 C4:1"]).is_empty());
    }
}
