//! Two voices in one rhythm.

use super::is_doubling;
use super::together::{are_several, covers, is_alone, is_known, join, spot};
use crate::ensemble::MAX_VOICES;
use crate::rules::words::listed;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{CommonRhythm, Pair, Stretch, Texture};
use std::cmp::Reverse;
use std::ops::Range;

#[doc = include_str!("rhythmic_unison.md")]
#[derive(Clone, Copy, Debug)]
pub struct RhythmicUnison {
    /// How many beats of the meter the voices may go together: 1 by default.
    pub beats: u8,
    /// How many attacks together, at least, make a rhythm: 3 by default, since two notes together
    /// are a chord and its resolution.
    pub attacks: usize,
    /// How many bars two voices may go together while another moves on its own: 1 by default.
    pub bars: u8,
    /// How what lies outside the exposition of a fugue is weighed: in full by default.
    pub outside: Outside,
}

/// How a rule weighs what lies before and after the exposition of a fugue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Outside {
    /// Like the exposition.
    #[default]
    InFull,
    /// One step lighter: an introduction, an episode or a close may gather the voices that the exposition
    /// sets apart.
    Lighter,
}

impl Default for RhythmicUnison {
    fn default() -> Self {
        Self { beats: 1, attacks: 3, bars: 1, outside: Outside::InFull }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("rhythmic-unison"),
    severity: Severity::Caution,
    summary: "two voices keep the same rhythm for longer than a beat",
    page: include_str!("rhythmic_unison.md"),
    source: Source::CommonPractice,
};

impl RhythmicUnison {
    /// Whether a stretch is long enough, and a rhythm.
    fn is_marked(self, texture: &Texture<'_>, stretch: Stretch) -> bool {
        let longest = texture.accents().pulse_at(stretch.onset).1 * i64::from(self.beats);
        stretch.duration() > longest && stretch.attacks >= self.attacks
    }

    /// Whether chords are a rhythm though few: notes so long that three of them last for more bars than two
    /// voices may go together.
    fn is_slow(self, texture: &Texture<'_>, stretch: Stretch) -> bool {
        let longest = texture.accents().bar_at(stretch.onset) * i64::from(self.bars);
        stretch.attacks >= FEWEST && stretch.duration() > longest
    }

    /// From which tick up to which all is weighed in full.
    fn exposed(self, texture: &Texture<'_>) -> Range<i64> {
        match self.outside {
            Outside::InFull => 0..i64::MAX,
            Outside::Lighter => texture.exposition().unwrap_or(0..i64::MAX),
        }
    }

    /// Where two voices that do not double each other go together for long enough.
    fn pairs(self, texture: &Texture<'_>) -> Vec<CommonRhythm> {
        let unisons = |pair: Pair<'_>| {
            let is_its_own = |it: &Stretch| self.is_marked(texture, *it) && !is_doubling(pair, it.onset);
            let own = pair.rhythmic_unisons().into_iter().filter(is_its_own);
            own.map(|stretch| CommonRhythm { stretch, voices: vec![pair.upper(), pair.lower()] })
                .collect::<Vec<_>>()
        };
        texture.pairs().flat_map(unisons).collect()
    }

    /// Where three voices or more go together, none that sounds besides beginning a note.
    fn chords(self, texture: &Texture<'_>, common: &[CommonRhythm]) -> Vec<CommonRhythm> {
        let is_told = |it: &&CommonRhythm| {
            let is_rhythm = self.is_marked(texture, it.stretch) || self.is_slow(texture, it.stretch);
            it.voices.len() > 2 && is_rhythm && are_several(texture, it)
        };
        common.iter().filter(is_told).cloned().collect()
    }

    /// Of pairs that go together while another voice moves, those that do so for more bars than they may; of
    /// more than two voices one group, not each pair.
    fn beside_others(self, texture: &Texture<'_>, mut pairs: Vec<CommonRhythm>) -> Vec<CommonRhythm> {
        pairs.retain(|it| {
            let longest = texture.accents().bar_at(it.stretch.onset) * i64::from(self.bars);
            it.stretch.duration() > longest
        });
        pairs.sort_by_key(|it| (it.stretch.onset, Reverse(it.stretch.end)));
        let mut groups: Vec<CommonRhythm> = Vec::new();
        for pair in pairs {
            let mut recent = groups.iter_mut().rev().take(MAX_VOICES);
            match recent.find(|group| covers(group, &pair)) {
                Some(group) if group.stretch.onset == pair.stretch.onset => join(group, &pair.voices),
                Some(_) => {}
                None => groups.push(pair),
            }
        }
        groups
    }
}

