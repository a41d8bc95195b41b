//! Voices that stand still.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Texture, Tone};

#[doc = include_str!("stalled_motion.md")]
#[derive(Clone, Copy, Debug)]
pub struct StalledMotion {
    /// How many bars a note may be held: 2 by default.
    pub bars: u8,
}

impl Default for StalledMotion {
    fn default() -> Self {
        Self { bars: 2 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("stalled-motion"),
    severity: Severity::Remark,
    summary: "a voice other than the lowest holds a note for long",
    page: include_str!("stalled_motion.md"),
    source: Source::CommonPractice,
};

/// Whether another voice sounds below a note as it begins.
fn has_a_bass(texture: &Texture<'_>, voice: usize, tone: &Tone) -> bool {
    let others = (0..texture.voices()).filter(|other| *other != voice);
    let mut sounding = others.filter_map(|other| texture.sounding(other, tone.onset));
    sounding.any(|other| other.pitch.height() < tone.pitch.height())
}

impl Rule for StalledMotion {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn is_of_rhythm(&self) -> bool {
        true
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let longest = |tone: &Tone| texture.accents().bar_at(tone.onset) * i64::from(self.bars);
        for voice in 0..texture.voices() {
            let Some((_, tones)) = texture.tones(voice).split_last() else { continue };
            for (note, tone) in tones.iter().enumerate().filter(|(_, tone)| tone.duration() > longest(tone)) {
                if has_a_bass(texture, voice, tone) {
                    let spot = Spot::new(tone.onset, vec![(voice, note)]);
                    let message = format_args!("{} stands still on {}", texture.name(voice), tone.pitch);
                    report.add(spot, message, Evidence::of_stretch(texture, tone.duration()));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::StalledMotion;
    use crate::rules::trial::found;

    #[test]
    fn finds_a_note_held_over_moving_voices() {
        assert_eq!(
            found(&StalledMotion::default(), "4/4", &["C5:9/4 B4:3/4", "E4:1/2 F4 E4 D4 C4 D4"]),
            ["bar 1, beat 1: Remark [(0, 0)] soprano stands still on C5"]
        );
    }

    #[test]
    fn allows_a_pedal_point_in_the_bass() {
        assert!(
            found(&StalledMotion::default(), "4/4", &["E4:1/2 F4 E4 D4 C4 D4", "C3:9/4 B2:3/4"]).is_empty()
        );
    }

    #[test]
    fn allows_two_bars_and_the_last_note() {
        let lines = ["C5:2 B4:3", "E4:1/2 F4 E4 D4 C4 D4"];
        assert!(found(&StalledMotion::default(), "4/4", &lines).is_empty());
    }
}
