//! Consecutive fifths, octaves and unisons.

use super::others::are_alone;
use crate::interval::Interval;
use crate::pitch::Pitch;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Moment, Pair, Perfect, Step, Texture};
use crate::time::Time;

#[doc = include_str!("parallel_perfects.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct ParallelPerfects {
    /// How veiled consecutives weigh: like bare ones by default.
    pub veiled: Veiled,
}

/// How much a rule makes of consecutives that are veiled: over a held note, by an ornament, by a
/// crossing, by a leap of an octave.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Veiled {
    /// As much as of bare ones.
    #[default]
    Alike,
    /// One step less.
    Lighter,
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("parallel-perfects"),
    severity: Severity::Fault,
    summary: "two voices move from a perfect fifth, octave or unison to another in the same direction",
    page: include_str!("parallel_perfects.md"),
    source: Source::Handbook("Grove 3, \"Strict Counterpoint\", First Order"),
};

/// The longest note that is an ornament, in parts of a whole note.
const ORNAMENT: i64 = 32;

/// What veils the consecutives of a step, as the end of a clause; nothing if they are bare.
fn veil(step: &Step<'_>, ornament: i64) -> &'static str {
    let (before, [one, other]) = (step.before(), step.intervals());
    let is_ornament =
        |moment: Moment<'_>| moment.tones().into_iter().flatten().any(|tone| tone.duration() <= ornament);
    if step.after().pair().texture().ends_phrase(step.after().onset()) {
        " between two phrases"
    } else if is_ornament(before) || is_ornament(step.after()) {
        " by way of an ornament"
    } else if one.is_descending() != other.is_descending() && one.steps() * other.steps() != 0 {
        " as they cross"
    } else if before.attacked() != [true; 2] {
        ", the first struck under a held note"
    } else if one.number() != other.number() {
        ", an octave closer or wider"
    } else if one == Interval::UNISON && is_shared(step) {
        " while all others rest"
    } else {
        ""
    }
}

/// Whether nobody makes anything of the step where the style is free: both voices keep their notes and only leap
/// octaves, so that none moves; or they have begun together, in unison, and so sing one line while all others rest.
fn is_idle(step: &Step<'_>) -> bool {
    let stays = |[from, to]: [Pitch; 2]| from.class() == to.class();
    (stays(step.upper()) && stays(step.lower())) || (is_shared(step) && is_intoned(step))
}

/// Whether the two voices have been in unison ever since both began after a rest.
fn is_intoned(step: &Step<'_>) -> bool {
    let (pair, before) = (step.after().pair(), step.before().index());
    let mut left = (0..=before).rev().filter_map(|index| pair.moment(index));
    let first = left.find(|moment| moment.interval() != Some(Interval::UNISON));
    first.is_none_or(|moment| moment.tones() == [None; 2])
}

/// Whether a step in unison is all that sounds in more than two parts: a line that two of them sing.
fn is_shared(step: &Step<'_>) -> bool {
    let texture = step.after().pair().texture();
    texture.voices() > 2 && are_alone(texture, step)
}

/// What is said of octaves in two parts that double each other elsewhere.
const DOUBLING: &str = ", as where they double each other";

impl ParallelPerfects {
    fn check_pair(self, pair: Pair<'_>, report: &mut Report<'_>) {
        let is_free = self.veiled == Veiled::Lighter;
        let ornament = Time::new(1, ORNAMENT).map_or(0, |time| pair.texture().grid().ticks(time));
        for step in pair.steps() {
            let Some(perfect) = step.parallel_perfect() else { continue };
            if step.is_within(pair.doublings()) || (is_free && is_idle(&step)) {
                continue;
            }
            let doubles = perfect == Perfect::Octave && !pair.doublings().is_empty();
            let veil = if is_free && !doubles { veil(&step, ornament) } else { "" };
            let how = if doubles { DOUBLING } else { veil };
            let ([upper, lower], plural) = (pair.names(), perfect.plural(step.intervals()[1]));
            let message = format_args!("{upper} and {lower} move in parallel {plural}{how}");
            match (doubles, is_free) {
                (true, true) => report.add_remark(&step, message, Evidence::of_step(&step)),
                _ if !how.is_empty() => report.add_lighter(&step, message, Evidence::of_step(&step)),
                _ => report.add(&step, message, Evidence::of_step(&step)),
            }
        }
    }
}

impl Rule for ParallelPerfects {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    /// Where two voices double each other anywhere, all their octaves are judged with that in mind.
    fn reach(&self, texture: &Texture<'_>) -> Reach {
        let double = |pair: Pair<'_>| !pair.doublings().is_empty();
        if texture.own_pairs().any(double) { Reach::Piece } else { Reach::along_octaves(texture) }
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        texture.own_pairs().for_each(|pair| self.check_pair(pair, report));
    }
}

#[cfg(test)]
mod tests {
    use super::{ParallelPerfects, Veiled};
    use crate::rules::trial::{found, found_by_name};

    const STRICT: ParallelPerfects = ParallelPerfects { veiled: Veiled::Alike };
    const FREE: ParallelPerfects = ParallelPerfects { veiled: Veiled::Lighter };

    #[test]
    fn finds_fifths_octaves_and_unisons() {
        for rule in [STRICT, FREE] {
            assert_eq!(
                found(&rule, "4/4", &["G4:1/2 A4", "C4:1/2 D4"]),
                [
                    "bar 1, beat 3: Fault [(0, 0), (1, 0), (0, 1), (1, 1)] soprano and alto move in parallel fifths"
                ]
            );
            let octaves = found(&rule, "4/4", &["C5:1/2 D5", "C4:1/2 D4"]);
            assert!(octaves[0].ends_with("parallel octaves"));
            let unisons = found(&rule, "4/4", &["C4:1/2 D4", "C4:1/2 D4"]);
            assert!(unisons[0].ends_with("parallel unisons"));
        }
    }

    #[test]
    fn finds_compound_fifths_and_twelfth_to_fifth() {
        assert_eq!(found(&STRICT, "4/4", &["G5:1/2 A5", "C4:1/2 D4"]).len(), 1);
        assert_eq!(found(&STRICT, "4/4", &["E4:1/2 F4", "A2:1/2 Bb3"]).len(), 1);
    }

    #[test]
    fn finds_fifths_after_a_chord_struck_again() {
        assert_eq!(
            found(&FREE, "4/4", &["G4:1/4 G4 A4:1/2", "C4:1/4 C4 D4:1/2"]),
            [
                "bar 1, beat 3: Fault [(0, 1), (1, 1), (0, 2), (1, 2)] soprano and alto move in parallel fifths"
            ]
        );
    }

    /// Fifths after the beat are tolerated in free writing (Marpurg, from memory), and who listens for
    /// notes struck together does not hear them.
    #[test]
    fn finds_veiled_consecutives_as_a_lighter_matter_where_the_style_is_free() {
        let rows: [(&[&str], &str); 4] = [
            (&["G4:1/2 A4", "E4:1/4 C4 D4:1/2"], "fifths, the first struck under a held note"),
            (&["G4:1/2 A4", "D4:15/32 C4:1/32 D4:1/2"], "fifths by way of an ornament"),
            (&["E4:1/2 C5", "A3:1/2 G5"], "fifths as they cross"),
            (&["E4:1/2 F4", "A2:1/2 Bb3"], "fifths, an octave closer or wider"),
        ];
        for (lines, end) in rows {
            let (strict, free) = (found(&STRICT, "4/4", lines), found(&FREE, "4/4", lines));
            assert!(strict.len() == 1 && strict[0].contains("Fault"), "{strict:?}");
            assert!(free[0].contains("Caution") && free[0].ends_with(end), "{free:?}");
        }
    }

    /// Tenor and bass of a chorale leap down an octave together: G over G is G over G.
    #[test]
    fn allows_both_voices_to_leap_an_octave_where_the_style_is_free() {
        for lines in [["G4:1/2 G5", "C4:1/2 C5"], ["G4:1/2 G3", "G3:1/2 G2"]] {
            assert!(found(&FREE, "4/4", &lines).is_empty());
            assert_eq!(found(&STRICT, "4/4", &lines).len(), 1);
        }
        assert!(found(&FREE, "4/4", &["G4:1/2 G5", "C4:1/2 C4"]).is_empty());
        assert_eq!(found(&FREE, "4/4", &["G4:1/2 A5", "C4:1/2 D5"]).len(), 1);
    }

    /// From the half close of a chorale to the upbeat of its next line.
    #[test]
    fn finds_consecutives_from_phrase_to_phrase_as_a_lighter_matter_where_the_style_is_free() {
        let lines = |soprano: &'static str| {
            [
                soprano,
                "C4:1/4 D4 C#4:1/2 D4:1/4 C4",
                "A3:1/4 F3 E3:1/2 A3:1/4 A3",
                "A2:1/4 D3 A2:1/2 D3:1/4 F3",
            ]
        };
        let breath = lines("E5:1/4 D5 A4:1/2 F4:1/4 A4");
        let [strict, free] = [STRICT, FREE].map(|rule| found(&rule, "4/4", &breath).concat());
        assert!(strict.contains("Fault"), "{strict}");
        let told = "move in parallel fifths between two phrases";
        assert!(free.contains("Caution") && free.ends_with(told), "{free}");
        assert!(found(&FREE, "4/4", &lines("E5:1/4 D5 A4:1/4 G4 F4 A4"))[0].contains("Fault"));
    }

    /// Colla parte is scoring: it was once a Fault at every note.
    #[test]
    fn allows_a_doubling_but_not_two_octaves() {
        let doubled = ["C5:1/4 D5 E5 F5", "C4:1/4 D4 E4 F4"];
        assert!(found(&STRICT, "4/4", &doubled).is_empty());
        assert_eq!(found(&STRICT, "4/4", &["C5:1/4 D5 E5 F5", "C4:1/4 D4 E4 D4"]).len(), 2);
    }

    /// An oboe that has two notes of the alto's was once told of for each of them.
    #[test]
    fn allows_an_instrument_to_go_with_a_choir() {
        let choir = [("Soprano", "E5:1/2 E5"), ("Alto", "C5:1/2 D5"), ("Bass", "A3:1/2 G3")];
        let (oboe, quinto) = (("Oboe", "C5:1/2 D5"), ("Quinto", "C5:1/2 D5"));
        assert!(found_by_name(&STRICT, &[&[oboe], &choir[..]].concat()).is_empty());
        assert_eq!(found_by_name(&STRICT, &[&[quinto], &choir[..]].concat()).len(), 1);
        assert_eq!(found_by_name(&STRICT, &[oboe, choir[1]]).len(), 1);
    }

    /// A chorus of which two voices begin alone on one line.
    #[test]
    fn allows_two_voices_to_begin_in_unison_where_the_style_is_free() {
        let lines = ["R:1", "R:1/4 C4:1/4 D4:1/2", "R:1/4 C4:1/4 D4:1/2"];
        assert!(found(&FREE, "4/4", &lines).is_empty());
        assert_eq!(found(&STRICT, "4/4", &lines).len(), 1);
        assert!(found(&FREE, "4/4", &lines[1..])[0].contains("Fault"));
    }

    #[test]
    fn finds_unisons_while_all_others_rest_as_a_lighter_matter_where_the_style_is_free() {
        let lines = ["R:3/2", "E4:1/2 C4:1/2 D4", "A3:1/2 C4:1/2 D4"];
        let [strict, free] = [STRICT, FREE].map(|rule| found(&rule, "4/4", &lines).concat());
        assert!(strict.contains("Fault") && strict.ends_with("move in parallel unisons"), "{strict}");
        let told = "Caution [(1, 1), (2, 1), (1, 2), (2, 2)] alto and tenor move in parallel unisons while all others rest";
        assert!(free.ends_with(told), "{free}");
        assert!(found(&FREE, "4/4", &lines[1..])[0].contains("Fault"));
    }

    /// Two octaves of viola and 'cello, which are one bass for most of a finale, were once a Fault.
    #[test]
    fn finds_two_octaves_as_a_lighter_matter_in_parts_that_double_elsewhere() {
        let lines = ["C5:1/4 D5 E5 F5 G5 A5 F5:1/2", "C4:1/4 D4 E4 F4 E4 F4 F4:1/2"];
        assert!(found(&STRICT, "4/4", &lines).is_empty());
        let lines = ["C5:1/4 D5 E5 F5 G5 A5 F5 G5", "C4:1/4 D4 E4 F4 E4 F4 F4 G4"];
        let octaves = "soprano and alto move in parallel octaves, as where they double each other";
        assert_eq!(
            found(&STRICT, "4/4", &lines),
            [format!("bar 2, beat 4: Caution [(0, 6), (1, 6), (0, 7), (1, 7)] {octaves}")]
        );
        assert!(found(&FREE, "4/4", &lines)[0].contains("Remark"));
        let fifths = ["C5:1/4 D5 E5 F5 G5 A5 F5 G5", "C4:1/4 D4 E4 F4 E4 F4 Bb3 C4"];
        assert!(found(&FREE, "4/4", &fifths)[0].contains("Fault"));
    }

    #[test]
    fn allows_contrary_motion_and_repetition() {
        assert!(found(&STRICT, "4/4", &["G4:1/2 D5", "C4:1/2 G3"]).is_empty());
        assert!(found(&STRICT, "4/4", &["G4:1/2 G4", "C4:1/2 C4"]).is_empty());
    }

    #[test]
    fn allows_perfect_fifth_to_diminished_fifth() {
        assert!(found(&STRICT, "4/4", &["G4:1/2 F4", "C4:1/2 B3"]).is_empty());
    }

    #[test]
    fn allows_fifth_to_octave_and_thirds() {
        assert!(found(&STRICT, "4/4", &["G4:1/2 A4 B4", "C4:1/2 A3 G3"]).is_empty());
    }
}
