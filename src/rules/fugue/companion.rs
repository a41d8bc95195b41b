//! Where the countersubject goes without its theme.

use super::statement::{Statement, countersubjects, theme_of};
use crate::interval::Interval;
use crate::texture::{Texture, Tone};
use std::cmp::Reverse;
use std::ops::Range;

/// The fewest notes by which it is known again.
const FEWEST: usize = 4;

/// The countersubject, and how long after the theme it begins. Where it sounds, the theme is missed: the two go
/// together (Prout, *Fugue*, §§159-160).
pub(super) struct Companion<'t> {
    tones: &'t [Tone],
    after: i64,
}

impl<'t> Companion<'t> {
    /// As it first goes with one of the themes; `None` if there is none.
    pub(super) fn of(texture: &'t Texture<'_>, themes: &[Statement<'_>]) -> Option<Self> {
        let stated = countersubjects(texture);
        let (first, theme) = stated.iter().find_map(|it| Some((it, theme_of(themes, it)?)))?;
        let tones = texture.tones(first.voice()).get(first.entry.notes.clone())?;
        (tones.len() >= FEWEST).then_some(Self { tones, after: first.onset - theme.onset })
    }

    /// When the theme would begin, within these ticks, that goes with what some voice has: of several, with what is most
    /// like the countersubject, and the first.
    pub(super) fn theme_within(&self, texture: &Texture<'_>, ticks: &Range<i64>) -> Option<i64> {
        let voices = (0..texture.voices()).map(|voice| texture.tones(voice));
        let stated = voices
            .flat_map(|tones| (0..=self.spare()).flat_map(|left_out| self.stated(tones, left_out, ticks)));
        stated.max().map(|(_, Reverse(onset))| onset)
    }

    /// How many notes may be missing: a countersubject has four in five.
    const fn spare(&self) -> usize {
        self.tones.len() / 5
    }

    /// Where a voice has it within these ticks without so many of its first notes, which may have been the end of what went
    /// before: how many notes are alike, and when the theme would begin.
    fn stated(&self, tones: &[Tone], left_out: usize, ticks: &Range<i64>) -> Vec<(usize, Reverse<i64>)> {
        let own = &self.tones[left_out..];
        let Some(after) =
            own.first().zip(self.tones.first()).map(|(one, head)| self.after + one.onset - head.onset)
        else {
            return Vec::new();
        };
        let [from, to] =
            [ticks.start, ticks.end].map(|tick| tones.partition_point(|it| it.onset < tick + after));
        let stated =
            (from..to).map(|index| (alike(own, &tones[index..]), Reverse(tones[index].onset - after)));
        stated.filter(|(alike, _)| alike + self.spare() >= self.tones.len()).collect()
    }
}

/// How many notes have their place, and their line or the one beside it, as from a tonal answer.
fn alike(own: &[Tone], tones: &[Tone]) -> usize {
    let (Some(head), Some(first)) = (own.first(), tones.first()) else { return 0 };
    let is_alike = |(own, tone): &(&Tone, &Tone)| {
        let [up, due] = [tone.pitch - first.pitch, own.pitch - head.pitch].map(Interval::steps);
        tone.onset - first.onset == own.onset - head.onset && matches!((up - due).rem_euclid(7), 0 | 1 | 6)
    };
    own.iter().zip(tones).filter(is_alike).count()
}
