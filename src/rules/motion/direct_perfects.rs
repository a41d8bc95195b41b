//! Fifths and octaves reached in the same direction.

use super::others::{are_alone, sounds};
use crate::meter::Strength;
use crate::pitch::Pitch;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Step, Texture, comes_by_step, is_melodic_step, is_unequal_fifth, keeps_harmony};

#[doc = include_str!("direct_perfects.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct DirectPerfects {
    /// Which pairs of voices are judged: the outer ones by default.
    pub between: Between,
    /// Whether the exceptions hold where the two voices are alone, as they do by default.
    pub alone: Alone,
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

/// How strictly a rule judges two voices while no other sounds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Alone {
    /// As in any number of parts.
    #[default]
    AsEver,
    /// Without any exception.
    Strictly,
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("direct-perfects"),
    severity: Severity::Caution,
    summary: "the outer voices reach a perfect fifth or octave in the same direction",
    page: include_str!("direct_perfects.md"),
    source: Source::Handbook("Grove 3, \"Strict Counterpoint\", First Order"),
};

/// Whether a voice has its note an octave or more away: it does not move.
fn stays([from, to]: [Pitch; 2]) -> bool {
    from.class() == to.class()
}

/// Whether the harmony does not change but for a passing note or neighbour note off the beat: what counts in its
/// stead is the note from which it came.
fn passes_in_harmony(texture: &Texture<'_>, step: &Step<'_>) -> bool {
    let pair = step.after().pair();
    let [upper, lower] =
        [pair.upper(), pair.lower()].map(|voice| origin(texture, voice, step.after().onset()));
    let ([from, to], [below, reached]) = (step.upper(), step.lower());
    keeps_harmony([upper.unwrap_or(from), to], [lower.unwrap_or(below), reached])
}

/// The note from which a voice came by step to the one that it leaves by step on a tick, off the beat.
fn origin(texture: &Texture<'_>, voice: usize, tick: i64) -> Option<Pitch> {
    let tones = texture.tones(voice);
    let at = tones.partition_point(|tone| tone.onset < tick);
    let (before, left, to) = (tones.get(at.checked_sub(2)?)?, tones.get(at - 1)?, tones.get(at)?);
    let is_light = texture.strength(left.onset) < Strength::Pulse && before.end == left.onset;
    let by_step = is_melodic_step(left.pitch - before.pitch) && is_melodic_step(to.pitch - left.pitch);
    (is_light && by_step && to.onset == tick).then_some(before.pitch)
}

impl DirectPerfects {
    /// Whether the pair is one that the rule judges.
    fn judges(self, texture: &Texture<'_>, step: &Step<'_>) -> bool {
        let pair = step.after().pair();
        let outside = (0..pair.upper()).chain(pair.lower() + 1..texture.voices());
        self.between == Between::AllVoices || !sounds(texture, step, outside)
    }

    /// The exceptions: see the page.
    fn excuses(self, texture: &Texture<'_>, step: &Step<'_>) -> bool {
        let (upper, lower) = (step.upper(), step.lower());
        let is_mild =
            comes_by_step(upper, lower) || keeps_harmony(upper, lower) || stays(upper) || stays(lower);
        is_unequal_fifth(upper, lower)
            || texture.ends_phrase(step.after().onset())
            || (is_mild && !self.is_strict(texture, step))
    }

    /// Whether nothing excuses the two.
    fn is_strict(self, texture: &Texture<'_>, step: &Step<'_>) -> bool {
        self.alone == Alone::Strictly && are_alone(texture, step)
    }
}

