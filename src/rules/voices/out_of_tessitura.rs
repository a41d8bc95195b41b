//! Voices that stay too high or too low.

use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Texture, Tone};
use crate::voice::Compass;

#[doc = include_str!("out_of_tessitura.md")]
#[derive(Clone, Copy, Debug)]
pub struct OutOfTessitura {
    /// How many bars a voice may stay there: 4 by default.
    pub bars: u8,
}

impl Default for OutOfTessitura {
    fn default() -> Self {
        Self { bars: 4 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("out-of-tessitura"),
    severity: Severity::Remark,
    summary: "a voice stays above or below its comfortable register for long",
    page: include_str!("out_of_tessitura.md"),
    source: Source::CommonPractice,
};

/// On which side of the tessitura a note lies; `None` if within.
fn side(tessitura: Compass, tone: &Tone) -> Option<&'static str> {
    let below = tone.pitch.height() < tessitura.lowest().height();
    (!tessitura.contains(tone.pitch)).then_some(if below { "below" } else { "above" })
}

/// The stretches on one side: the side, the first note and the last.
fn stretches(tessitura: Compass, tones: &[Tone]) -> Vec<(&'static str, usize, usize)> {
    let mut found: Vec<(&'static str, usize, usize)> = Vec::new();
    for (index, tone) in tones.iter().enumerate() {
        let Some(side) = side(tessitura, tone) else { continue };
        match found.last_mut() {
            Some((known, _, last)) if *known == side && *last + 1 == index => *last = index,
            _ => found.push((side, index, index)),
        }
    }
    found
}

impl Rule for OutOfTessitura {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        let all = texture.score().parts().iter().enumerate().flat_map(|(voice, part)| {
            let tones = texture.tones(voice);
            let stretches = part.voice.tessitura().map_or_else(Vec::new, |it| stretches(it, tones));
            stretches.into_iter().filter_map(|(_, first, last)| Some((tones.get(first)?, tones.get(last)?)))
        });
        Reach::Near(all.map(|(from, to)| from.onset..to.end).collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for (voice, part) in texture.score().parts().iter().enumerate() {
            let Some(tessitura) = part.voice.tessitura() else { continue };
            let tones = texture.tones(voice);
            for (side, first, last) in stretches(tessitura, tones) {
                let (Some(from), Some(to)) = (tones.get(first), tones.get(last)) else { continue };
                let length = to.end - from.onset;
                if length > texture.accents().bar_at(from.onset) * i64::from(self.bars) {
                    let spot = Spot::new(from.onset, vec![(voice, first), (voice, last)]);
                    let message =
                        format_args!("{} stays {side} its tessitura {tessitura}", texture.name(voice));
                    report.add(spot, message, Evidence::of_stretch(texture, length));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::OutOfTessitura;
    use crate::rules::trial::found;

    /// The soprano of an excerpt has the compass C4-A5, so the tessitura F4-E5.
    #[test]
    fn finds_more_than_four_bars_above() {
        assert_eq!(
            found(&OutOfTessitura::default(), "4/4", &["C5:1 F5 G5 A5 G5 F5 E5"]),
            ["bar 2, beat 1: Remark [(0, 1), (0, 5)] soprano stays above its tessitura F4-E5"]
        );
    }

    #[test]
    fn allows_four_bars_and_a_return_between() {
        assert!(found(&OutOfTessitura::default(), "4/4", &["C5:1 F5 G5 A5 G5 E5"]).is_empty());
        assert!(found(&OutOfTessitura::default(), "4/4", &["F5:1 F5 G5 E5:1/4 A5:3/4 G5:1 F5"]).is_empty());
    }

    #[test]
    fn allows_both_sides_in_turn_and_unknown_voices() {
        assert!(found(&OutOfTessitura::default(), "4/4", &["F5:2 G5:1 D4:1 C4:2"]).is_empty());
        let fifth = "C0:6";
        assert!(
            found(&OutOfTessitura::default(), "4/4", &["C5:1", "C4:1", "G3:1", "C3:1", fifth]).is_empty()
        );
    }
}
