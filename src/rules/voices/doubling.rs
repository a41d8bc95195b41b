//! Two voices with one line.

use crate::ensemble::MAX_VOICES;
use crate::rules::words::listed;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Pair, Stretch, Texture};
use std::cmp::Reverse;

#[doc = include_str!("doubling.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct Doubling;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("doubling"),
    severity: Severity::Remark,
    summary: "two voices have one line in unison or octaves for a passage",
    page: include_str!("doubling.md"),
    source: Source::CommonPractice,
};

/// Voices with one line, from when to when.
struct Group {
    stretch: Stretch,
    voices: Vec<usize>,
}

impl Group {
    /// Whether two voices that double each other for a while belong to it, one of them being in it.
    fn covers(&self, pair: Pair<'_>, stretch: Stretch) -> bool {
        let begins_within = self.stretch.contains(stretch.onset) || self.stretch.onset == stretch.onset;
        begins_within && [pair.upper(), pair.lower()].iter().any(|voice| self.voices.contains(voice))
    }

    fn join(&mut self, pair: Pair<'_>, stretch: Stretch) {
        self.voices.extend([pair.upper(), pair.lower()]);
        self.voices.sort_unstable();
        self.voices.dedup();
        let attacks = self.stretch.attacks.max(stretch.attacks);
        self.stretch = Stretch { end: self.stretch.end.max(stretch.end), attacks, ..self.stretch };
    }

    /// The notes of its voices as it begins.
    fn spot(&self, texture: &Texture<'_>) -> Spot {
        let onset = self.stretch.onset;
        let note = |&voice: &usize| {
            let note = texture.tones(voice).partition_point(|tone| tone.end <= onset);
            texture.tones(voice).get(note).map(|_| (voice, note))
        };
        Spot::new(onset, self.voices.iter().filter_map(note).collect())
    }
}

/// Who doubles whom: of several voices in unison one group, not each pair.
fn groups(texture: &Texture<'_>) -> Vec<Group> {
    let all = texture.own_pairs().flat_map(|pair| pair.doublings().iter().map(move |&it| (it, pair)));
    let mut all: Vec<(Stretch, Pair<'_>)> = all.collect();
    all.sort_by_key(|(stretch, pair)| (stretch.onset, Reverse(stretch.end), pair.upper(), pair.lower()));
    let mut groups: Vec<Group> = Vec::new();
    for (stretch, pair) in all {
        let mut recent = groups.iter_mut().rev().take(MAX_VOICES);
        match recent.find(|group| group.covers(pair, stretch)) {
            Some(group) => group.join(pair, stretch),
            None => groups.push(Group { stretch, voices: vec![pair.upper(), pair.lower()] }),
        }
    }
    groups
}

impl Rule for Doubling {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        let doublings = texture.own_pairs().flat_map(|pair| pair.doublings().iter().copied());
        Reach::joined(texture.own_pairs().flat_map(Pair::octave_runs), doublings)
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for group in groups(texture) {
            let (names, notes) = (listed(texture, &group.voices), group.stretch.attacks);
            let evidence = Evidence::of_stretch(texture, group.stretch.duration());
            let message = format_args!("{names} double each other for {notes} notes");
            report.add(group.spot(texture), message, evidence);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Doubling;
    use crate::rules::trial::{found, found_by_name};

    #[test]
    fn finds_a_passage_in_octaves_once() {
        assert_eq!(
            found(&Doubling, "4/4", &["C5:1/4 D5 E5 F5 G5:1", "C4:1/4 D4 E4 F4 E4:1"]),
            ["bar 1, beat 1: Remark [(0, 0), (1, 0)] soprano and alto double each other for 4 notes"]
        );
    }

    /// A quartet in unison was once told of six times.
    #[test]
    fn finds_several_voices_in_unison_once() {
        let line = "C4:1/4 D4 E4 F4";
        assert_eq!(
            found(&Doubling, "4/4", &["C5:1/4 D5 E5 F5", line, line]),
            [
                "bar 1, beat 1: Remark [(0, 0), (1, 0), (2, 0)] soprano, alto and tenor double each other for 4 notes"
            ]
        );
    }

    /// A continuo has the bass's line: that is its task.
    #[test]
    fn allows_an_instrument_to_go_with_a_choir() {
        let (line, choir) = ("C3:1/4 D3 E3 F3", [("Soprano", "C5:1"), ("Alto", "E4:1")]);
        let basses = [("Bass", line), ("Continuo", line)];
        assert!(found_by_name(&Doubling, &[&choir[..], &basses[..]].concat()).is_empty());
        assert_eq!(found_by_name(&Doubling, &basses).len(), 1);
    }

    #[test]
    fn allows_two_octaves_which_are_another_matter() {
        assert!(found(&Doubling, "4/4", &["C5:1/4 D5 E5:1/2", "C4:1/4 D4 C4:1/2"]).is_empty());
    }
}
