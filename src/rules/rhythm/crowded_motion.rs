//! Too many voices in quick notes at once.

use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Sonority, Texture};

#[doc = include_str!("crowded_motion.md")]
#[derive(Clone, Copy, Debug)]
pub struct CrowdedMotion {
    /// How many voices make a crowd: 4 by default.
    pub voices: usize,
}

impl Default for CrowdedMotion {
    fn default() -> Self {
        Self { voices: 4 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("crowded-motion"),
    severity: Severity::Remark,
    summary: "four or more voices all move in quick notes for longer than a bar",
    page: include_str!("crowded_motion.md"),
    source: Source::CommonPractice,
};

impl CrowdedMotion {
    /// Whether so many voices sound, and all of them in notes of half a beat or less.
    fn is_crowded(self, texture: &Texture<'_>, sonority: &Sonority<'_>) -> bool {
        let beat = texture.accents().pulse_at(sonority.onset()).1;
        let is_quick = |voice: usize, note: usize| {
            texture.tones(voice).get(note).is_some_and(|tone| tone.duration() * 2 <= beat)
        };
        sonority.sounding().count() >= self.voices
            && sonority.sounding().all(|(voice, note, _)| is_quick(voice, note))
    }

    /// The stretches in which all crowd: what sounds first, and the end.
    fn crowds<'t>(self, texture: &'t Texture<'_>) -> Vec<(Sonority<'t>, i64)> {
        let mut crowds: Vec<(Sonority<'_>, i64)> = Vec::new();
        if texture.voices() < self.voices {
            return crowds;
        }
        for sonority in texture.sonorities().filter(|it| self.is_crowded(texture, it)) {
            match crowds.last_mut() {
                Some((_, end)) if *end == sonority.onset() => *end = sonority.end(),
                _ => crowds.push((sonority, sonority.end())),
            }
        }
        crowds
    }
}

impl Rule for CrowdedMotion {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        Reach::Near(self.crowds(texture).into_iter().map(|(first, end)| first.onset()..end).collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for (first, end) in self.crowds(texture) {
            let length = end - first.onset();
            if length > texture.accents().bar_at(first.onset()) {
                let spot = Spot::new(first.onset(), first.sounding().map(|it| (it.0, it.1)).collect());
                let count = first.sounding().count();
                let message = format_args!("{count} voices all move in quick notes");
                report.add(spot, message, Evidence::of_stretch(texture, length));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::CrowdedMotion;
    use crate::rules::trial::found;

    const QUICK: &str = "C4:1/8 D4 E4 F4 E4 D4 C4 D4 C4 D4 C4:3/4";

    #[test]
    fn finds_four_voices_in_eighths_for_more_than_a_bar() {
        assert_eq!(
            found(&CrowdedMotion::default(), "4/4", &[QUICK; 4]),
            ["bar 1, beat 1: Remark [(0, 0), (1, 0), (2, 0), (3, 0)] 4 voices all move in quick notes"]
        );
    }

    #[test]
    fn allows_three_voices_and_one_that_is_slower() {
        assert!(found(&CrowdedMotion::default(), "4/4", &[QUICK; 3]).is_empty());
        assert!(
            found(&CrowdedMotion::default(), "4/4", &[QUICK, QUICK, QUICK, "C3:1/4 D3 E3 D3 C3"]).is_empty()
        );
    }

    #[test]
    fn allows_a_bar() {
        assert!(found(&CrowdedMotion::default(), "4/4", &["C4:1/8 D4 E4 F4 E4 D4 C4 D4 C4:1"; 4]).is_empty());
    }
}
