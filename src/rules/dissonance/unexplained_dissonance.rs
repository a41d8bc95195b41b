//! Dissonances without a reason.

use super::{Mistake, around, mistakes};
use crate::meter::Strength;
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Dissonance, Figure, Texture, Tone, is_leap};

#[doc = include_str!("unexplained_dissonance.md")]
#[derive(Clone, Copy, Debug)]
pub struct UnexplainedDissonance {
    /// The lightest place that is judged: a pulse by default.
    pub from: Strength,
    /// The lightest place where a note that its voice leaps to and from is judged, one step lighter off the beat: the half
    /// of a beat by default.
    pub leapt_from: Strength,
}

impl Default for UnexplainedDissonance {
    fn default() -> Self {
        Self { from: Strength::Pulse, leapt_from: Strength::Division }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("unexplained-dissonance"),
    severity: Severity::Caution,
    summary: "a dissonance on the beat is neither prepared nor led on as it ought to be",
    page: include_str!("unexplained_dissonance.md"),
    source: Source::Handbook("Grove 3, \"Strict Counterpoint\", Second to Fourth Order"),
};

/// Whether the voice of the dissonant note leaps to it and from it.
fn is_leapt(texture: &Texture<'_>, dissonance: &Dissonance) -> bool {
    let leaps = |pair: &[Tone]| pair[0].end == pair[1].onset && is_leap(pair[1].pitch - pair[0].pitch);
    around(texture, dissonance).is_some_and(|around| around.windows(2).all(leaps))
}

impl Rule for UnexplainedDissonance {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let judged = |it: &Dissonance| {
            matches!(it.figure, Figure::Unexplained | Figure::Leapt)
                && (it.strength >= self.from || (it.strength >= self.leapt_from && is_leapt(texture, it)))
        };
        for Mistake { spot, voice, others, evidence, strength } in mistakes(texture, judged) {
            let message = format_args!("{voice} clashes with {others} without preparation or resolution");
            if strength < Strength::Pulse {
                report.add_lighter(spot, message, evidence);
            } else {
                report.add(spot, message, evidence);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::UnexplainedDissonance;
    use crate::meter::Strength;
    use crate::rules::trial::found;

    #[test]
    fn finds_dissonance_leapt_to_and_from() {
        assert_eq!(
            found(&UnexplainedDissonance::default(), "4/4", &["G4:1/2 D5:1/4 G4", "C4:1"]),
            ["bar 1, beat 3: Caution [(0, 1), (1, 0)] \
                 soprano clashes with alto without preparation or resolution"]
        );
    }

    #[test]
    fn finds_a_note_that_clashes_with_several_voices_once() {
        let lines = ["G4:1/2 D5:1/4 G4", "C4:1", "C3:1"];
        assert_eq!(
            found(&UnexplainedDissonance::default(), "4/4", &lines),
            ["bar 1, beat 3: Caution [(0, 1), (1, 0), (2, 0)] \
                 soprano clashes with alto and tenor without preparation or resolution"]
        );
    }

    #[test]
    fn allows_ornaments_and_suspensions() {
        let rule = UnexplainedDissonance::default();
        assert!(found(&rule, "4/4", &["E5:1/2 D5:1/4 C5", "C4:1"]).is_empty());
        assert!(found(&rule, "4/4", &["R:1/2 C5:1 B4:1/2", "E4:1 D4"]).is_empty());
        assert!(found(&rule, "4/4", &["G4:1/2 D5:1/4 C5", "C4:1"]).is_empty());
    }

    // Cherubini, two parts, third order: what is dissonant goes by step, on the beat and off it.
    #[test]
    fn finds_a_note_leapt_to_and_from_off_the_beat_as_a_lighter_matter() {
        let rule = UnexplainedDissonance::default();
        assert_eq!(
            found(&rule, "4/4", &["G4:1/8 D5 G4:3/4", "C4:1"]),
            ["bar 1, beat 3/2: Remark [(0, 1), (1, 0)] \
                 soprano clashes with alto without preparation or resolution"]
        );
        assert!(found(&rule, "4/4", &["G4:1/16 D5 G4:7/8", "C4:1"]).is_empty());
        let from_beats = UnexplainedDissonance { leapt_from: Strength::Pulse, ..rule };
        assert!(found(&from_beats, "4/4", &["G4:1/8 D5 G4:3/4", "C4:1"]).is_empty());
    }

    // Cherubini, two parts, second and third order: the passing note does not excuse what leaps against it.
    #[test]
    fn finds_a_note_that_leaps_against_a_passing_note() {
        let marks =
            found(&UnexplainedDissonance::default(), "4/4", &["E5:1/2 D5:1/4 C5", "B3:1/2 E4:1/4 B3"]);
        let leapt = "bar 1, beat 3: Caution [(1, 1), (0, 1)] \
             alto clashes with soprano without preparation or resolution";
        assert!(marks.contains(&leapt.to_owned()), "{marks:?}");
    }

    #[test]
    fn allows_other_dissonance_off_the_beat_unless_judged() {
        let lines = ["A5:1/8 F5 E5:1/4 C5:1/2", "C4:1"];
        assert!(found(&UnexplainedDissonance::default(), "4/4", &lines).is_empty());
        let strict = UnexplainedDissonance { from: Strength::Division, ..UnexplainedDissonance::default() };
        assert_eq!(found(&strict, "4/4", &lines).len(), 1);
    }
}
