//! Neighbouring voices too far apart.

use crate::interval::Interval;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Moment, Pair, Texture, Walk};

#[doc = include_str!("spacing.md")]
#[derive(Clone, Copy, Debug)]
pub struct Spacing {
    /// The widest interval between neighbouring upper voices, as a number: 8, the octave, by default.
    pub upper: u32,
    /// The widest interval between the lowest two voices: 12, the twelfth, by default.
    pub lowest: u32,
}

impl Default for Spacing {
    fn default() -> Self {
        Self { upper: 8, lowest: 12 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("spacing"),
    severity: Severity::Caution,
    summary: "neighbouring voices lie too far apart",
    page: include_str!("spacing.md"),
    source: Source::Memory("handbooks of harmony"),
};

/// How many voices must sound for a gap to be heard: two alone are a duet, and a duet may be wide.
const CHORD: usize = 3;

/// Two neighbouring parts, too far apart for a while.
struct Gap<'t> {
    first: Moment<'t>,
    end: i64,
    /// Whether the lower one is the lowest that sounds, and no further off than a bass may be.
    is_mild: bool,
}

fn is_in_chord(moment: &Moment<'_>, walk: &mut Walk<'_>) -> bool {
    let (voices, onset) = (0..moment.pair().texture().voices(), moment.onset());
    voices.filter(|&voice| walk.sounding(voice, onset).is_some()).count() >= CHORD
}

impl Spacing {
    /// The gaps of neighbours; moments that follow at once are one gap.
    fn gaps(self, pair: Pair<'_>, widest: u32) -> Vec<Gap<'_>> {
        let mut found: Vec<Gap<'_>> = Vec::new();
        let mut walk = pair.texture().walk();
        for moment in pair.moments() {
            let number = moment.interval().map_or(0, Interval::number);
            if number <= widest || !is_in_chord(&moment, &mut walk) {
                continue;
            }
            let is_mild = moment.holds_lowest() && number <= self.lowest;
            match found.last_mut().filter(|gap| gap.end == moment.onset()) {
                Some(gap) => {
                    gap.end = moment.end();
                    gap.is_mild &= is_mild;
                }
                None => found.push(Gap { first: moment, end: moment.end(), is_mild }),
            }
        }
        found
    }
}

impl Rule for Spacing {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.pairs().filter(|pair| pair.lower() == pair.upper() + 1) {
            let [upper, lower] = pair.names();
            let is_lowest = pair.lower() + 1 == texture.voices();
            let widest = if is_lowest { self.lowest } else { self.upper };
            for Gap { first, end, is_mild } in self.gaps(pair, widest) {
                let Some([one, other]) = first.pitches() else { continue };
                let message = format_args!("{upper} and {lower} lie further apart than {}", named(widest));
                let evidence = Evidence::of_vertical(one, other);
                if is_mild || end - first.onset() < texture.accents().bar_at(first.onset()) {
                    report.add_lighter(&first, message, evidence);
                } else {
                    report.add(&first, message, evidence);
                }
            }
        }
    }
}

/// The interval of a number as a word.
fn named(number: u32) -> String {
    match number {
        8 => "an octave".to_owned(),
        10 => "a tenth".to_owned(),
        12 => "a twelfth".to_owned(),
        15 => "two octaves".to_owned(),
        _ => format!("{number} steps of the staff, both ends counted"),
    }
}

#[cfg(test)]
mod tests {
    use super::Spacing;
    use crate::rules::trial::found;

    #[test]
    fn finds_more_than_an_octave_between_upper_voices_once_a_stretch() {
        assert_eq!(
            found(&Spacing::default(), "4/4", &["E5:1/2 F5 C5:1", "C4:1 C4", "C3:2"]),
            ["bar 1, beat 1: Caution [(0, 0), (1, 0)] soprano and alto lie further apart than an octave"]
        );
    }

    #[test]
    fn finds_more_than_a_twelfth_above_the_bass() {
        assert_eq!(
            found(&Spacing::default(), "4/4", &["C5:1", "G4:1", "A3:1", "C2:1"]),
            ["bar 1, beat 1: Caution [(2, 0), (3, 0)] tenor and bass lie further apart than a twelfth"]
        );
    }

    #[test]
    fn finds_less_than_a_bar_as_a_lighter_matter() {
        let lines = ["G4:1/2 E5", "C4:1 ", "C3:1"];
        assert_eq!(
            found(&Spacing::default(), "4/4", &lines),
            ["bar 1, beat 3: Remark [(0, 1), (1, 0)] soprano and alto lie further apart than an octave"]
        );
    }

    /// With the bass silent the tenor is the bass.
    #[test]
    fn finds_a_tenth_above_the_lowest_that_sounds_as_a_lighter_matter() {
        let found = found(&Spacing::default(), "4/4", &["G5:1", "E5:1", "C4:1", "R:1"]);
        assert!(
            found.len() == 1 && found[0].starts_with("bar 1, beat 1: Remark [(1, 0), (2, 0)]"),
            "{found:?}"
        );
    }

    #[test]
    fn allows_octave_above_and_twelfth_below() {
        assert!(found(&Spacing::default(), "4/4", &["G5:1", "G4:1", "G3:1", "C2:1"]).is_empty());
    }

    #[test]
    fn allows_a_voice_to_rest_between() {
        assert!(found(&Spacing::default(), "4/4", &["G5:1", "R:1", "C3:1", "C2:1"]).is_empty());
    }

    /// A duet of alto and tenor a tenth apart was once marked.
    #[test]
    fn allows_two_voices_alone_to_lie_apart() {
        assert!(found(&Spacing::default(), "4/4", &["R:1", "E4:1", "C3:1", "R:1"]).is_empty());
        assert!(found(&Spacing::default(), "4/4", &["E5:1", "C3:1"]).is_empty());
    }

    #[test]
    fn finds_the_gap_once_a_third_voice_sounds() {
        let lines = ["E5:1/2 F5:1/2", "C4:1/2 C4:1/2", "R:1/2 C3:1/2"];
        assert_eq!(
            found(&Spacing::default(), "4/4", &lines),
            ["bar 1, beat 3: Remark [(0, 1), (1, 1)] soprano and alto lie further apart than an octave"]
        );
    }
}
