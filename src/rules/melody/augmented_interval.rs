//! Augmented intervals in a line.

use super::Leaps;
use super::restated::is_restated;
use super::stride::{Stride, strides};
use crate::interval::{Interval, Quality};
use crate::rules::chord::is_one_chord;
use crate::rules::words::Going;
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("augmented_interval.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct AugmentedInterval {
    /// Whether an augmented fourth or fifth that goes home, and any augmented interval of a broken chord,
    /// weighs like another: in strict writing, by default; in free writing it is a lighter matter.
    pub leaps: Leaps,
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("augmented-interval"),
    severity: Severity::Caution,
    summary: "a voice moves by an augmented interval",
    page: include_str!("augmented_interval.md"),
    source: Source::Memory("common practice of strict writing"),
};

/// Whether the note reached goes on by a semitone the same way, as its tension wants: a leading note
/// reached by a tritone from below rises.
fn goes_home(stride: &Stride<'_>) -> bool {
    let next = stride.after.map(|after| after.pitch - stride.to.pitch);
    let is_semitone = |next: &Interval| next.number() == 2 && next.semitones().abs() == 1;
    next.filter(is_semitone).is_some_and(|next| next.is_descending() == stride.interval().is_descending())
}

/// Whether the notes before and after make a broken chord with the two, as of the diminished seventh, and
/// none of them is a step away: the ear hears one harmony, and no melody.
fn breaks_chord(texture: &Texture<'_>, stride: &Stride<'_>) -> bool {
    let before = stride.index.checked_sub(1).and_then(|before| texture.tones(stride.voice).get(before));
    let before = before.filter(|before| before.end == stride.from.onset);
    let leaps =
        [before.map(|it| stride.from.pitch - it.pitch), stride.after.map(|it| it.pitch - stride.to.pitch)];
    let around = before.into_iter().chain(stride.after).map(|tone| tone.pitch.class());
    let ends = [stride.from.pitch.class(), stride.to.pitch.class()];
    let notes: Vec<_> = around.chain(ends).collect();
    let has_step = leaps.iter().flatten().any(|it| it.number() == 2);
    !has_step && notes.iter().any(|note| !ends.contains(note)) && is_one_chord(&notes)
}

impl Rule for AugmentedInterval {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for stride in strides(texture) {
            let interval = stride.interval();
            let is_augmented = matches!(interval.quality(), Quality::Augmented(_));
            if !is_augmented || interval.steps() == 0 || is_restated(texture, &stride) {
                continue;
            }
            let (voice, going) = (texture.name(stride.voice), Going(interval));
            let message = format_args!("{voice} {going}");
            let is_mild = || (interval.number() > 2 && goes_home(&stride)) || breaks_chord(texture, &stride);
            if self.leaps == Leaps::Free && is_mild() {
                report.add_lighter(stride.spot(), message, stride.evidence());
            } else {
                report.add(stride.spot(), message, stride.evidence());
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{AugmentedInterval, Leaps};
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found, found_in_fugue};

    #[test]
    fn finds_augmented_second_and_fourth() {
        assert_eq!(
            found(&AugmentedInterval::default(), "4/4", &["F4:1/4 G#4 A4:1/2"]),
            ["bar 1, beat 2: Caution [(0, 0), (0, 1)] soprano rises an augmented second"]
        );
        assert_eq!(
            found(&AugmentedInterval::default(), "4/4", &["B4:1/4 F4 E4:1/2"]),
            ["bar 1, beat 2: Caution [(0, 0), (0, 1)] soprano falls an augmented fourth"]
        );
    }

    #[test]
    fn finds_a_tritone_that_goes_home_as_a_lighter_matter_where_the_style_is_free() {
        let free = AugmentedInterval { leaps: Leaps::Free };
        let rows = [
            ("F4:1/4 B4 C5:1/2", "Remark"),
            ("F4:1/4 B4 A4:1/2", "Caution"),
            ("F4:1/4 G#4 A4:1/2", "Caution"),
            ("D4:1/4 F4 G#4 B4", "Remark"),
            ("E4:1/4 F4 G#4 B4", "Caution"),
        ];
        for (line, severity) in rows {
            assert!(found(&free, "4/4", &[line])[0].contains(severity), "{line}");
            assert!(found(&AugmentedInterval::default(), "4/4", &[line])[0].contains("Caution"), "{line}");
        }
    }

    /// A subject with a tritone was once marked at every entry.
    #[test]
    fn finds_the_interval_of_a_theme_at_its_first_entry_alone() {
        let lines = ["R:1 G4:1/4 C#5 D5 B4", "C4:1/4 F#4 G4 E4 D4:1"];
        let entries = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        let marks = found_in_fugue(&AugmentedInterval::default(), &lines, &entries);
        assert_eq!(marks, ["bar 1, beat 2: Caution [(1, 0), (1, 1)] alto rises an augmented fourth"]);
    }

    #[test]
    fn allows_chromatic_semitone() {
        assert!(found(&AugmentedInterval::default(), "4/4", &["F4:1/4 F#4 G4:1/2"]).is_empty());
    }

    #[test]
    fn allows_diminished_fifth_and_a_rest_between() {
        assert!(found(&AugmentedInterval::default(), "4/4", &["F5:1/4 B4 C5:1/2"]).is_empty());
        assert!(found(&AugmentedInterval::default(), "4/4", &["F4:1/4 R G#4:1/2"]).is_empty());
    }
}
