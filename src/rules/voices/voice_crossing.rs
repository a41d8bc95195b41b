//! Voices that cross.

use crate::rules::passages::{Span, passages, span, times};
use crate::rules::words::Beats;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Moment, Pair, Texture};

#[doc = include_str!("voice_crossing.md")]
#[derive(Clone, Copy, Debug)]
pub struct VoiceCrossing {
    /// The longest crossing that is brief, in beats of the meter: 2 by default, be they written white or
    /// black.
    pub brief: u8,
    /// How much two voices of one kind are held to their places: as much as others by default.
    pub equals: Equals,
}

/// How much a rule makes of two voices of one kind, such as two sopranos.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Equals {
    /// As much as of others.
    #[default]
    Alike,
    /// One step less: they change places as equals do.
    Lighter,
}

impl Default for VoiceCrossing {
    fn default() -> Self {
        Self { brief: 2, equals: Equals::Alike }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("voice-crossing"),
    severity: Severity::Caution,
    summary: "a lower part sounds above a higher one",
    page: include_str!("voice_crossing.md"),
    source: Source::Handbook("Cherubini, two parts, first order, rule 3"),
};

fn is_crossed(moment: &Moment<'_>) -> bool {
    moment.pitches().is_some_and(|[upper, lower]| upper.height() < lower.height())
}

/// Two parts that have changed places for a while.
struct Crossing<'t> {
    first: Moment<'t>,
    end: i64,
}

impl Span for Crossing<'_> {
    fn onset(&self) -> i64 {
        self.first.onset()
    }

    fn end(&self) -> i64 {
        self.end
    }
}

/// The crossings; moments that follow at once are one.
fn crossings(pair: Pair<'_>) -> Vec<Crossing<'_>> {
    let mut found: Vec<Crossing<'_>> = Vec::new();
    for moment in pair.moments().filter(is_crossed) {
        match found.last_mut() {
            Some(crossing) if crossing.end == moment.onset() => crossing.end = moment.end(),
            _ => found.push(Crossing { first: moment, end: moment.end() }),
        }
    }
    found
}

/// The passages in which two parts cross.
fn passages_of(pair: Pair<'_>) -> Vec<Vec<Crossing<'_>>> {
    passages(crossings(pair), |tick| pair.texture().accents().bar_at(tick))
}

impl VoiceCrossing {
    /// Tells of a passage where the crossing is longest.
    fn report_passage(self, crossings: &[Crossing<'_>], report: &mut Report<'_>) {
        let length = |crossing: &Crossing<'_>| crossing.end - crossing.onset();
        let Some(longest) = crossings.iter().rev().max_by_key(|crossing| length(crossing)) else { return };
        let Some([one, other]) = longest.first.pitches() else { return };
        let (pair, evidence) = (longest.first.pair(), Evidence::of_vertical(one, other));
        let ([upper, lower], times) = (pair.names(), times(crossings.len()));
        let is_free = self.equals == Equals::Lighter && pair.is_of_equals();
        let beat = pair.texture().accents().pulse_at(longest.onset()).1;
        if length(longest) <= beat * i64::from(self.brief) {
            let message = format_args!("{lower} crosses briefly above {upper}{times}");
            report.add_lighter(&longest.first, message, evidence);
            return;
        }
        let beats = Beats::of(pair.texture(), longest.onset(), length(longest));
        let message = format_args!("{lower} stays above {upper} for {beats}{times}");
        if is_free {
            report.add_lighter(&longest.first, message, evidence);
        } else {
            report.add(&longest.first, message, evidence);
        }
    }
}

impl Rule for VoiceCrossing {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        Reach::Near(texture.own_pairs().flat_map(passages_of).map(|passage| span(&passage)).collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.own_pairs() {
            for passage in passages_of(pair) {
                self.report_passage(&passage, report);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Equals, VoiceCrossing};
    use crate::rules::trial::{found, found_by_name};

    #[test]
    fn finds_a_long_crossing_and_weighs_it_in_full() {
        assert_eq!(
            found(&VoiceCrossing::default(), "4/4", &["C5:1/4 E4 F4 E4 C5:1", "A4:1/4 G4 A4 G4 E4:1"]),
            ["bar 1, beat 2: Caution [(0, 1), (1, 1)] alto stays above soprano for 3 beats"]
        );
    }

    #[test]
    fn finds_a_brief_crossing_as_a_lighter_matter() {
        assert_eq!(
            found(&VoiceCrossing::default(), "4/4", &["C5:1/2 E4:1/4 C5", "A4:1/2 G4:1/2"]),
            ["bar 1, beat 3: Remark [(0, 1), (1, 1)] alto crosses briefly above soprano"]
        );
    }

    #[test]
    fn finds_two_beats_to_be_brief_in_white_notes_too() {
        let lines = ["C5:1 E4:1 C5:2", "A4:1 G4:1 E4:2"];
        assert!(
            found(&VoiceCrossing::default(), "4/2", &lines)[0]
                .ends_with("alto crosses briefly above soprano")
        );
        assert!(
            found(&VoiceCrossing::default(), "4/4", &lines)[0].ends_with("stays above soprano for 4 beats")
        );
    }

    #[test]
    fn finds_crossings_in_close_succession_once_where_they_are_longest() {
        let lines = ["C5:1/2 E4:1/4 C5 E4:3/8 C5:5/8", "A4:1/2 G4:1/2 G4:1"];
        assert_eq!(
            found(&VoiceCrossing::default(), "4/4", &lines),
            ["bar 2, beat 1: Remark [(0, 3), (1, 2)] \
              alto crosses briefly above soprano, twice in close succession"]
        );
    }

    #[test]
    fn finds_crossings_of_equals_as_a_lighter_matter_where_the_style_is_free() {
        let free = VoiceCrossing { equals: Equals::Lighter, ..VoiceCrossing::default() };
        let lines = [("Soprano I", "C5:1/4 E4:3/4"), ("Soprano II", "A4:1/4 G4:3/4")];
        let told = "[(0, 1), (1, 1)] Soprano II stays above Soprano I for 3 beats";
        assert_eq!(found_by_name(&free, &lines), [format!("bar 1, beat 2: Remark {told}")]);
        assert_eq!(
            found_by_name(&VoiceCrossing::default(), &lines),
            [format!("bar 1, beat 2: Caution {told}")]
        );
        let others = [("Part 1", lines[0].1), ("Part 2", lines[1].1)];
        assert!(found_by_name(&free, &others)[0].contains("Caution"));
    }

    /// The drums stand above the strings in the score, and far below them in sound.
    #[test]
    fn allows_instruments_that_go_with_a_choir_any_place() {
        let choir = [("Soprano", "E5:1"), ("Alto", "C5:1"), ("Bass", "C3:1"), ("Violin", "C6:1")];
        assert!(
            found_by_name(&VoiceCrossing::default(), &[&[("Timpani", "C3:1")], &choir[..]].concat())
                .is_empty()
        );
    }

    #[test]
    fn allows_a_unison_however_spelled() {
        assert!(found(&VoiceCrossing::default(), "4/4", &["G4:1/2 F#4", "G4:1/2 Gb4"]).is_empty());
    }
}
