//! Large leaps that are not led back.

use super::restated::is_restated;
use super::stride::{Stride, strides};
use crate::interval::{Interval, Quality};
use crate::pitch::Pitch;
use crate::rules::chord::is_one_chord;
use crate::rules::words::Words;
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
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
    /// By another leap, to a note that makes no broken chord with the two before, or by step after a
    /// diminished interval.
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
        let is_diminished = || matches!(interval.quality(), Quality::Diminished(_));
        interval.number() >= self.smallest || (interval.number() > 2 && is_diminished())
    }
}

/// Whether the voice goes on out of the chord: by leap, or by step from a diminished interval.
fn leaves_the_chord(stride: &Stride<'_>) -> bool {
    let Some(after) = stride.after else { return false };
    let is_diminished = matches!(stride.interval().quality(), Quality::Diminished(_));
    let leaps = (after.pitch - stride.to.pitch).number() > 2;
    let notes = [stride.from.pitch, stride.to.pitch, after.pitch].map(Pitch::class);
    if leaps { !is_one_chord(&notes) } else { is_diminished }
}

/// Whether the voice goes on in the same direction.
fn goes_on(stride: &Stride<'_>) -> bool {
    let next = stride.after.map(|after| after.pitch - stride.to.pitch);
    next.is_some_and(|next| {
        let moves = next.steps() != 0 || next.semitones() != 0;
        moves && next.is_descending() == stride.interval().is_descending()
    })
}

/// The leap and how it goes on: the same figure, at whatever height.
fn figure(stride: &Stride<'_>) -> (Interval, Option<Interval>) {
    (stride.interval(), stride.after.map(|after| after.pitch - stride.to.pitch))
}

/// How often the first of some figures comes again, as the end of a clause.
fn again(figures: &[(Interval, Option<Interval>)]) -> String {
    let Some((first, later)) = figures.split_first() else { return String::new() };
    match later.iter().filter(|figure| *figure == first).count() {
        0 => String::new(),
        1 => ", and once more in the piece".to_owned(),
        2 => ", and twice more in the piece".to_owned(),
        count => format!(", and {count} times more in the piece"),
    }
}

impl Rule for UnrecoveredLeap {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    /// In the free style a figure that comes again anywhere is marked once.
    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        match self.further {
            Further::Anyhow => Reach::near(),
            Further::OutOfTheChord => Reach::Piece,
        }
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let judged = |it: &Stride<'_>| self.further == Further::Anyhow || leaves_the_chord(it);
        let large = strides(texture).filter(|it| self.is_large(it) && goes_on(it) && judged(it));
        let large: Vec<_> = large.filter(|stride| !is_restated(texture, stride)).collect();
        let figures: Vec<_> = large.iter().map(figure).collect();
        for (index, stride) in large.iter().enumerate() {
            let is_free = self.further == Further::OutOfTheChord;
            if is_free && figures[..index].contains(&figures[index]) {
                continue;
            }
            let way = if stride.interval().is_descending() { "falling" } else { "rising" };
            let (voice, leap) = (texture.name(stride.voice), Words(stride.interval()));
            let again = if is_free { again(&figures[index..]) } else { String::new() };
            let message = format_args!("{voice} goes on {way} after {leap}{again}");
            report.add(stride.spot(), message, stride.evidence());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Further, UnrecoveredLeap};
    use crate::rules::trial::found;

    #[test]
    fn finds_sixth_that_goes_on() {
        assert_eq!(
            found(&UnrecoveredLeap::default(), "4/4", &["C4:1/4 A4 B4:1/2"]),
            ["bar 1, beat 2: Remark [(0, 0), (0, 1)] soprano goes on rising after a major sixth"]
        );
    }

    #[test]
    fn finds_diminished_fourth_that_goes_on() {
        assert_eq!(
            found(&UnrecoveredLeap::default(), "4/4", &["C5:1/4 G#4 F#4:1/2"]),
            ["bar 1, beat 2: Remark [(0, 0), (0, 1)] soprano goes on falling after a diminished fourth"]
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

    #[test]
    fn allows_a_step_and_a_broken_chord_where_the_style_is_free() {
        let free = UnrecoveredLeap { further: Further::OutOfTheChord, ..UnrecoveredLeap::default() };
        for line in ["C4:1/4 A4 B4:1/2", "D5:1/4 F#4 C4:1/2", "C5:1/4 F#4 D4:1/2", "E3:1/4 E4 A4:1/2"] {
            assert!(found(&free, "4/4", &[line]).is_empty(), "{line}");
        }
        for line in ["C4:1/4 B4 D5:1/2", "F5:1/4 B4 A4:1/2"] {
            assert_eq!(found(&free, "4/4", &[line]).len(), 1, "{line}");
        }
    }

    /// A subject of its own, which nobody announced, was once marked at each of its twenty entries.
    #[test]
    fn finds_a_figure_that_comes_again_once_where_the_style_is_free() {
        let free = UnrecoveredLeap { further: Further::OutOfTheChord, ..UnrecoveredLeap::default() };
        let line = "F5:1/4 B4 A4 C5 Eb5 A4 G4 E5 F5 B4 A4:1/2";
        assert_eq!(
            found(&free, "4/4", &[line]),
            [
                "bar 1, beat 2: Remark [(0, 0), (0, 1)] soprano goes on falling after a diminished fifth, and twice more in the piece"
            ]
        );
    }
}
