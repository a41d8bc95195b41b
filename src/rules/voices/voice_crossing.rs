//! Voices that cross.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Moment, Pair, Texture};
use crate::time::Time;

#[doc = include_str!("voice_crossing.md")]
#[derive(Clone, Copy, Debug)]
pub struct VoiceCrossing {
    /// The longest crossing that is brief, in whole notes: a half by default.
    pub brief: Time,
}

impl Default for VoiceCrossing {
    fn default() -> Self {
        Self { brief: Time::new(1, 2).unwrap_or(Time::WHOLE) }
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

/// The crossings: the first moment and the tick on which the last ends.
fn crossings(pair: Pair<'_>) -> Vec<(Moment<'_>, i64)> {
    let mut found: Vec<(Moment<'_>, i64)> = Vec::new();
    for moment in pair.moments().filter(is_crossed) {
        match found.last_mut() {
            Some((_, end)) if *end == moment.onset() => *end = moment.end(),
            _ => found.push((moment, moment.end())),
        }
    }
    found
}

impl Rule for VoiceCrossing {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let brief = texture.grid().ticks(self.brief);
        for pair in texture.pairs() {
            let [upper, lower] = pair.names();
            for (moment, end) in crossings(pair) {
                let Some([one, other]) = moment.pitches() else { continue };
                let (evidence, length) = (Evidence::of_vertical(one, other), end - moment.onset());
                if length <= brief {
                    report.add_lighter(
                        &moment,
                        format_args!("{lower} crosses briefly above {upper}"),
                        evidence,
                    );
                } else {
                    let whole_notes = texture.time(length);
                    let message =
                        format_args!("{lower} stays above {upper} for {whole_notes} of a whole note");
                    report.add(&moment, message, evidence);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::VoiceCrossing;
    use crate::rules::trial::found;

    #[test]
    fn finds_a_long_crossing_and_weighs_it_in_full() {
        assert_eq!(
            found(&VoiceCrossing::default(), "4/4", &["C5:1/4 E4 F4 E4 C5:1", "A4:1/4 G4 A4 G4 E4:1"]),
            ["bar 1, beat 2: Caution [(0, 1), (1, 1)] alto stays above soprano for 3/4 of a whole note"]
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
    fn allows_a_unison_however_spelled() {
        assert!(found(&VoiceCrossing::default(), "4/4", &["G4:1/2 F#4", "G4:1/2 Gb4"]).is_empty());
    }
}
