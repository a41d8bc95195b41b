//! Notes struck again and again.

use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Texture, Tone};

#[doc = include_str!("idle_repetition.md")]
#[derive(Clone, Copy, Debug)]
pub struct IdleRepetition {
    /// How often in succession a note may be struck: 4 times by default.
    pub times: usize,
}

impl Default for IdleRepetition {
    fn default() -> Self {
        Self { times: 4 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("idle-repetition"),
    severity: Severity::Remark,
    summary: "a voice strikes one note many times in succession",
    page: include_str!("idle_repetition.md"),
    source: Source::CommonPractice,
};

/// The runs of one pitch without a rest: the index of the first note and how many there are.
fn runs(tones: &[Tone]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (index, tone) in tones.iter().enumerate() {
        let before = index.checked_sub(1).and_then(|before| tones.get(before));
        let goes_on = before.is_some_and(|before| before.pitch == tone.pitch && before.end == tone.onset);
        match runs.last_mut().filter(|_| goes_on) {
            Some((_, count)) => *count += 1,
            None => runs.push((index, 1)),
        }
    }
    runs
}

/// Whether a run lies in an entry of the fugue, which is as its theme is.
fn is_thematic(texture: &Texture<'_>, voice: usize, first: usize, count: usize) -> bool {
    let entries = texture.outline().into_iter().flat_map(|outline| &outline.entries);
    let mut own = entries.filter(|entry| entry.voice == voice);
    own.any(|entry| entry.notes.start < first + count && first < entry.notes.end)
}

impl Rule for IdleRepetition {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        let all = (0..texture.voices()).flat_map(|voice| {
            let tones = texture.tones(voice);
            runs(tones)
                .into_iter()
                .filter_map(|(first, count)| Some((tones.get(first)?, tones.get(first + count - 1)?)))
        });
        Reach::Near(all.map(|(from, to)| from.onset..to.end).collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for voice in 0..texture.voices() {
            let tones = texture.tones(voice);
            let long = runs(tones).into_iter().filter(|(_, count)| *count > self.times);
            for (first, count) in long.filter(|(first, count)| !is_thematic(texture, voice, *first, *count)) {
                let (Some(from), Some(to)) = (tones.get(first), tones.get(first + count - 1)) else {
                    continue;
                };
                let spot = Spot::new(from.onset, (first..first + count).map(|note| (voice, note)).collect());
                let (name, pitch) = (texture.name(voice), from.pitch);
                let message = format_args!("{name} strikes {pitch} {count} times in succession");
                report.add(spot, message, Evidence::of_stretch(texture, to.end - from.onset));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::IdleRepetition;
    use crate::exposition::Role::Subject;
    use crate::rules::trial::{found, found_in_fugue};

    const LINE: &str = "C5:1/4 D5:1/8 D5 D5 D5 D5:1/4 C5:1";

    #[test]
    fn finds_a_note_struck_five_times() {
        assert_eq!(
            found(&IdleRepetition::default(), "4/4", &[LINE]),
            ["bar 1, beat 2: Remark [(0, 1), (0, 2), (0, 3), (0, 4), (0, 5)] \
                 soprano strikes D5 5 times in succession"]
        );
    }

    #[test]
    fn allows_four_times_and_a_rest_between() {
        let rule = IdleRepetition::default();
        assert!(found(&rule, "4/4", &["C5:1/4 D5 D5 D5 D5 C5:3/4"]).is_empty());
        assert!(found(&rule, "4/4", &["D5:1/4 D5 D5 R D5 D5 D5:1/2"]).is_empty());
    }

    #[test]
    fn allows_the_theme_to_repeat_its_note() {
        assert!(found_in_fugue(&IdleRepetition::default(), &[LINE], &[(Subject, 0, 0..7)]).is_empty());
    }
}