/// The fewest attacks of a rhythm, however long: two notes together are a chord and its resolution.
const FEWEST: usize = 3;

/// The fewest bars of a piece of which it is told that it goes note against note.
const PIECE: i64 = 8;

/// For how long the voices go together, if for more than half of a piece that is no fugue: a chorale is
/// written so on purpose.
fn homophony(texture: &Texture<'_>, common: &[CommonRhythm]) -> Option<i64> {
    let length = texture.grid().ticks(texture.score().length());
    if texture.outline().is_some() || length < texture.accents().bar_at(0) * PIECE {
        return None;
    }
    let together = common.iter().map(|it| it.stretch.duration()).sum();
    (together * 2 > length).then_some(together)
}

impl Rule for RhythmicUnison {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn is_of_rhythm(&self) -> bool {
        true
    }

    /// Where no fugue is known, most of the piece may be in one rhythm.
    fn reach(&self, texture: &Texture<'_>) -> Reach {
        if texture.outline().is_none() {
            return Reach::Piece;
        }
        let pairs = || texture.pairs().flat_map(Pair::rhythmic_unisons);
        let octaves = texture.pairs().flat_map(Pair::octave_runs);
        let chords = || texture.common_rhythms().into_iter().map(|it| it.stretch);
        let judged = pairs().filter(|stretch| self.is_marked(texture, *stretch)).chain(chords());
        Reach::joined(pairs().chain(chords()).chain(octaves), judged)
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let common = texture.common_rhythms();
        let (chords, mut pairs) = (self.chords(texture, &common), self.pairs(texture));
        pairs.retain(|pair| !is_known(&chords, pair));
        let (mut alone, pairs): (Vec<_>, Vec<_>) = pairs.into_iter().partition(|it| is_alone(texture, it));
        alone.extend(chords);
        alone.sort_by_key(|it| it.stretch.onset);
        if let (Some(together), Some(first)) = (homophony(texture, &common), alone.first()) {
            let message = format_args!("the voices keep the same rhythm for most of the piece");
            report.add_remark(spot(texture, first), message, Evidence::of_stretch(texture, together));
            return;
        }
        let grave = self.exposed(texture);
        for it in alone {
            let message = format_args!("{} keep the same rhythm", listed(texture, &it.voices));
            let (spot, evidence) = (spot(texture, &it), Evidence::of_stretch(texture, it.stretch.duration()));
            if grave.contains(&it.stretch.onset) {
                report.add(spot, message, evidence);
            } else {
                report.add_lighter(spot, message, evidence);
            }
        }
        for it in self.beside_others(texture, pairs) {
            let names = listed(texture, &it.voices);
            let message = format_args!("{names} keep the same rhythm while other voices move");
            let evidence = Evidence::of_stretch(texture, it.stretch.duration());
            report.add_lighter(spot(texture, &it), message, evidence);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Outside, RhythmicUnison};
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found, found_in_fugue};

    /// The later pair was once said to go while other voices move.
    #[test]
    fn two_pairs_that_keep_one_rhythm_are_told_of_together() {
        let lines = [
            "C5:1/8 D5 E5 D5 C5 D5 E5:1/4 C5:3/8 D5:1/8 E5:1/4 F5 E5:1/8 D5 C5:3/4",
            "A4:1/8 B4 C5 B4 A4 B4 C5:1/4 A4:3/8 F4:1/8 G4:1/4 A4 G4:1/8 F4 E4:3/4",
            "R:1 F3:3/8 A3:1/8 G3:1/4 D4 C4:1/8 B3 G3:3/4",
            "R:1 F2:3/8 D3:1/8 C3:1/4 D3 C3:1/8 G2 C3:3/4",
        ];
        let found = found(&RhythmicUnison::default(), "4/4", &lines);
        assert!(
            found.iter().any(|it| it.contains("soprano, alto, tenor and bass keep the same rhythm")),
            "{found:?}"
        );
    }

    /// Three voices were once passed over where two of them had begun to go together before the third joined.
    #[test]
    fn finds_three_voices_from_where_the_third_joins() {
        let lines = [
            "R:1 C5:1/4 B4 A4 B4 C5 B4 A4:1/2",
            "E4:1/4 F4 E4 F4 E4 G4 F4 G4 E4 G4 F4:1/2",
            "C4:1/4 D4 C4 D4 C4 E4 D4 E4 C4 E4 D4:1/2",
        ];
        assert_eq!(
            found(&RhythmicUnison::default(), "4/4", &lines),
            ["bar 2, beat 1: Caution [(0, 0), (1, 4), (2, 4)] soprano, alto and tenor keep the same rhythm"]
        );
    }

