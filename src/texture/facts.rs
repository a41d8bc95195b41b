//! The facts of a score, found once.

use super::accent::Accents;
use super::dissonance::{self, Dissonance};
use super::pair::{BassSpan, Pair, PairFacts};
use super::piece::{Piece, Span};
use super::sonority::{Sonorities, Sonority};
use super::tone::{self, Tone};
use crate::exposition::Outline;
use crate::meter::Strength;
use crate::score::{Part, Place, Score};
use crate::time::{Grid, Time};
use std::sync::OnceLock;

/// How many voices that are sung make a choir.
const CHOIR: usize = 3;

/// The semitones of an octave.
const OCTAVE: i32 = 12;

/// The names of the parts of a score, those that are alike with their number.
fn names(score: &Score) -> Vec<String> {
    let name = |part: &Part| part.voice.name().to_owned();
    let names: Vec<String> = score.parts().iter().map(name).collect();
    let count = |names: &[String], name: &String| names.iter().filter(|it| *it == name).count();
    let numbered = names.iter().enumerate().map(|(voice, name)| match count(&names, name) {
        0 | 1 => name.clone(),
        _ if name.is_empty() => String::new(),
        _ => format!("{name} {}", count(&names[..=voice], name)),
    });
    numbered.collect()
}

/// The facts of a score.
#[derive(Debug)]
pub struct Texture<'a> {
    score: &'a Score,
    outline: Option<&'a Outline>,
    /// What it is cut from, if it is no whole piece.
    pub(super) piece: Option<&'a Piece>,
    grid: Grid,
    accents: Accents,
    /// The notes of all voices, one voice after the other.
    tones: Vec<Vec<Tone>>,
    /// Those of each pair, the upper parts of the first lower part first: found when somebody asks, and so
    /// is all that follows.
    pairs: Vec<PairFacts>,
    bass: OnceLock<Vec<BassSpan>>,
    dissonances: OnceLock<Vec<Dissonance>>,
    /// Where phrases end: found when somebody asks.
    phrase_ends: OnceLock<Vec<i64>>,
    /// The lowest and the highest note of each voice: found when somebody asks.
    spans: OnceLock<Vec<Span>>,
    /// What each part is called: found when somebody asks.
    names: OnceLock<Vec<String>>,
    /// Whether each part goes with a choir: found when somebody asks.
    companions: OnceLock<Vec<bool>>,
}

