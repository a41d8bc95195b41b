//! Neighbouring voices too far apart.

use crate::interval::Interval;
use crate::rules::passages::{Span, passages, span, times};
use crate::rules::words::{One, numbered};
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Moment, Pair, Texture, Walk};

#[doc = include_str!("spacing.md")]
#[derive(Clone, Copy, Debug)]
pub struct Spacing {
    /// The widest interval between neighbouring upper voices, as a number: 8, the octave, by default.
    pub upper: u32,
    /// The widest interval between the lowest two voices: 12, the twelfth, by default.
    pub lowest: u32,
    /// By how many steps parts may lie further apart that nobody sings, by their names: none by default.
    /// If there are any, gaps between such parts of less than half a bar are let pass, too, and longer ones
    /// are a lighter matter: violins and hands stand apart for bars, and the rule is that of singers.
    pub played: u32,
}

impl Default for Spacing {
    fn default() -> Self {
        Self { upper: 8, lowest: 12, played: 0 }
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

/// The parts of a bar that tell how long a gap is.
const BAR: i64 = 1;
const HALF: i64 = 2;

/// Two neighbouring parts, too far apart for a while.
struct Gap<'t> {
    first: Moment<'t>,
    end: i64,
    /// The widest interval in it, as a number.
    widest: u32,
    /// Whether the lower one is the lowest that sounds, and no further off than a bass may be.
    is_mild: bool,
}

/// How far apart two neighbours may lie.
#[derive(Clone, Copy)]
struct Limits {
    /// The widest interval, as a number.
    widest: u32,
    /// The same over the lowest note that sounds.
    over_lowest: u32,
    /// Whether that is no matter at all, nor any gap shorter than half a bar, and any other a lighter one.
    is_free: bool,
}

impl Gap<'_> {
    /// Whether it lasts less than a part of a bar.
    fn is_shorter_than(&self, part: i64) -> bool {
        let onset = self.first.onset();
        (self.end - onset) * part < self.first.pair().texture().accents().bar_at(onset)
    }
}

impl Span for Gap<'_> {
    fn onset(&self) -> i64 {
        self.first.onset()
    }

    fn end(&self) -> i64 {
        self.end
    }
}

fn is_in_chord(moment: &Moment<'_>, walk: &mut Walk<'_>) -> bool {
    let (voices, onset) = (0..moment.pair().texture().voices(), moment.onset());
    voices.filter(|&voice| walk.sounding(voice, onset).is_some()).count() >= CHORD
}

impl Spacing {
    /// The limits of two neighbours.
    fn limits(self, pair: Pair<'_>) -> Limits {
        let more = if pair.is_sung() { 0 } else { self.played };
        let is_lowest = pair.lower() + 1 == pair.texture().voices();
        let widest = if is_lowest { self.lowest } else { self.upper };
        Limits { widest: widest + more, over_lowest: self.lowest + more, is_free: more > 0 }
    }
}

