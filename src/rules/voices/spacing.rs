//! Neighbouring voices too far apart.

use crate::ensemble::MAX_VOICES;
use crate::pitch::Pitch;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Sonority, Texture};
use std::cmp::Reverse;

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

/// Two voices that sound next to each other, too far apart for a while.
struct Gap {
    onset: i64,
    end: i64,
    /// Voice, note and pitch, the higher first, as the gap begins.
    notes: [(usize, usize, Pitch); 2],
    limit: u32,
}

impl Gap {
    fn voices(&self) -> [usize; 2] {
        self.notes.map(|it| it.0)
    }
}

/// What sounds, from the highest downwards.
fn from_the_top(sonority: &Sonority<'_>) -> Vec<(usize, usize, Pitch)> {
    let mut notes: Vec<_> = sonority.sounding().collect();
    notes.sort_by_key(|(voice, _, pitch)| (Reverse(pitch.height()), *voice));
    notes
}

impl Spacing {
    /// The gaps of a sonority.
    fn gaps_of(self, sonority: &Sonority<'_>) -> Vec<Gap> {
        let notes = from_the_top(sonority);
        if notes.len() < CHORD {
            return Vec::new();
        }
        let neighbours = notes.iter().zip(notes.iter().skip(1)).enumerate();
        let gap = |(index, (above, below)): (usize, (&_, &_))| {
            let limit = if index + 2 == notes.len() { self.lowest } else { self.upper };
            let (above, below): (&(usize, usize, Pitch), &(usize, usize, Pitch)) = (above, below);
            let (onset, end) = (sonority.onset(), sonority.end());
            let is_wide = (above.2 - below.2).number() > limit;
            let mut between = above.0.min(below.0) + 1..above.0.max(below.0);
            let is_whole = between.all(|voice| sonority.note(voice).is_some());
            (is_wide && is_whole).then_some(Gap { onset, end, notes: [*above, *below], limit })
        };
        neighbours.filter_map(gap).collect()
    }

    /// All gaps, those of the same voices that follow at once being one.
    fn gaps(self, texture: &Texture<'_>) -> Vec<Gap> {
        let mut found: Vec<Gap> = Vec::new();
        for gap in texture.sonorities().flat_map(|sonority| self.gaps_of(&sonority)) {
            let recent = found.iter_mut().rev().take(MAX_VOICES);
            let known = recent.into_iter().find(|it| it.end == gap.onset && it.voices() == gap.voices());
            match known {
                Some(known) => known.end = gap.end,
                None => found.push(gap),
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
        for gap in self.gaps(texture) {
            let (length, bar) = (gap.end - gap.onset, texture.accents().bar());
            if length * 2 < bar {
                continue;
            }
            let [(upper, one, high), (lower, other, low)] = gap.notes;
            let spot = Spot::new(gap.onset, vec![(upper, one), (lower, other)]);
            let (names, limit) = ([upper, lower].map(|voice| texture.name(voice)), named(gap.limit));
            let message = format_args!("{} and {} lie further apart than {limit}", names[0], names[1]);
            let evidence = Evidence::of_vertical(high, low);
            if length < bar {
                report.add_lighter(spot, message, evidence);
            } else {
                report.add(spot, message, evidence);
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
    fn finds_half_a_bar_as_a_lighter_matter() {
        let lines = ["G4:1/2 E5", "C4:1 ", "C3:1"];
        assert_eq!(
            found(&Spacing::default(), "4/4", &lines),
            ["bar 1, beat 3: Remark [(0, 1), (1, 0)] soprano and alto lie further apart than an octave"]
        );
    }

    /// In the fugues of the masters a leap opens a gap for a beat every few bars.
    #[test]
    fn allows_less_than_half_a_bar() {
        let lines = ["G4:3/4 E5:1/4 C5:1", "C4:2", "C3:2"];
        assert!(found(&Spacing::default(), "4/4", &lines).is_empty());
    }

    /// With the bass silent the tenor is the bass.
    #[test]
    fn allows_a_twelfth_above_the_lowest_that_sounds() {
        assert!(found(&Spacing::default(), "4/4", &["G5:1", "E5:1", "C4:1", "R:1"]).is_empty());
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
