//! Consecutive fifths and octaves on successive accents, with notes between.

use crate::meter::Strength;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Moment, Pair, Perfect, Step, Texture};

#[doc = include_str!("perfects_on_accents.md")]
#[derive(Clone, Copy, Debug)]
pub struct PerfectsOnAccents {
    /// The lightest place that counts as an accent: a pulse by default.
    pub accent: Strength,
}

impl Default for PerfectsOnAccents {
    fn default() -> Self {
        Self { accent: Strength::Pulse }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("perfects-on-accents"),
    severity: Severity::Caution,
    summary: "two voices strike perfect fifths or octaves on successive accents, with notes between",
    page: include_str!("perfects_on_accents.md"),
    source: Source::Handbook("Grove 3, \"Strict Counterpoint\", Second Order"),
};

/// Whether the notes between save the second interval: one of them makes a different consonance,
/// is left against the motion of the other voice, and leaps more than a third to the accent.
/// Source: Cherubini, two parts, second order.
fn is_saved(between: Moment<'_>, step: &Step<'_>) -> bool {
    let Some([upper, lower]) = between.pitches() else { return true };
    let last = [step.upper()[1] - upper, step.lower()[1] - lower];
    let contrary =
        last[0].is_descending() != last[1].is_descending() || last.iter().any(|it| it.steps() == 0);
    !between.is_dissonant() && contrary && last.iter().any(|it| it.steps().abs() > 2)
}

/// Whether the last note between makes the same interval as the second accent, so that the two follow
/// each other at once: `parallel-perfects` tells of them.
fn is_told(between: Moment<'_>, step: &Step<'_>) -> bool {
    let reached = Perfect::of(step.intervals()[1]);
    between.interval().and_then(Perfect::of) == reached && between.attacked() == [true; 2]
}

/// The perfect consonances struck on one accent and the next, with other moments between that do not save them.
fn between_accents(pair: Pair<'_>, accent: Strength) -> impl Iterator<Item = (Step<'_>, Perfect)> {
    let texture = pair.texture();
    let mut before: Option<Moment<'_>> = None;
    pair.moments().filter_map(move |moment| {
        if texture.strength(moment.onset()) < accent {
            return None;
        }
        let left = before.replace(moment)?;
        let step = Step::between(left, moment)?;
        let perfect = step.parallel_perfect()?;
        let between = pair.moment(moment.index() - 1).filter(|between| between.index() > left.index())?;
        let struck = left.attacked() == [true; 2] && moment.attacked() == [true; 2];
        let is_next = struck && texture.accents().is_next(left.onset(), moment.onset(), accent);
        (is_next && !is_saved(between, &step) && !is_told(between, &step)).then_some((step, perfect))
    })
}

impl Rule for PerfectsOnAccents {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        Reach::along_octaves(texture)
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.own_pairs() {
            let [upper, lower] = pair.names();
            for (step, perfect) in between_accents(pair, self.accent) {
                if step.is_within(pair.doublings()) {
                    continue;
                }
                let plural = perfect.plural(step.intervals()[1]);
                let message = format_args!("{upper} and {lower} strike {plural} on successive accents");
                report.add(&step, message, Evidence::of_step(&step));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::PerfectsOnAccents;
    use crate::rules::trial::found;

    #[test]
    fn finds_fifths_from_beat_to_beat() {
        let rule = PerfectsOnAccents::default();
        assert_eq!(
            found(&rule, "4/4", &["G4:1/8 F4 A4:1/4 R:1/2", "C4:1/4 D4 R:1/2"]),
            ["bar 1, beat 2: Caution [(0, 0), (1, 0), (0, 2), (1, 1)] \
                 soprano and alto strike fifths on successive accents"]
        );
    }

    #[test]
    fn allows_note_between_that_leaps_by_contrary_motion() {
        let rule = PerfectsOnAccents::default();
        assert!(found(&rule, "4/4", &["G4:1/8 E5 A4:1/4 R:1/2", "C4:1/4 D4 R:1/2"]).is_empty());
    }

    #[test]
    fn allows_immediate_fifths_and_other_intervals() {
        let rule = PerfectsOnAccents::default();
        assert!(found(&rule, "4/4", &["G4:1/4 A4 R:1/2", "C4:1/4 D4 R:1/2"]).is_empty());
        assert!(found(&rule, "4/4", &["G4:1/8 A4 F4:1/4 R:1/2", "C4:1/4 D4 R:1/2"]).is_empty());
    }

    /// Two octaves in a row were once told of twice, and of the second accent again.
    #[test]
    fn allows_consecutives_that_follow_at_once() {
        let lines = ["G4:1/8 A4 B4:1/4 R:1/2", "G3:1/8 A3 B3:1/4 R:1/2"];
        assert!(found(&PerfectsOnAccents::default(), "4/4", &lines).is_empty());
    }

    #[test]
    fn allows_accents_that_are_not_successive() {
        let rule = PerfectsOnAccents::default();
        assert!(found(&rule, "4/4", &["G4:1/8 F4:3/8 A4:1/2", "C4:1/2 D4"]).is_empty());
    }
}