    #[test]
    fn finds_few_chords_that_last_for_long() {
        let lines = ["C5:1 D5 C5", "A4:1 B4 A4", "F4:1 G4 E4"];
        let rule = RhythmicUnison { attacks: 6, bars: 2, ..RhythmicUnison::default() };
        assert_eq!(found(&rule, "4/4", &lines).len(), 1);
        assert!(found(&rule, "4/4", &lines.map(|line| line.rsplit_once(' ').unwrap().0)).is_empty());
    }

    /// An introduction, an episode, a close in chords were once weighed like an exposition.
    #[test]
    fn finds_chords_outside_the_exposition_as_a_lighter_matter_where_set_so() {
        let lines = [
            "R:2 G4:1/4 A4 B4 G4 A4 B4 C5 D5 E5 D5 C5 B4",
            "R:1 C4:1/4 D4 E4 C4 E4:1 F4:1/4 G4 A4 B4 C5 B4 A4 G4",
        ];
        let rule = RhythmicUnison { outside: Outside::Lighter, ..RhythmicUnison::default() };
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        let expected = "bar 4, beat 1: Remark [(0, 4), (1, 5)] soprano and alto keep the same rhythm";
        assert_eq!(found_in_fugue(&rule, &lines, &marks), [expected]);
        let whole = found_in_fugue(&RhythmicUnison::default(), &lines, &marks);
        assert_eq!(whole, [expected.replace("Remark", "Caution")]);
    }

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

    /// Four voices in chords were once six findings, one a pair.
    #[test]
    fn finds_chords_once() {
        let lines = ["E5:1/4 D5 C5 D5", "C5:1/4 B4 A4 B4", "G4:1/4 G4 E4 G4", "C4:1/4 G3 A3 G3"];
        assert_eq!(
            found(&RhythmicUnison::default(), "4/4", &lines),
            ["bar 1, beat 1: Caution [(0, 0), (1, 0), (2, 0), (3, 0)] \
                 soprano, alto, tenor and bass keep the same rhythm"]
        );
    }

    #[test]
    fn finds_two_pairs_apart() {
        let lines = [
            "E5:1/4 D5 C5 D5 E5 D5 C5 D5",
            "C5:1/4 B4 A4 B4 C5 B4 A4 B4",
            "G4:1/8 F4 E4 F4 G4 F4 E4 F4 G4 F4 E4 F4 G4:1/2",
            "E4:1/8 D4 C4 D4 E4 D4 C4 D4 E4 D4 C4 D4 E4:1/2",
        ];
        let found = found(&RhythmicUnison::default(), "4/4", &lines);
        assert_eq!(found.len(), 2, "{found:?}");
    }

    /// Common practice: two voices in thirds against a third that goes its own way.
    #[test]
    fn finds_two_of_three_together_for_more_than_a_bar_as_a_lighter_matter() {
        let (above, below) = ("E5:1/4 D5 C5 D5 E5 D5 C5:1/2", "C5:1/4 B4 A4 B4 C5 B4 A4:1/2");
        let lines = [above, below, "C4:3/8 D4:1/4 E4 D4 C4:7/8"];
        assert_eq!(
            found(&RhythmicUnison::default(), "4/4", &lines),
            ["bar 1, beat 1: Remark [(0, 0), (1, 0)] \
                 soprano and alto keep the same rhythm while other voices move"]
        );
    }

    #[test]
    fn allows_two_of_three_together_for_a_bar() {
        let lines = ["E5:1/4 D5 C5 D5", "C5:1/4 B4 A4 B4", "C4:3/8 D4:1/4 E4:3/8"];
        assert!(found(&RhythmicUnison::default(), "4/4", &lines).is_empty());
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

    /// A chorale was once marked at every line.
    #[test]
    fn finds_a_piece_in_one_rhythm_once() {
        let bars = |line: &str| [line; 8].join(" ");
        let lines = [bars("E5:1/4 F5 E5 D5:1/4"), bars("C5:1/4 A4 G4 B4:1/4")];
        let lines = [lines[0].as_str(), lines[1].as_str()];
        assert_eq!(
            found(&RhythmicUnison::default(), "4/4", &lines),
            ["bar 1, beat 1: Remark [(0, 0), (1, 0)] the voices keep the same rhythm for most of the piece"]
        );
    }
}
