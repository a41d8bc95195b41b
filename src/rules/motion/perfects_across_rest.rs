//! Consecutive fifths and octaves with a rest between.

use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Moment, Pair, Step, Texture};
use crate::time::Time;

#[doc = include_str!("perfects_across_rest.md")]
#[derive(Clone, Copy, Debug)]
pub struct PerfectsAcrossRest {
    /// The longest rest that does not yet separate the two intervals, in whole notes: a quarter by
    /// default.
    pub longest_rest: Time,
}

impl Default for PerfectsAcrossRest {
    fn default() -> Self {
        Self { longest_rest: Time::new(1, 4).unwrap_or(Time::WHOLE) }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("perfects-across-rest"),
    severity: Severity::Caution,
    summary: "two voices move in perfect fifths or octaves with a short rest between",
    page: include_str!("perfects_across_rest.md"),
    source: Source::CommonPractice,
};

/// Whether a rest is all that lies between: each voice goes from a note to its next, both together, and
/// one of them at least to another note than an octave of the old.
fn is_bare(step: &Step<'_>) -> bool {
    let (before, after) = (step.before().notes(), step.after().notes());
    let follows = before.into_iter().zip(after).all(|(left, reached)| left.map(|note| note + 1) == reached);
    let stays = [step.upper(), step.lower()].iter().all(|[from, to]| from.class() == to.class());
    follows && step.after().attacked() == [true; 2] && !stays
}

/// Whether all of three voices or more rest together between: there a phrase ends, and what begins anew
/// follows nothing.
fn is_general(step: &Step<'_>) -> bool {
    let (pair, ends) = (step.after().pair(), step.before().end()..step.after().onset());
    let texture = pair.texture();
    let rests = |voice: usize| {
        let next = texture.tones(voice).partition_point(|tone| tone.end <= ends.start);
        texture.tones(voice).get(next).is_none_or(|tone| tone.onset >= ends.end)
    };
    texture.voices() > 2 && (0..texture.voices()).all(rests)
}

/// The steps over rests of at most so many ticks.
fn over_rests(pair: Pair<'_>, longest: i64) -> impl Iterator<Item = Step<'_>> {
    let mut before: Option<Moment<'_>> = None;
    pair.moments().filter_map(move |moment| {
        moment.pitches()?;
        let left = before.replace(moment)?;
        let rest = moment.onset() - left.end();
        (rest > 0 && rest <= longest).then(|| Step::between(left, moment)).flatten()
    })
}

impl Rule for PerfectsAcrossRest {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        Reach::along_octaves(texture)
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let longest = texture.grid().ticks(self.longest_rest);
        for pair in texture.own_pairs() {
            let [upper, lower] = pair.names();
            for step in over_rests(pair, longest) {
                let Some(perfect) = step.parallel_perfect().filter(|_| is_bare(&step)) else { continue };
                if step.is_within(pair.doublings()) || is_general(&step) {
                    continue;
                }
                let plural = perfect.plural(step.intervals()[1]);
                let message = format_args!("{upper} and {lower} move in {plural} with only a rest between");
                report.add(&step, message, Evidence::of_step(&step));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::PerfectsAcrossRest;
    use crate::rules::trial::found;

    #[test]
    fn finds_fifths_on_both_sides_of_a_rest() {
        let rule = PerfectsAcrossRest::default();
        assert_eq!(
            found(&rule, "4/4", &["G4:1/4 R A4:1/2", "C4:1/4 R D4:1/2"]),
            ["bar 1, beat 3: Caution [(0, 0), (1, 0), (0, 1), (1, 1)] \
                 soprano and alto move in fifths with only a rest between"]
        );
        assert_eq!(found(&rule, "4/4", &["G4:1/4 R A4:1/2", "C4:1/2 D4"]).len(), 1);
    }

    #[test]
    fn allows_a_long_rest_and_another_interval() {
        let rule = PerfectsAcrossRest::default();
        assert!(found(&rule, "4/4", &["G4:1/4 R:3/8 A4", "C4:1/4 R:3/8 D4"]).is_empty());
        assert!(found(&rule, "4/4", &["G4:1/4 R F4:1/2", "C4:1/4 R D4:1/2"]).is_empty());
    }

    #[test]
    fn allows_fifths_without_a_rest() {
        assert!(found(&PerfectsAcrossRest::default(), "4/4", &["G4:1/2 A4", "C4:1/2 D4"]).is_empty());
    }

    /// In fugues a voice often rests while the other goes on, and enters a fifth off again.
    #[test]
    fn allows_notes_of_the_other_voice_meanwhile() {
        let lines = ["G4:1/4 E4 A4:1/2", "C4:1/4 R D4:1/2"];
        assert!(found(&PerfectsAcrossRest::default(), "4/4", &lines).is_empty());
        let lines = ["G4:1/4 A4:3/4", "C4:1/4 R D4:1/2"];
        assert!(found(&PerfectsAcrossRest::default(), "4/4", &lines).is_empty());
    }

    /// A choir that breathes together between two phrases.
    #[test]
    fn allows_a_rest_of_all_three_voices() {
        let lines = ["G4:1/4 R A4:1/2", "E4:1/4 R F4:1/2", "C4:1/4 R D4:1/2"];
        assert!(found(&PerfectsAcrossRest::default(), "4/4", &lines).is_empty());
        let lines = ["G4:1/4 R A4:1/2", "E4:1/4 E4 F4:1/2", "C4:1/4 R D4:1/2"];
        assert_eq!(found(&PerfectsAcrossRest::default(), "4/4", &lines).len(), 1);
    }

    #[test]
    fn allows_the_same_notes_an_octave_off() {
        let lines = ["G4:1/4 R G5:1/2", "C4:1/4 R C5:1/2"];
        assert!(found(&PerfectsAcrossRest::default(), "4/4", &lines).is_empty());
    }
}