impl Rule for DirectPerfects {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.pairs() {
            let [upper, lower] = pair.names();
            for step in pair.steps() {
                let Some(perfect) = step.direct_perfect() else { continue };
                if !self.judges(texture, &step) || self.excuses(texture, &step) {
                    continue;
                }
                let name = perfect.singular(step.intervals()[1]);
                let evidence = Evidence::of_step(&step);
                if passes_in_harmony(texture, &step) && !self.is_strict(texture, &step) {
                    let message =
                        format_args!("{upper} and {lower} reach a direct {name} within one harmony");
                    report.add_lighter(&step, message, evidence);
                } else {
                    report.add(&step, format_args!("{upper} and {lower} reach a direct {name}"), evidence);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Alone, Between, DirectPerfects};
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

    /// A chorale's bass passes from the third of the chord to its root, as the soprano falls to the fifth.
    #[test]
    fn finds_a_passing_note_within_one_harmony_as_a_lighter_matter() {
        let rule = DirectPerfects::default();
        let passing = ["D5:1/4 A4 R:1/2", "F#3:1/8 E3 D3:1/4 R:1/2"];
        let told = "Remark [(0, 0), (1, 1), (0, 1), (1, 2)] soprano and alto reach a direct fifth within one harmony";
        assert_eq!(found(&rule, "4/4", &passing), [format!("bar 1, beat 2: {told}")]);
        let rows = [
            (["E4:1/4 A4 R:1/2", "A3:1/8 G3 A3:1/4 R:1/2"], "Remark"),
            (["D5:1/4 A4 R:1/2", "G3:1/8 E3 D3:1/4 R:1/2"], "Caution"),
            (["D5:1/2 A4", "F3:1/4 E3 D3:1/2"], "Caution"),
        ];
        for (lines, weight) in rows {
            assert!(found(&rule, "4/4", &lines)[0].contains(weight), "{lines:?}");
        }
        let strict = DirectPerfects { alone: Alone::Strictly, ..rule };
        assert!(found(&strict, "4/4", &passing)[0].contains("Caution"));
    }

    #[test]
    fn allows_a_new_phrase_to_begin_as_it_likes() {
        let lines = |long: &'static str| [long, "A4:1/4 A4 G4:1/2 F4:1/4 G4", "F4:1/4 D4 C4:1/2 D4:1/4 C4"];
        let rule = DirectPerfects::default();
        assert!(found(&rule, "4/4", &lines("C5:1/4 D5 E5:1/2 A5:1/4 G5")).is_empty());
        assert_eq!(found(&rule, "4/4", &lines("C5:1/4 D5 E5 E5 A5:1/4 G5")).len(), 1);
    }

    /// G above goes to the G an octave below: its note is the same, and no octave is reached by it.
    #[test]
    fn allows_a_leap_of_an_octave() {
        assert!(found(&DirectPerfects::default(), "4/4", &["G5:1/2 G4", "A3:1/2 G3"]).is_empty());
        let rule = DirectPerfects { alone: Alone::Strictly, ..DirectPerfects::default() };
        assert_eq!(found(&rule, "4/4", &["G5:1/2 G4", "A3:1/2 G3"]).len(), 1);
    }

    #[test]
    fn allows_inner_voices_unless_all_are_judged() {
        let lines = ["C5:1", "E4:1/2 A4", "C4:1/2 D4"];
        assert!(found(&DirectPerfects::default(), "4/4", &lines).is_empty());
        let all = DirectPerfects { between: Between::AllVoices, ..DirectPerfects::default() };
        assert_eq!(found(&all, "4/4", &lines).len(), 1);
    }

    #[test]
    fn finds_step_and_same_harmony_in_strict_writing_for_two_voices() {
        let rule = DirectPerfects { alone: Alone::Strictly, ..DirectPerfects::default() };
        assert_eq!(found(&rule, "4/4", &["B4:1/2 C5", "G3:1/2 C4"]).len(), 1);
        assert_eq!(found(&rule, "4/4", &["E4:1/2 G4", "E3:1/2 C4"]).len(), 1);
        assert!(found(&rule, "4/4", &["B4:1/2 C5", "D4:1/2 E4", "G3:1/2 C4"]).is_empty());
    }

    #[test]
    fn allows_a_diminished_fifth_before_a_perfect_one() {
        assert!(found(&DirectPerfects::default(), "4/4", &["F4:1/2 G4", "B3:1/2 C4"]).is_empty());
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