impl<'a> Texture<'a> {
    /// The facts of a score. It cannot fail: a score guarantees its grid.
    pub fn of(score: &'a Score) -> Self {
        let grid = score.grid().unwrap_or(Grid::WHOLE);
        let accents = Accents::new(score.meters(), grid);
        let tones: Vec<Vec<Tone>> = score.parts().iter().map(|part| tone::tones(&part.line, grid)).collect();
        let pairs = vec![PairFacts::default(); tones.len() * tones.len().saturating_sub(1) / 2];
        Self {
            score,
            outline: None,
            piece: None,
            grid,
            accents,
            tones,
            pairs,
            bass: OnceLock::new(),
            dissonances: OnceLock::new(),
            phrase_ends: OnceLock::new(),
            spans: OnceLock::new(),
            names: OnceLock::new(),
            companions: OnceLock::new(),
        }
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

    /// The voice that is heard lowest, wherever it changes.
    pub(super) fn bass(&self) -> &[BassSpan] {
        self.bass.get_or_init(|| self.find_bass())
    }

    /// The ticks on which phrases end, in order.
    pub(super) fn phrase_ends(&self) -> &[i64] {
        self.phrase_ends.get_or_init(|| self.find_phrase_ends())
    }

    /// The lowest and the highest note of each voice in these bars.
    pub(super) fn spans(&self) -> &[Span] {
        self.spans.get_or_init(|| self.find_spans())
    }

    fn find_bass(&self) -> Vec<BassSpan> {
        let (mut bass, mut last): (Vec<BassSpan>, _) = (Vec::new(), vec![None; self.voices()]);
        let deepened = self.deepened();
        for sonority in self.sonorities() {
            let heard = last.iter_mut().enumerate().filter_map(|(voice, last)| {
                let height = self.heard_height(&sonority, voice, last)?;
                let depth = if deepened == Some(voice) { OCTAVE } else { 0 };
                Some((height - depth, std::cmp::Reverse(voice)))
            });
            let lowest = heard.min().map(|it| it.1.0);
            let voice = lowest.and_then(|voice| u8::try_from(voice).ok()).unwrap_or(u8::MAX);
            if bass.last().is_none_or(|last| last.voice != voice) {
                bass.push(BassSpan { onset: sonority.onset(), voice });
            }
        }
        bass
    }

    /// How high the note lies that is heard in a voice: one that sounds, or that is heard on. Remembers the last.
    fn heard_height(&self, sonority: &Sonority<'_>, voice: usize, last: &mut Option<usize>) -> Option<i32> {
        let sounding = sonority.note(voice);
        *last = sounding.or(*last);
        let note = (*last).filter(|&note| sounding.is_some() || self.is_heard_on(voice, note))?;
        self.tones(voice).get(note).map(|tone| tone.pitch.height())
    }

    /// Whether a note is heard on through a rest: one of no more than a beat before the next (detached playing:
    /// common practice).
    fn is_heard_on(&self, voice: usize, note: usize) -> bool {
        let tones = self.tones(voice);
        let rest = tones.get(note).zip(tones.get(note + 1)).map(|(it, next)| (it.end, next.onset - it.end));
        rest.is_some_and(|(end, length)| length <= self.accents.pulse_at(end).1)
    }

    /// The lowest part of a choir, which is heard an octave deeper: instruments of sixteen feet go with it, so that a
    /// tenor that dips below it does not become the bass (C. P. E. Bach, preface to the chorales of 1765, from memory).
    fn deepened(&self) -> Option<usize> {
        let sung = self.score.parts().iter().enumerate().filter(|(_, part)| part.voice.is_sung());
        let sung: Vec<usize> = sung.map(|(voice, _)| voice).collect();
        sung.last().copied().filter(|_| sung.len() >= CHOIR)
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

    /// The name of a voice, with a number if another has the same: of two parts called `Tenor` the second is
    /// `Tenor 2`. Empty if there is none of that number.
    ///
    /// ```
    /// use soggetto::{Line, Part, Score, Texture, Time, Voice};
    /// let part = |name: &str| Ok::<_, soggetto::Error>(Part { voice: Voice::new(name), line: "C4:1".parse()? });
    /// let parts = vec![part("Alto")?, part("Tenor")?, part("Tenor")?];
    /// let score = Score::new("C major".parse()?, "4/4".parse()?, Time::ZERO, parts)?;
    /// let texture = Texture::of(&score);
    /// assert_eq!([0, 1, 2, 3].map(|voice| texture.name(voice)), ["Alto", "Tenor 1", "Tenor 2", ""]);
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    pub fn name(&self, voice: usize) -> &str {
        self.names.get_or_init(|| names(self.score)).get(voice).map_or("", String::as_str)
    }

    /// Whether a part is an instrument, by its name, that goes with a choir: with three voices or more that
    /// are sung. It may double any of them, or the bass, and is no voice beside theirs.
    pub fn is_companion(&self, voice: usize) -> bool {
        let find = || {
            let parts = self.score.parts();
            let is_choir = parts.iter().filter(|part| part.voice.is_sung()).count() >= CHOIR;
            parts.iter().map(|part| is_choir && part.voice.is_played()).collect()
        };
        self.companions.get_or_init(find).get(voice).copied().unwrap_or(false)
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
        let voices = (0..self.voices()).flat_map(|lower| (0..lower).map(move |upper| (upper, lower)));
        voices.zip(&self.pairs).map(|((upper, lower), facts)| self.pair_of(upper, lower, facts))
    }

    /// The pairs whose voices go beside each other as equals: all but the
    /// [accompanied](Pair::is_accompanied) ones.
    pub fn own_pairs(&self) -> impl Iterator<Item = Pair<'_>> {
        self.pairs().filter(|pair| !pair.is_accompanied())
    }

    /// The pair of two voices, in either order. Cost: constant.
    pub fn pair(&self, one: usize, other: usize) -> Option<Pair<'_>> {
        let (upper, lower) = (one.min(other), one.max(other));
        let facts = self.pairs.get(lower * lower.checked_sub(1)? / 2 + upper).filter(|_| upper < lower)?;
        Some(self.pair_of(upper, lower, facts))
    }

    fn pair_of<'t>(&'t self, upper: usize, lower: usize, facts: &'t PairFacts) -> Pair<'t> {
        Pair { texture: self, upper, lower, tones: [self.tones(upper), self.tones(lower)], facts }
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
