//! Too many voices in quick notes at once.

use super::is_doubling;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Pair, Sonority, Texture};

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

/// Whether a voice doubles one above it on a tick, so that the two are one line.
fn doubles_one_above(texture: &Texture<'_>, voice: usize, onset: i64) -> bool {
    (0..voice).filter_map(|above| texture.pair(above, voice)).any(|pair| is_doubling(pair, onset))
}

impl Rule for CrowdedMotion {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn is_of_rhythm(&self) -> bool {
        true
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        let crowds = self.crowds(texture).into_iter().map(|(first, end)| first.onset()..end);
        let octaves = texture.pairs().flat_map(Pair::octave_runs).map(|run| run.onset..run.end);
        Reach::Near(crowds.chain(octaves).collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for (first, end) in self.crowds(texture) {
            let length = end - first.onset();
            let lines =
                first.sounding().filter(|it| !doubles_one_above(texture, it.0, first.onset())).count();
            if length > texture.accents().bar_at(first.onset()) && lines >= self.voices {
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
    const FOUR: [&str; 4] = [
        "B4:1/8 C5 D5 E5 D5 C5 B4 C5 B4 C5 B4:3/4",
        "G4:1/8 A4 B4 C5 B4 A4 G4 A4 G4 A4 G4:3/4",
        "E4:1/8 F4 G4 A4 G4 F4 E4 F4 E4 F4 E4:3/4",
        QUICK,
    ];

    #[test]
    fn finds_four_voices_in_eighths_for_more_than_a_bar() {
        assert_eq!(
            found(&CrowdedMotion::default(), "4/4", &FOUR),
            ["bar 1, beat 1: Remark [(0, 0), (1, 0), (2, 0), (3, 0)] 4 voices all move in quick notes"]
        );
    }

    /// A passage of all voices in unison was once told as four.
    #[test]
    fn allows_voices_that_double_one_another() {
        assert!(found(&CrowdedMotion::default(), "4/4", &[QUICK; 4]).is_empty());
    }

    #[test]
    fn allows_three_voices_and_one_that_is_slower() {
        assert!(found(&CrowdedMotion::default(), "4/4", &FOUR[..3]).is_empty());
        assert!(
            found(&CrowdedMotion::default(), "4/4", &[FOUR[0], FOUR[1], FOUR[2], "C3:1/4 D3 E3 D3 C3"])
                .is_empty()
        );
    }

    #[test]
    fn allows_a_bar() {
        assert!(found(&CrowdedMotion::default(), "4/4", &["C4:1/8 D4 E4 F4 E4 D4 C4 D4 C4:1"; 4]).is_empty());
    }
}
