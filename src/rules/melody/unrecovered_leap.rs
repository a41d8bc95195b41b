//! Large leaps that are not led back.

use super::restated::is_restated;
use super::stride::{Stride, strides};
use crate::interval::Quality;
use crate::pitch::{Pitch, PitchClass};
use crate::rules::{Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("unrecovered_leap.md")]
#[derive(Clone, Copy, Debug)]
pub struct UnrecoveredLeap {
    /// The smallest leap that must be led back, as a number: 6, the sixth, by default.
    pub smallest: u32,
    /// How it must go on to be marked: anyhow by default.
    pub further: Further,
}

/// How a voice goes on after a leap, in the same direction.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Further {
    /// By step or leap.
    #[default]
    Anyhow,
    /// By another leap, or after a diminished interval by step, to a note that makes no broken chord
    /// with the two before.
    OutOfTheChord,
}

impl Default for UnrecoveredLeap {
    fn default() -> Self {
        Self { smallest: 6, further: Further::Anyhow }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("unrecovered-leap"),
    severity: Severity::Remark,
    summary: "a voice goes on in the direction of a large or diminished leap",
    page: include_str!("unrecovered_leap.md"),
    source: Source::Memory("common practice of strict writing"),
};

impl UnrecoveredLeap {
    /// Whether a leap ought to be led back.
    fn is_large(self, stride: &Stride<'_>) -> bool {
        let interval = stride.interval();
        let is_diminished = matches!(interval.quality(), Quality::Diminished(_)) && interval.number() > 2;
        interval.number() >= self.smallest || is_diminished
    }
}

/// Whether three notes, the octave apart, are root, third, fifth or seventh of one chord.
fn is_broken_chord(notes: [Pitch; 3]) -> bool {
    let notes = notes.map(Pitch::class);
    let is_in = |root: PitchClass, note: PitchClass| {
        let up = root.up_to(note);
        matches!((up.steps(), up.semitones()), (0, 0) | (2, 3 | 4) | (4, 6..=8) | (6, 9..=11))
    };
    notes.iter().any(|&root| notes.iter().all(|&note| is_in(root, note)))
}

/// Whether the voice goes on out of the chord: by leap, or by step from a diminished interval.
fn leaves_the_chord(stride: &Stride<'_>) -> bool {
    let Some(after) = stride.after else { return false };
    let is_diminished = matches!(stride.interval().quality(), Quality::Diminished(_));
    let leaps = (after.pitch - stride.to.pitch).number() > 2;
    (leaps || is_diminished) && !is_broken_chord([stride.from.pitch, stride.to.pitch, after.pitch])
}

/// Whether the voice goes on in the same direction.
fn goes_on(stride: &Stride<'_>) -> bool {
    let next = stride.after.map(|after| after.pitch - stride.to.pitch);
    next.is_some_and(|next| {
        let moves = next.steps() != 0 || next.semitones() != 0;
        moves && next.is_descending() == stride.interval().is_descending()
    })
}

impl Rule for UnrecoveredLeap {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let judged = |it: &Stride<'_>| self.further == Further::Anyhow || leaves_the_chord(it);
        let large = strides(texture).filter(|it| self.is_large(it) && goes_on(it) && judged(it));
        for stride in large.filter(|stride| !is_restated(texture, stride)) {
            let way = if stride.interval().is_descending() { "falling" } else { "rising" };
            let voice = texture.name(stride.voice);
            report.add(stride.spot(), format_args!("{voice} goes on {way} after a leap"), stride.evidence());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::UnrecoveredLeap;
    use crate::rules::trial::found;

    #[test]
    fn finds_sixth_that_goes_on() {
        assert_eq!(
            found(&UnrecoveredLeap::default(), "4/4", &["C4:1/4 A4 B4:1/2"]),
            ["bar 1, beat 2: Remark [(0, 0), (0, 1)] soprano goes on rising after a leap"]
        );
    }

    #[test]
    fn finds_diminished_fourth_that_goes_on() {
        assert_eq!(
            found(&UnrecoveredLeap::default(), "4/4", &["C5:1/4 G#4 F#4:1/2"]),
            ["bar 1, beat 2: Remark [(0, 0), (0, 1)] soprano goes on falling after a leap"]
        );
    }

    #[test]
    fn allows_turning_back_repetition_and_rest() {
        let rule = UnrecoveredLeap::default();
        assert!(found(&rule, "4/4", &["C4:1/4 A4 G4:1/2", "C4:1/4 A4 A4:1/2", "C4:1/4 A4 R:1/2"]).is_empty());
        assert!(found(&rule, "4/4", &["C5:1/4 G#4 A4:1/2"]).is_empty());
    }

    #[test]
    fn allows_fifth_that_goes_on() {
        assert!(found(&UnrecoveredLeap::default(), "4/4", &["C4:1/4 G4 A4:1/2"]).is_empty());
    }
}