/// The gaps of neighbours; moments that follow at once are one gap.
fn gaps(pair: Pair<'_>, limits: Limits) -> Vec<Gap<'_>> {
    let (mut found, mut walk): (Vec<Gap<'_>>, _) = (Vec::new(), pair.texture().walk());
    for moment in pair.moments() {
        let number = moment.interval().map_or(0, Interval::number);
        let is_mild = moment.holds_lowest() && number <= limits.over_lowest;
        let is_fine = number <= limits.widest || (is_mild && limits.is_free);
        if is_fine || !is_in_chord(&moment, &mut walk) {
            continue;
        }
        match found.last_mut().filter(|gap| gap.end == moment.onset()) {
            Some(gap) => {
                gap.end = moment.end();
                gap.widest = gap.widest.max(number);
                gap.is_mild &= is_mild;
            }
            None => found.push(Gap { first: moment, end: moment.end(), widest: number, is_mild }),
        }
    }
    found
}

fn neighbours<'t>(texture: &'t Texture<'_>) -> impl Iterator<Item = Pair<'t>> {
    texture.pairs().filter(|pair| pair.lower() == pair.upper() + 1 && !pair.is_accompanied())
}

/// The passages in which neighbours lie too far apart.
fn passages_of(pair: Pair<'_>, limits: Limits) -> Vec<Vec<Gap<'_>>> {
    let mut gaps = gaps(pair, limits);
    gaps.retain(|gap| !(limits.is_free && gap.is_shorter_than(HALF)));
    passages(gaps, |tick| pair.texture().accents().pulse_at(tick).1)
}

/// Tells of a passage where it is widest.
fn report_passage(limits: Limits, gaps: &[Gap<'_>], report: &mut Report<'_>) {
    let key = |gap: &&Gap<'_>| (gap.widest, gap.end - gap.onset());
    let Some(first) = gaps.iter().rev().max_by_key(key).map(|gap| gap.first) else { return };
    let Some([one, other]) = first.pitches() else { return };
    let [upper, lower] = first.pair().names();
    let (named, times) = (named(limits.widest), times(gaps.len()));
    let message = format_args!("{upper} and {lower} lie more than {named} apart{times}");
    let evidence = Evidence::of_vertical(one, other);
    if limits.is_free || gaps.iter().all(|gap| gap.is_mild || gap.is_shorter_than(BAR)) {
        report.add_lighter(&first, message, evidence);
    } else {
        report.add(&first, message, evidence);
    }
}

impl Rule for Spacing {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        let all = neighbours(texture).flat_map(|pair| passages_of(pair, self.limits(pair)));
        Reach::Near(all.map(|passage| span(&passage)).collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in neighbours(texture) {
            let limits = self.limits(pair);
            for passage in passages_of(pair, limits) {
                report_passage(limits, &passage, report);
            }
        }
    }
}

/// The interval of a number in words.
fn named(number: u32) -> String {
    match number {
        15 => "two octaves".to_owned(),
        _ => One(&numbered(number)).to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::Spacing;
    use crate::rules::trial::found;
    use crate::score::{Part, Score};
    use crate::texture::Texture;
    use crate::time::Time;
    use crate::voice::Voice;

    #[test]
    fn finds_more_than_an_octave_between_upper_voices_once_a_stretch() {
        assert_eq!(
            found(&Spacing::default(), "4/4", &["E5:1/2 F5 C5:1", "C4:1 C4", "C3:2"]),
            ["bar 1, beat 1: Caution [(0, 0), (1, 0)] soprano and alto lie more than an octave apart"]
        );
    }

    #[test]
    fn finds_more_than_a_twelfth_above_the_bass() {
        assert_eq!(
            found(&Spacing::default(), "4/4", &["C5:1", "G4:1", "A3:1", "C2:1"]),
            ["bar 1, beat 1: Caution [(2, 0), (3, 0)] tenor and bass lie more than a twelfth apart"]
        );
    }

    #[test]
    fn finds_less_than_a_bar_as_a_lighter_matter() {
        let lines = ["G4:1/2 E5", "C4:1 ", "C3:1"];
        assert_eq!(
            found(&Spacing::default(), "4/4", &lines),
            ["bar 1, beat 3: Remark [(0, 1), (1, 0)] soprano and alto lie more than an octave apart"]
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

    /// In a fugue the same two voices part again and again: a mark for each was once a crowd.
    #[test]
    fn finds_gaps_in_close_succession_once_where_they_are_widest() {
        let lines = ["G4:1/2 E5:3/8 C5:1/8 F5:1/4 C5:3/4", "C4:2", "C3:2"];
        let message = "soprano and alto lie more than an octave apart, twice in close succession";
        assert_eq!(
            found(&Spacing::default(), "4/4", &lines),
            [format!("bar 2, beat 1: Remark [(0, 3), (1, 0)] {message}")]
        );
    }

    #[test]
    fn allows_more_to_parts_that_nobody_sings() {
        let rule = Spacing { played: 3, ..Spacing::default() };
        let parts = |names: [&str; 3]| {
            let part =
                |(name, line): (&str, &str)| Part { voice: Voice::new(name), line: line.parse().unwrap() };
            let parts = names.into_iter().zip(["F5:1", "C4:1", "C3:1"]).map(part).collect();
            let (key, meter) = ("C major".parse().unwrap(), "4/4".parse().unwrap());
            Texture::of(&Score::new(key, meter, Time::ZERO, parts).unwrap()).marks(&rule).len()
        };
        assert_eq!(parts(["Violin", "Viola", "Cello"]), 0);
        assert_eq!(parts(["Soprano", "Alto", "Bass"]), 1);
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
            ["bar 1, beat 3: Remark [(0, 1), (1, 1)] soprano and alto lie more than an octave apart"]
        );
    }
}
