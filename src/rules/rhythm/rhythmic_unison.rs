//! Two voices in one rhythm.

use crate::ensemble::MAX_VOICES;
use crate::rules::words::listed;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Pair, Stretch, Texture};
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

/// Voices that go together, and from when to when.
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

    fn join(&mut self, voices: &[usize]) {
        self.voices.extend(voices);
        self.voices.sort_unstable();
        self.voices.dedup();
    }

    /// Whether no other voice begins a note of its own meanwhile.
    fn is_alone(&self, texture: &Texture<'_>) -> bool {
        let Stretch { onset, end, .. } = self.stretch;
        let mut others = (0..texture.voices()).filter(|voice| !self.voices.contains(voice));
        !others.any(|voice| {
            let tones = texture.tones(voice);
            let first = tones.partition_point(|tone| tone.onset <= onset);
            tones.get(first).is_some_and(|tone| tone.onset < end)
        })
    }

    /// The notes of its voices as it begins.
    fn spot(&self, texture: &Texture<'_>) -> Spot {
        let onset = self.stretch.onset;
        let note = |voice: &usize| (*voice, texture.tones(*voice).partition_point(|tone| tone.end <= onset));
        Spot::new(onset, self.voices.iter().map(note).collect())
    }
}

/// Where two voices go together and do not double each other.
fn unisons(pair: Pair<'_>) -> impl Iterator<Item = (Stretch, [usize; 2])> {
    let is_doubling = move |it: &Stretch| Stretch::holding(pair.doublings(), it.onset).is_some();
    let own = pair.rhythmic_unisons().into_iter().filter(move |it| !is_doubling(it));
    own.map(move |stretch| (stretch, [pair.upper(), pair.lower()]))
}

impl RhythmicUnison {
    /// Whether a stretch is long enough, and a rhythm.
    fn is_marked(self, texture: &Texture<'_>, stretch: Stretch) -> bool {
        let longest = texture.accents().pulse_at(stretch.onset).1 * i64::from(self.beats);
        stretch.duration() > longest && stretch.attacks >= self.attacks
    }

    /// The voices that go together; of chords one group, not each pair.
    fn groups(self, texture: &Texture<'_>) -> Vec<Group> {
        let all = texture.pairs().flat_map(unisons);
        let mut marked: Vec<_> = all.filter(|(stretch, _)| self.is_marked(texture, *stretch)).collect();
        marked.sort_by_key(|(stretch, voices)| (stretch.onset, Reverse(stretch.end), *voices));
        let mut groups: Vec<Group> = Vec::new();
        for &(stretch, voices) in &marked {
            let recent = groups.iter_mut().rev().take(MAX_VOICES);
            match recent.into_iter().find(|group| group.covers(voices, stretch)) {
                Some(group) if group.stretch.onset == stretch.onset => group.join(&voices),
                Some(_) => {}
                None => groups.push(Group { stretch, voices: voices.to_vec() }),
            }
        }
        for (stretch, voices) in marked {
            unite(&mut groups, stretch, voices);
        }
        groups
    }
}

/// Two pairs that come to keep one rhythm are told of together, where the later of them begins.
fn unite(groups: &mut [Group], stretch: Stretch, voices: [usize; 2]) {
    let later = groups.partition_point(|group| group.stretch.onset < stretch.onset);
    let (earlier, later) = groups.split_at_mut(later);
    let Some(later) = later.first_mut().filter(|it| it.stretch.onset == stretch.onset) else { return };
    let is_between = |group: &Group| {
        let parted = |one: usize, other: usize| {
            group.voices.contains(&voices[one]) && later.voices.contains(&voices[other])
        };
        group.covers(voices, later.stretch)
            && stretch.end >= later.stretch.end
            && (parted(0, 1) || parted(1, 0))
    };
    if let Some(group) = earlier.iter().rev().take(MAX_VOICES).find(|group| is_between(group)) {
        later.join(&group.voices);
    }
}

/// The fewest bars of a piece of which it is told that it goes note against note.
const PIECE: i64 = 8;

/// For how long the voices go together, if for more than half of a piece that is no fugue: a chorale is
/// written so on purpose.
fn homophony(texture: &Texture<'_>, groups: &[Group]) -> Option<i64> {
    let alone = groups.iter().filter(|group| group.is_alone(texture));
    let (mut together, mut covered) = (0, i64::MIN);
    for Stretch { onset, end, .. } in alone.map(|group| group.stretch) {
        together += (end - onset.max(covered)).max(0);
        covered = covered.max(end);
    }
    let length = texture.grid().ticks(texture.score().length());
    let is_piece = texture.outline().is_none() && length >= texture.accents().bar_at(0) * PIECE;
    (is_piece && together * 2 > length).then_some(together)
}

impl Rule for RhythmicUnison {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    /// Where no fugue is known, most of the piece may be in one rhythm.
    fn reach(&self, texture: &Texture<'_>) -> Reach {
        if texture.outline().is_none() {
            return Reach::Piece;
        }
        let all = || texture.pairs().flat_map(unisons).map(|(stretch, _)| stretch);
        let octaves = texture.pairs().flat_map(Pair::octave_runs);
        Reach::joined(all().chain(octaves), all().filter(|stretch| self.is_marked(texture, *stretch)))
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let groups = self.groups(texture);
        if let (Some(together), Some(first)) = (homophony(texture, &groups), groups.first()) {
            let message = format_args!("the voices keep the same rhythm for most of the piece");
            report.add_remark(first.spot(texture), message, Evidence::of_stretch(texture, together));
            return;
        }
        for group in groups {
            let names = listed(texture, &group.voices);
            let (spot, stretch) = (group.spot(texture), group.stretch);
            let evidence = Evidence::of_stretch(texture, stretch.duration());
            if group.is_alone(texture) {
                report.add(spot, format_args!("{names} keep the same rhythm"), evidence);
            } else if stretch.duration() > texture.accents().bar_at(stretch.onset) * i64::from(self.bars) {
                let message = format_args!("{names} keep the same rhythm while other voices move");
                report.add_lighter(spot, message, evidence);
            }
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
