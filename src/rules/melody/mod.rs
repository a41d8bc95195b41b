//! How one voice goes: its intervals, its leaps, its leading notes.

mod augmented_interval;
mod hanging_leading_note;
mod unrecovered_leap;
mod wide_leap;

pub use augmented_interval::AugmentedInterval;
pub use hanging_leading_note::HangingLeadingNote;
pub use unrecovered_leap::UnrecoveredLeap;
pub use wide_leap::WideLeap;

use crate::interval::Interval;
use crate::rules::{Evidence, Spot};
use crate::texture::{Texture, Tone};

/// A voice going from a note to the next, no rest between.
#[derive(Clone, Copy, Debug)]
struct Stride<'t> {
    voice: usize,
    /// The index of the note left.
    index: usize,
    from: &'t Tone,
    to: &'t Tone,
    /// The note after, if no rest comes before it.
    after: Option<&'t Tone>,
}

impl Stride<'_> {
    fn interval(&self) -> Interval {
        self.to.pitch - self.from.pitch
    }

    fn spot(&self) -> Spot {
        Spot::new(self.to.onset, vec![(self.voice, self.index), (self.voice, self.index + 1)])
    }

    fn evidence(&self) -> Evidence {
        Evidence::of_melody(self.from.pitch, self.to.pitch)
    }
}

/// All strides of all voices.
fn strides<'t>(texture: &'t Texture<'_>) -> impl Iterator<Item = Stride<'t>> {
    (0..texture.voices()).flat_map(move |voice| {
        let tones = texture.tones(voice);
        let pairs = tones.iter().zip(tones.iter().skip(1)).enumerate();
        pairs.filter(|(_, (from, to))| from.end == to.onset).map(move |(index, (from, to))| Stride {
            voice,
            index,
            from,
            to,
            after: tones.get(index + 2).filter(|after| after.onset == to.end),
        })
    })
}
