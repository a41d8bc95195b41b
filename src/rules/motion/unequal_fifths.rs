//! A diminished fifth that goes to a perfect one.

use crate::pitch::Pitch;
use crate::rules::chord::is_one_chord;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Step, Texture, is_unequal_fifth};

#[doc = include_str!("unequal_fifths.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct UnequalFifths;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("unequal-fifths"),
    severity: Severity::Caution,
    summary: "a diminished fifth over the bass goes to a perfect one in the same direction",
    page: include_str!("unequal_fifths.md"),
    source: Source::Memory("common practice of part-writing"),
};

/// Whether all four notes belong to one chord, which is only broken: nothing resolves.
fn breaks_chord(step: &Step<'_>) -> bool {
    let ([a, b], [c, d]) = (step.upper(), step.lower());
    is_one_chord(&[a, b, c, d].map(Pitch::class))
}

impl Rule for UnequalFifths {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.pairs() {
            let [upper, lower] = pair.names();
            let over_bass = |step: &Step<'_>| step.after().holds_lowest();
            for step in pair.steps().filter(over_bass) {
                let is_unequal = is_unequal_fifth(step.upper(), step.lower());
                if is_unequal && !breaks_chord(&step) && !pair.is_accompanied() {
                    let message =
                        format_args!("{upper} and {lower} go from a diminished fifth to a perfect one");
                    report.add(&step, message, Evidence::of_step(&step));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::UnequalFifths;
    use crate::rules::trial::found;

    #[test]
    fn finds_diminished_fifth_before_perfect_fifth() {
        assert_eq!(
            found(&UnequalFifths, "4/4", &["F4:1/2 G4", "B3:1/2 C4"]),
            ["bar 1, beat 3: Caution [(0, 0), (1, 0), (0, 1), (1, 1)] \
                 soprano and alto go from a diminished fifth to a perfect one"]
        );
    }

    #[test]
    fn allows_perfect_fifth_before_diminished_fifth() {
        assert!(found(&UnequalFifths, "4/4", &["G4:1/2 F4", "C4:1/2 B3"]).is_empty());
    }

    #[test]
    fn allows_a_broken_chord() {
        assert!(found(&UnequalFifths, "4/4", &["D5:1/2 B4", "G#3:1/2 E3"]).is_empty());
    }

    #[test]
    fn allows_them_between_upper_voices() {
        assert!(found(&UnequalFifths, "4/4", &["F4:1/2 G4", "B3:1/2 C4", "D3:1/2 E3"]).is_empty());
    }
}
