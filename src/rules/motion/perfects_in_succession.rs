//! One perfect consonance after another.

use super::Between;
use super::others::are_alone;
use crate::rules::words::One;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Motion, Pair, Perfect, Step, Texture};

#[doc = include_str!("perfects_in_succession.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct PerfectsInSuccession {
    /// Which pairs of voices are judged: the outer ones by default.
    pub between: Between,
    /// How bare the texture must be for it: in any number of parts by default.
    pub bareness: Bareness,
}

/// In how many parts a bare interval is heard as one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Bareness {
    /// In any number.
    #[default]
    OfAny,
    /// In two alone: any other voice that sounds fills the chord.
    OfTwo,
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("perfects-in-succession"),
    severity: Severity::Remark,
    summary: "the outer voices go from one perfect consonance to another of a different size",
    page: include_str!("perfects_in_succession.md"),
    source: Source::CommonPractice,
};

/// The perfect consonances of a step in which both voices strike new notes in contrary motion.
fn succession(step: &Step<'_>) -> Option<[Perfect; 2]> {
    let [before, after] = step.intervals().map(Perfect::of);
    let moves = step.after().attacked() == [true; 2];
    let is_contrary = Motion::of(step.upper(), step.lower()) == Some(Motion::Contrary);
    let kinds = [before?, after?];
    (moves && is_contrary && kinds[0] != kinds[1] && !is_cadence(step)).then_some(kinds)
}

/// Whether the lower voice leaps a fourth or a fifth under a step, as from dominant to tonic.
fn is_cadence(step: &Step<'_>) -> bool {
    let [upper, lower] = [step.upper(), step.lower()].map(|[from, to]| (to - from).number());
    upper == 2 && matches!(lower, 4 | 5)
}

impl Rule for PerfectsInSuccession {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let judged = |pair: &Pair<'_>| self.between == Between::AllVoices || pair.is_outer();
        for pair in texture.pairs().filter(judged) {
            let [upper, lower] = pair.names();
            for step in pair.steps() {
                let Some([before, after]) = succession(&step) else { continue };
                if self.bareness == Bareness::OfTwo && !are_alone(texture, &step) {
                    continue;
                }
                let [one, other] = step.intervals();
                let (one, other) = (One(before.singular(one)), One(after.singular(other)));
                let message = format_args!("{upper} and {lower} go from {one} to {other}");
                report.add(&step, message, Evidence::of_step(&step));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Bareness, Between, PerfectsInSuccession};
    use crate::rules::trial::found;

    #[test]
    fn finds_octave_after_fifth() {
        assert_eq!(
            found(&PerfectsInSuccession::default(), "4/4", &["G4:1/2 A4", "C4:1/2 A3"]),
            [
                "bar 1, beat 3: Remark [(0, 0), (1, 0), (0, 1), (1, 1)] soprano and alto go from a fifth to an octave"
            ]
        );
    }

    #[test]
    fn allows_a_third_between_and_one_voice_to_stay() {
        let rule = PerfectsInSuccession::default();
        assert!(found(&rule, "4/4", &["G4:1/4 A4 A4:1/2", "C4:1/4 F4 A3:1/2"]).is_empty());
        assert!(found(&rule, "4/4", &["G4:1/2 G4", "C4:1/2 G3"]).is_empty());
    }

    #[test]
    fn allows_a_third_voice_to_fill_the_chord_where_the_style_is_free() {
        let free = PerfectsInSuccession { bareness: Bareness::OfTwo, ..PerfectsInSuccession::default() };
        assert_eq!(found(&free, "4/4", &["G4:1/2 A4", "C4:1/2 A3"]).len(), 1);
        let filled = ["G4:1/2 A4", "E4:1/2 E4", "C4:1/2 A3"];
        assert!(found(&free, "4/4", &filled).is_empty());
        assert_eq!(found(&PerfectsInSuccession::default(), "4/4", &filled).len(), 1);
    }

    /// Supertonic over dominant, tonic over tonic: once found in every other chorale.
    #[test]
    fn allows_the_cadence() {
        let rule = PerfectsInSuccession::default();
        assert!(found(&rule, "4/4", &["D5:1/2 C5", "G3:1/2 C4"]).is_empty());
        assert!(found(&rule, "4/4", &["D5:1/2 C5", "G3:1/2 C3", "R:1"]).is_empty());
    }

    #[test]
    fn allows_inner_voices_unless_judged() {
        let lines = ["G4:1/2 A4", "C4:1/2 A3", "R:1"];
        assert!(found(&PerfectsInSuccession::default(), "4/4", &lines).is_empty());
        let all = PerfectsInSuccession { between: Between::AllVoices, ..PerfectsInSuccession::default() };
        assert_eq!(found(&all, "4/4", &lines).len(), 1);
    }
}
