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
        let stated = (0..texture.voices()).flat_map(|voice| {
            let tones = texture.tones(voice);
            let [from, to] =
                [ticks.start, ticks.end].map(|tick| tones.partition_point(|it| it.onset < tick + self.after));
            (from..to).map(|index| (self.alike(&tones[index..]), Reverse(tones[index].onset - self.after)))
        });
        let best = stated.filter(|(alike, _)| 5 * alike >= 4 * self.tones.len()).max();
        best.map(|(_, Reverse(onset))| onset)
    }

    /// How many notes have their place, and their line or the one beside it, as from a tonal answer: a countersubject
    /// has four in five.
    fn alike(&self, tones: &[Tone]) -> usize {
        let (Some(head), Some(first)) = (self.tones.first(), tones.first()) else { return 0 };
        let is_alike = |(own, tone): &(&Tone, &Tone)| {
            let [up, due] = [tone.pitch - first.pitch, own.pitch - head.pitch].map(Interval::steps);
            tone.onset - first.onset == own.onset - head.onset && (up - due).abs() <= 1
        };
        self.tones.iter().zip(tones).filter(is_alike).count()
    }
}
