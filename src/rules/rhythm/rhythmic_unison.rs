//! Two voices in one rhythm.

use crate::ensemble::MAX_VOICES;
use crate::rules::words::listed;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{CommonRhythm, Pair, Stretch, Texture};
use std::cmp::Reverse;

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
}

impl Default for RhythmicUnison {
    fn default() -> Self {
        Self { beats: 1, attacks: 3, bars: 1 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("rhythmic-unison"),
    severity: Severity::Caution,
    summary: "two voices keep the same rhythm for longer than a beat",
    page: include_str!("rhythmic_unison.md"),
    source: Source::CommonPractice,
};

/// Voices that go together while others move, and from when to when.
struct Group {
    stretch: Stretch,
    voices: Vec<usize>,
}

impl Group {
    /// Whether two voices that go together within its time belong to it, one of them being in it.
    fn covers(&self, voices: [usize; 2], stretch: Stretch) -> bool {
        let within = self.stretch.onset <= stretch.onset && stretch.end <= self.stretch.end;
        within && voices.iter().any(|voice| self.voices.contains(voice))
    }

    fn join(&mut self, voices: [usize; 2]) {
        self.voices.extend(voices);
        self.voices.sort_unstable();
        self.voices.dedup();
    }
}

/// The notes of voices on a tick, or those that come next.
fn spot(texture: &Texture<'_>, onset: i64, voices: &[usize]) -> Spot {
    let note = |voice: &usize| (*voice, texture.tones(*voice).partition_point(|tone| tone.end <= onset));
    Spot::new(onset, voices.iter().map(note).collect())
}

/// Whether two voices double each other on a tick.
fn is_doubling(pair: Pair<'_>, onset: i64) -> bool {
    Stretch::holding(pair.doublings(), onset).is_some()
}

/// Whether of several voices two do not double each other.
fn are_several(texture: &Texture<'_>, rhythm: &CommonRhythm) -> bool {
    let voices = &rhythm.voices;
    let mut pairs = voices.iter().flat_map(|&one| voices.iter().map(move |&other| (one, other)));
    pairs.any(|(one, other)| {
        one < other && texture.pair(one, other).is_some_and(|pair| !is_doubling(pair, rhythm.stretch.onset))
    })
}

impl RhythmicUnison {
    /// Whether a stretch is long enough, and a rhythm.
    fn is_marked(self, texture: &Texture<'_>, stretch: Stretch) -> bool {
        let longest = texture.accents().pulse_at(stretch.onset).1 * i64::from(self.beats);
        stretch.duration() > longest && stretch.attacks >= self.attacks
    }

    /// Where voices go together and no other moves.
    fn alone(self, texture: &Texture<'_>) -> Vec<CommonRhythm> {
        let mut alone = texture.common_rhythms();
        alone.retain(|it| self.is_marked(texture, it.stretch) && are_several(texture, it));
        alone
    }

    /// Where two voices go together for so many bars while another moves; of chords one group, not each pair.
    fn beside_others(self, texture: &Texture<'_>, alone: &[CommonRhythm]) -> Vec<Group> {
        let unisons = |pair: Pair<'_>| {
            let own = pair.rhythmic_unisons().into_iter();
            let voices = [pair.upper(), pair.lower()];
            own.filter(move |it| !is_doubling(pair, it.onset)).map(|it| (it, voices)).collect::<Vec<_>>()
        };
        let mut marked: Vec<_> = texture.pairs().flat_map(unisons).collect();
        marked.retain(|(stretch, voices)| {
            let longest = texture.accents().bar_at(stretch.onset) * i64::from(self.bars);
            let known = time_known(alone, *voices, *stretch);
            self.is_marked(texture, *stretch) && stretch.duration() - known > longest
        });
        marked.sort_by_key(|(stretch, voices)| (stretch.onset, Reverse(stretch.end), *voices));
        let mut groups: Vec<Group> = Vec::new();
        for (stretch, voices) in marked {
            let recent = groups.iter_mut().rev().take(MAX_VOICES);
            match recent.into_iter().find(|group| group.covers(voices, stretch)) {
                Some(group) if group.stretch.onset == stretch.onset => group.join(voices),
                Some(_) => {}
                None => groups.push(Group { stretch, voices: voices.to_vec() }),
            }
        }
        groups
    }
}

/// For how much of a stretch two voices are known to go together alone.
fn time_known(alone: &[CommonRhythm], voices: [usize; 2], stretch: Stretch) -> i64 {
    let first = alone.partition_point(|it| it.stretch.end <= stretch.onset);
    let within = alone[first..].iter().take_while(|it| it.stretch.onset < stretch.end);
    let known = within.filter(|it| voices.iter().all(|voice| it.voices.contains(voice)));
    known.map(|it| it.stretch.end.min(stretch.end) - it.stretch.onset.max(stretch.onset)).sum()
}

/// The fewest bars of a piece of which it is told that it goes note against note.
const PIECE: i64 = 8;

/// For how long the voices go together, if for more than half of a piece that is no fugue: a chorale is
/// written so on purpose.
fn homophony(texture: &Texture<'_>, alone: &[CommonRhythm]) -> Option<i64> {
    let together: i64 = alone.iter().map(|it| it.stretch.duration()).sum();
    let length = texture.grid().ticks(texture.score().length());
    let is_piece = texture.outline().is_none() && length >= texture.accents().bar_at(0) * PIECE;
    (is_piece && together * 2 > length).then_some(together)
}

impl Rule for RhythmicUnison {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let alone = self.alone(texture);
        if let (Some(together), Some(first)) = (homophony(texture, &alone), alone.first()) {
            let message = format_args!("the voices keep the same rhythm for most of the piece");
            let spot = spot(texture, first.stretch.onset, &first.voices);
            report.add_remark(spot, message, Evidence::of_stretch(texture, together));
            return;
        }
        for CommonRhythm { stretch, voices } in &alone {
            let message = format_args!("{} keep the same rhythm", listed(texture, voices));
            let evidence = Evidence::of_stretch(texture, stretch.duration());
            report.add(spot(texture, stretch.onset, voices), message, evidence);
        }
        for Group { stretch, voices } in self.beside_others(texture, &alone) {
            let message =
                format_args!("{} keep the same rhythm while other voices move", listed(texture, &voices));
            let evidence = Evidence::of_stretch(texture, stretch.duration());
            report.add_lighter(spot(texture, stretch.onset, &voices), message, evidence);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::RhythmicUnison;
    use crate::rules::trial::found;

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
