//! Beats on which nothing happens.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Stretch, Texture};
use std::ops::Range;

#[doc = include_str!("empty_beat.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct EmptyBeat {
    /// Whether the opening, where one voice is alone, is judged too: not by default.
    pub opening: Opening,
    /// What music is judged: any by default.
    pub music: Music,
}

/// What music a rule judges that is true of fugues above all.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Music {
    /// Any, all of it alike.
    #[default]
    Any,
    /// Fugues alone: their expositions in full; what lies before and after one step lighter, and no general pause
    /// there.
    Fugues,
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

impl EmptyBeat {
    /// From which tick up to which beats count in full; `None` if none is judged.
    fn exposed(self, texture: &Texture<'_>) -> Option<Range<i64>> {
        match self.music {
            Music::Any => Some(0..i64::MAX),
            Music::Fugues => texture.exposition(),
        }
    }
}

/// Whether the bar of a stretch and those before and after it go by beats: no more than a third of their
/// time is empty. An exercise in semibreves does not, nor does a fugue on a subject in white notes.
fn goes_by_beats(texture: &Texture<'_>, stretch: Stretch, all: &[Stretch]) -> bool {
    let accents = texture.accents();
    let (bar, line) = (accents.bar_at(stretch.onset), accents.bar_line(stretch.onset));
    let from = (line - bar).max(0);
    let last = (0..texture.voices()).filter_map(|voice| texture.tones(voice).last()).map(|tone| tone.onset);
    let to = (line + 2 * bar).min(last.max().unwrap_or(0));
    let near = all[all.partition_point(|it| it.end <= from)..].iter().take_while(|it| it.onset < to);
    let empty: i64 = near.map(|it| it.end.min(to) - it.onset.max(from)).sum();
    3 * empty <= to - from
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

    fn is_of_rhythm(&self) -> bool {
        true
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let start = self.start(texture);
        let Some(grave) = self.exposed(texture) else { return };
        let all = texture.empty_beats();
        let judged = |it: &&Stretch| it.onset >= start && goes_by_beats(texture, **it, &all);
        for &stretch in all.iter().filter(judged) {
            let spot = Spot::new(stretch.onset, sounding(texture, stretch.onset));
            let evidence = Evidence::of_stretch(texture, stretch.duration());
            let message = format_args!("no voice begins a note");
            if grave.contains(&stretch.onset) {
                report.add(spot, message, evidence);
            } else if !spot.notes().is_empty() {
                report.add_lighter(spot, message, evidence);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{EmptyBeat, Music, Opening};
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found, found_in_fugue};

    #[test]
    fn finds_a_beat_under_long_notes() {
        assert_eq!(
            found(&EmptyBeat::default(), "4/4", &["E5:1/2 D5:1/4 C5", "C5:1/2 B4:1/2"]),
            ["bar 1, beat 2: Caution [(0, 0), (1, 0)] no voice begins a note"]
        );
    }

    #[test]
    fn finds_several_beats_as_one_stretch() {
        let lines = ["E5:3/4 D5:1/4 E5 D5 C5 D5", "C5:3/4 B4:1/4 C5 B4 A4 B4"];
        assert_eq!(found(&EmptyBeat::default(), "4/4", &lines).len(), 1);
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
        let strict = EmptyBeat { opening: Opening::Judged, ..EmptyBeat::default() };
        assert_eq!(found(&strict, "4/4", &lines).len(), 2);
    }

    #[test]
    fn allows_music_that_goes_in_longer_notes() {
        assert!(found(&EmptyBeat::default(), "4/4", &["A4:1 A4 G4 A4", "D4:1 F4 E4 D4"]).is_empty());
        let moving = ["A4:1/4 G4 F4 E4 D4:1 G4:1/4 F4 E4 D4", "F4:1/4 E4 D4 C4 B3:1 E4:1/4 D4 C4 B3"];
        assert_eq!(found(&EmptyBeat::default(), "4/4", &moving).len(), 1);
    }

    /// Chorales pause at the end of each line, and fugues before their close: each was once a Caution.
    #[test]
    fn finds_only_what_stands_still_in_a_fugue_where_fugues_alone_are_judged() {
        let rule = EmptyBeat { music: Music::Fugues, ..EmptyBeat::default() };
        let lines = [
            "R:1 G4:1/4 A4 B4:1/2 G4:1/4 A4 G4 A4 G4 A4 B4:1/2 G4:1/4 A4 R:1/2 G4:1/4 A4 G4 A4",
            "C4:1/4 D4 E4:1/2 C4:1/4 B3 G3:1/2 E4:1/4 F4 E4 F4 E4 F4 G4:1/2 E4:1/4 F4 R:1/2 E4:1/4 F4 E4 F4",
        ];
        assert!(found(&rule, "4/4", &lines).is_empty());
        let marks = found_in_fugue(&rule, &lines, &[(Subject, 1, 0..3), (Answer, 0, 0..3)]);
        assert_eq!(
            marks,
            [
                "bar 2, beat 4: Caution [(0, 2), (1, 5)] no voice begins a note",
                "bar 4, beat 4: Remark [(0, 9), (1, 12)] no voice begins a note",
            ]
        );
    }
}
