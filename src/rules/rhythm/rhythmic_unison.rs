//! Two voices in one rhythm.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Pair, Stretch, Texture};

#[doc = include_str!("rhythmic_unison.md")]
#[derive(Clone, Copy, Debug)]
pub struct RhythmicUnison {
    /// How many beats of the meter the voices may go together: 1 by default.
    pub beats: u8,
    /// How many attacks together, at least, make a rhythm: 3 by default, since two notes together
    /// are a chord and its resolution.
    pub attacks: usize,
}

impl Default for RhythmicUnison {
    fn default() -> Self {
        Self { beats: 1, attacks: 3 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("rhythmic-unison"),
    severity: Severity::Caution,
    summary: "two voices keep the same rhythm for longer than a beat",
    page: include_str!("rhythmic_unison.md"),
    source: Source::CommonPractice,
};

/// The notes of both voices on a tick.
fn notes(pair: Pair<'_>, stretch: Stretch) -> Vec<(usize, usize)> {
    let texture = pair.texture();
    let voices = [pair.upper(), pair.lower()];
    let note = |voice: usize| {
        let index = texture.tones(voice).partition_point(|tone| tone.end <= stretch.onset);
        (voice, index)
    };
    voices.map(note).to_vec()
}

impl Rule for RhythmicUnison {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for pair in texture.pairs() {
            let [upper, lower] = pair.names();
            for stretch in pair.rhythmic_unisons() {
                let longest = texture.accents().pulse_at(stretch.onset).1 * i64::from(self.beats);
                if stretch.duration() > longest && stretch.attacks >= self.attacks {
                    let message = format_args!("{upper} and {lower} keep the same rhythm");
                    let evidence = Evidence::of_stretch(texture, stretch.duration());
                    report.add(Spot::new(stretch.onset, notes(pair, stretch)), message, evidence);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::RhythmicUnison;
    use crate::rules::trial::found;

    #[test]
    fn finds_voices_in_one_rhythm() {
        assert_eq!(
            found(
                &RhythmicUnison::default(),
                "4/4",
                &["R:1/4 E5:1/8 D5 C5 D5 E5:1/4", "A4:1/4 C5:1/8 B4 A4 B4 C5:1/4"]
            ),
            ["bar 1, beat 2: Caution [(0, 0), (1, 1)] soprano and alto keep the same rhythm"]
        );
    }

    #[test]
    fn allows_one_beat_together() {
        assert!(
            found(&RhythmicUnison::default(), "4/4", &["E5:1/8 D5:3/8 C5:1/2", "C5:1/8 B4 A4 B4 C5:1/2"])
                .is_empty()
        );
    }

    #[test]
    fn allows_two_chords_together() {
        assert!(found(&RhythmicUnison::default(), "4/4", &["D5:1/2 C5:1/2", "B4:1/2 C5:1/2"]).is_empty());
    }

    #[test]
    fn allows_a_chord_struck_again() {
        assert!(found(&RhythmicUnison::default(), "4/4", &["E5:1/4 E5 E5 E5", "C5:1/4 C5 C5 C5"]).is_empty());
    }
}
