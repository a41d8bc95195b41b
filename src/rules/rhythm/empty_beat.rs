//! Beats on which nothing happens.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("empty_beat.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct EmptyBeat {
    /// Whether the opening, where one voice is alone, is judged too: not by default.
    pub opening: Opening,
}

/// What a rule makes of the opening, where one voice is alone.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Opening {
    /// It is left alone: the subject is as it is.
    #[default]
    Spared,
    /// It is judged like the rest.
    Judged,
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("empty-beat"),
    severity: Severity::Caution,
    summary: "no voice begins a note during a whole beat",
    page: include_str!("empty_beat.md"),
    source: Source::CommonPractice,
};

impl EmptyBeat {
    /// The tick from which on beats are judged: the entry of the second voice.
    fn start(self, texture: &Texture<'_>) -> i64 {
        let entries = (0..texture.voices()).filter_map(|voice| texture.tones(voice).first());
        let mut entries: Vec<i64> = entries.map(|tone| tone.onset).collect();
        entries.sort_unstable();
        match self.opening {
            Opening::Spared => entries.get(1).or(entries.first()).copied().unwrap_or(0),
            Opening::Judged => 0,
        }
    }
}

/// The notes that sound on a tick.
fn sounding(texture: &Texture<'_>, tick: i64) -> Vec<(usize, usize)> {
    let index = |voice: usize| {
        let tones = texture.tones(voice);
        let index = tones.partition_point(|tone| tone.end <= tick);
        tones.get(index).filter(|tone| tone.onset <= tick).map(|_| (voice, index))
    };
    (0..texture.voices()).filter_map(index).collect()
}

impl Rule for EmptyBeat {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let start = self.start(texture);
        for stretch in texture.empty_beats().into_iter().filter(|stretch| stretch.onset >= start) {
            let spot = Spot::new(stretch.onset, sounding(texture, stretch.onset));
            let evidence = Evidence::of_stretch(texture, stretch.duration());
            report.add(spot, format_args!("no voice begins a note"), evidence);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{EmptyBeat, Opening};
    use crate::rules::trial::found;

    #[test]
    fn finds_a_beat_under_long_notes() {
        assert_eq!(
            found(&EmptyBeat::default(), "4/4", &["E5:1/2 D5:1/4 C5", "C5:1/2 B4:1/2"]),
            ["bar 1, beat 2: Caution [(0, 0), (1, 0)] no voice begins a note"]
        );
    }

    #[test]
    fn finds_several_beats_as_one_stretch() {
        assert_eq!(found(&EmptyBeat::default(), "4/4", &["E5:3/4 D5:1/4", "C5:3/4 B4:1/4"]).len(), 1);
    }

    #[test]
    fn allows_movement_off_the_beat() {
        assert!(
            found(&EmptyBeat::default(), "4/4", &["E5:3/8 D5:1/8 C5:1/2", "C5:1/2 A4:1/4 B4"]).is_empty()
        );
    }

    #[test]
    fn allows_the_last_note_to_be_long() {
        assert!(found(&EmptyBeat::default(), "4/4", &["C5:1/4 D5 E5:1/2", "C4:1/4 B3 C4:1/2"]).is_empty());
    }

    #[test]
    fn allows_long_notes_of_the_opening_unless_judged() {
        let lines = ["R:1 E5:1/4 D5 C5 D5", "C4:1/2 G4 C4:1"];
        assert!(found(&EmptyBeat::default(), "4/4", &lines).is_empty());
        let strict = EmptyBeat { opening: Opening::Judged };
        assert_eq!(found(&strict, "4/4", &lines).len(), 2);
    }
}
