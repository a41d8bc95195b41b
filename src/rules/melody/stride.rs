//! A voice going from note to note.

use crate::interval::Interval;
use crate::rules::{Evidence, Spot};
use crate::texture::{Texture, Tone};

/// A voice going from a note to the next, no rest and no end of a phrase between: what is sung after a breath
/// is no interval.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stride<'t> {
    pub(super) voice: usize,
    /// The index of the note left.
    pub(super) index: usize,
    pub(super) from: &'t Tone,
    pub(super) to: &'t Tone,
    /// The note after, if no rest comes before it.
    pub(super) after: Option<&'t Tone>,
}

impl Stride<'_> {
    pub(super) fn interval(&self) -> Interval {
        self.to.pitch - self.from.pitch
    }

    pub(super) fn spot(&self) -> Spot {
        Spot::new(self.to.onset, vec![(self.voice, self.index), (self.voice, self.index + 1)])
    }

    pub(super) fn evidence(&self) -> Evidence {
        Evidence::of_melody(self.from.pitch, self.to.pitch)
    }
}

/// All strides of all voices.
pub(super) fn strides<'t>(texture: &'t Texture<'_>) -> impl Iterator<Item = Stride<'t>> {
    (0..texture.voices()).flat_map(move |voice| {
        let tones = texture.tones(voice);
        let pairs = tones.iter().zip(tones.iter().skip(1)).enumerate();
        let goes_on = |(_, (from, to)): &(usize, (&Tone, &Tone))| {
            from.end == to.onset && !texture.ends_phrase(to.onset)
        };
        pairs.filter(goes_on).map(move |(index, (from, to))| Stride {
            voice,
            index,
            from,
            to,
            after: tones.get(index + 2).filter(|after| after.onset == to.end),
        })
    })
}
