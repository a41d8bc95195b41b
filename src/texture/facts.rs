//! The facts of a score, found once.

use super::accent::Accents;
use super::dissonance::{self, Dissonance};
use super::pair::{self, BassSpan, Pair, Slot};
use super::rhythm::Stretch;
use super::sonority::Sonorities;
use super::tone::{self, Tone};
use crate::exposition::Outline;
use crate::meter::Strength;
use crate::score::{Place, Score};
use crate::time::{Grid, Time};
use std::ops::Range;
use std::sync::OnceLock;

/// Two parts, where their slots lie, and where they double each other once somebody has asked.
#[derive(Clone, Debug)]
struct PairSpan {
    upper: usize,
    lower: usize,
    slots: Range<usize>,
    doublings: OnceLock<Vec<Stretch>>,
}

/// The facts of a score.
#[derive(Debug)]
pub struct Texture<'a> {
    score: &'a Score,
    outline: Option<&'a Outline>,
    grid: Grid,
    accents: Accents,
    /// The notes of all voices, one voice after the other.
    tones: Vec<Vec<Tone>>,
    /// The slots of all pairs, one pair after the other.
    slots: Vec<Slot>,
    pairs: Vec<PairSpan>,
    /// Found when somebody asks.
    dissonances: OnceLock<Vec<Dissonance>>,
}

impl<'a> Texture<'a> {
    /// The facts of a score. It cannot fail: a score guarantees its grid.
    pub fn of(score: &'a Score) -> Self {
        let grid = score.grid().unwrap_or(Grid::WHOLE);
        let accents = Accents::new(score.meters(), grid);
        let tones = score.parts().iter().map(|part| tone::tones(&part.line, grid)).collect();
        let (slots, pairs, dissonances) = (Vec::new(), Vec::new(), OnceLock::new());
        let mut texture = Self { score, outline: None, grid, accents, tones, slots, pairs, dissonances };
        texture.find_pairs();
        texture
    }

    /// With the outline of the fugue, for the rules that ask for entries; with none if it is no fugue.
    #[must_use]
    pub fn with_outline(self, outline: impl Into<Option<&'a Outline>>) -> Self {
        Self { outline: outline.into(), ..self }
    }

    /// The outline of the fugue, if one is known.
    pub const fn outline(&self) -> Option<&'a Outline> {
        self.outline
    }

    fn find_pairs(&mut self) {
        let bass = self.bass();
        for (lower, below) in self.tones.iter().enumerate() {
            for (upper, above) in self.tones.iter().enumerate().take(lower) {
                let start = self.slots.len();
                pair::slots([upper, lower], [above, below], &bass, &mut self.slots);
                let (slots, doublings) = (start..self.slots.len(), OnceLock::new());
                self.pairs.push(PairSpan { upper, lower, slots, doublings });
            }
        }
    }

    /// The lowest sounding voice, wherever it changes.
    fn bass(&self) -> Vec<BassSpan> {
        let mut bass: Vec<BassSpan> = Vec::new();
        for sonority in self.sonorities() {
            let voice = sonority.lowest().and_then(|voice| u8::try_from(voice).ok()).unwrap_or(u8::MAX);
            if bass.last().is_none_or(|last| last.voice != voice) {
                bass.push(BassSpan { onset: sonority.onset(), voice });
            }
        }
        bass
    }

    /// The score.
    pub const fn score(&self) -> &'a Score {
        self.score
    }

    /// The grid of its ticks.
    pub const fn grid(&self) -> Grid {
        self.grid
    }

    /// How heavy each tick is.
    pub const fn accents(&self) -> &Accents {
        &self.accents
    }

    /// How heavy a tick is.
    pub fn strength(&self, tick: i64) -> Strength {
        self.accents.strength(tick)
    }

    /// The number of voices.
    pub fn voices(&self) -> usize {
        self.tones.len()
    }

    /// The name of a voice; empty if there is none of that number.
    pub fn name(&self, voice: usize) -> &'a str {
        self.score.parts().get(voice).map_or("", |part| part.voice.name())
    }

    /// The notes of a voice; none if there is no voice of that number.
    pub fn tones(&self, voice: usize) -> &[Tone] {
        self.tones.get(voice).map_or(&[], Vec::as_slice)
    }

    /// The note that a voice sounds on a tick. Cost: logarithmic.
    pub fn sounding(&self, voice: usize, tick: i64) -> Option<&Tone> {
        let tones = self.tones(voice);
        let after = tones.partition_point(|tone| tone.end <= tick);
        tones.get(after).filter(|tone| tone.onset <= tick)
    }

    /// The first note that a voice strikes on a tick or after it. Cost: logarithmic.
    pub fn struck_from(&self, voice: usize, tick: i64) -> Option<&Tone> {
        let tones = self.tones(voice);
        tones.get(tones.partition_point(|tone| tone.onset < tick))
    }

    /// What sounds together, from each change anywhere to the next.
    pub fn sonorities(&self) -> Sonorities<'_> {
        Sonorities::of(self)
    }

    /// All pairs of voices, each with its upper part first.
    pub fn pairs(&self) -> impl Iterator<Item = Pair<'_>> {
        self.pairs.iter().map(|span| Pair {
            texture: self,
            upper: span.upper,
            lower: span.lower,
            tones: [self.tones(span.upper), self.tones(span.lower)],
            slots: self.slots.get(span.slots.clone()).unwrap_or(&[]),
            doublings: &span.doublings,
        })
    }

    /// The pair of two voices, in either order.
    pub fn pair(&self, one: usize, other: usize) -> Option<Pair<'_>> {
        let (upper, lower) = (one.min(other), one.max(other));
        self.pairs().find(|pair| (pair.upper, pair.lower) == (upper, lower))
    }

    /// Every dissonance of every pair of voices, in order of onset: found at the first call, which is
    /// most of the work of a texture.
    pub fn dissonances(&self) -> &[Dissonance] {
        self.dissonances.get_or_init(|| dissonance::find(self))
    }

    /// The time of a tick, in whole notes.
    pub fn time(&self, tick: i64) -> Time {
        self.grid.time(tick).unwrap_or(Time::ZERO)
    }

    /// The bar and beat of a tick.
    pub fn place(&self, tick: i64) -> Place {
        let onset = self.time(tick);
        self.score.place(onset).unwrap_or(Place { onset, bar: 0, beat: Time::ZERO })
    }
}
