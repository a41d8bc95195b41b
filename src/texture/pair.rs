//! Pairs of voices: what two voices sound together, and how they move.

use super::Texture;
use super::motion::{Motion, is_dissonant};
use super::rhythm::Stretch;
use super::tone::{Cursor, State, Tone};
use crate::interval::Interval;
use crate::pitch::Pitch;
use std::sync::OnceLock;

/// From when on which voice sounds lowest; `u8::MAX` in silence.
#[derive(Clone, Copy, Debug)]
pub(super) struct BassSpan {
    pub(super) onset: i64,
    pub(super) voice: u8,
}

/// What two voices do from a change in one of them to the next, in its compact form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Slot {
    upper: State,
    lower: State,
}

impl Slot {
    /// The pitches, upper part first, if both sound.
    fn pitches(self, [upper, lower]: [&[Tone]; 2]) -> Option<[Pitch; 2]> {
        Some([self.upper.tone(upper)?.pitch, self.lower.tone(lower)?.pitch])
    }
}

/// What is known of two parts once somebody has asked: their slots, and where they double each other.
#[derive(Clone, Debug, Default)]
pub(super) struct PairFacts {
    slots: OnceLock<Vec<Slot>>,
    pub(super) doublings: OnceLock<Vec<Stretch>>,
}

/// Two voices of a texture, the upper part first.
#[derive(Clone, Copy, Debug)]
pub struct Pair<'t> {
    pub(super) texture: &'t Texture<'t>,
    pub(super) upper: usize,
    pub(super) lower: usize,
    /// The notes of both.
    pub(super) tones: [&'t [Tone]; 2],
    pub(super) facts: &'t PairFacts,
}

/// What two voices sound from a change in one of them to the next.
#[derive(Clone, Copy, Debug)]
pub struct Moment<'t> {
    pair: Pair<'t>,
    index: usize,
    slot: Slot,
}

/// The slots of two voices, in order.
fn slots(voices: [usize; 2], tones: [&[Tone]; 2], bass: &[BassSpan]) -> Vec<Slot> {
    let ([mut upper, mut lower], mut span, mut now) = (tones.map(Cursor::new), 0, 0);
    // Each note changes what sounds twice at most, when it begins and when it ends.
    let mut slots = Vec::with_capacity(2 * (tones[0].len() + tones[1].len()));
    loop {
        let end = upper.change().min(lower.change());
        if end == i64::MAX {
            return slots;
        }
        while bass.get(span + 1).is_some_and(|next| next.onset <= now) {
            span += 1;
        }
        let lowest = bass.get(span).map(|span| usize::from(span.voice));
        let [above, below] = voices.map(|voice| lowest == Some(voice));
        slots.push(Slot { upper: upper.state().lowest(above), lower: lower.state().lowest(below) });
        now = end;
        upper.advance(now);
        lower.advance(now);
    }
}

impl<'t> Pair<'t> {
    /// The upper part's number, 0 being the top part.
    pub const fn upper(&self) -> usize {
        self.upper
    }

    /// The lower part's number.
    pub const fn lower(&self) -> usize {
        self.lower
    }

    /// The texture.
    pub const fn texture(&self) -> &'t Texture<'t> {
        self.texture
    }

    /// The names of both, upper part first.
    pub fn names(&self) -> [&'t str; 2] {
        [self.texture.name(self.upper), self.texture.name(self.lower)]
    }

    /// Whether they are the outermost parts of the score.
    pub fn is_outer(&self) -> bool {
        self.upper == 0 && self.lower + 1 == self.texture.voices()
    }

    /// Whether both parts bear the names of singers.
    pub fn is_sung(&self) -> bool {
        let parts = self.texture.score().parts();
        [self.upper, self.lower]
            .iter()
            .all(|&voice| parts.get(voice).is_some_and(|part| part.voice.is_sung()))
    }

    /// Whether both parts are voices of one kind: two sopranos or two violins, by what is known of their
    /// compass; or two parts that use one compass, each an octave or more whose ends lie within a third of
    /// the other's, as alto and tenor of many a motet do, or canto and quinto.
    pub fn is_of_equals(&self) -> bool {
        let parts = self.texture.score().parts();
        let reach = |voice: usize| parts.get(voice)?.voice.reach();
        let is_one_kind = reach(self.upper).is_some_and(|compass| reach(self.lower) == Some(compass));
        is_one_kind || self.shares_compass()
    }

    /// Whether the lines of both use one compass, within a third at either end.
    fn shares_compass(&self) -> bool {
        let spans = [self.upper, self.lower].map(|voice| self.texture.span(voice));
        let [Some(one), Some(other)] = spans else { return false };
        let is_wide = |[lowest, highest]: [Pitch; 2]| (highest - lowest).number() >= 8;
        let is_near = one.into_iter().zip(other).all(|(one, other)| (one - other).number() <= 3);
        is_near && is_wide(one) && is_wide(other)
    }

    /// Whether one of them is an instrument that goes with a choir; see [`Texture::is_companion`].
    pub fn is_accompanied(&self) -> bool {
        self.texture.is_companion(self.upper) || self.texture.is_companion(self.lower)
    }

    fn slots(&self) -> &'t [Slot] {
        let voices = [self.upper, self.lower];
        self.facts.slots.get_or_init(|| slots(voices, self.tones, self.texture.bass()))
    }

    /// How many moments there are.
    pub fn len(&self) -> usize {
        self.slots().len()
    }

    /// Whether neither voice ever sounds.
    pub fn is_empty(&self) -> bool {
        self.slots().is_empty()
    }

    /// The moment of an index.
    pub fn moment(self, index: usize) -> Option<Moment<'t>> {
        self.slots().get(index).map(|&slot| Moment { pair: self, index, slot })
    }

    /// The moment in which a tick lies. Cost: logarithmic.
    pub fn moment_at(self, tick: i64) -> Option<Moment<'t>> {
        let after =
            self.slots().partition_point(|&slot| Moment { pair: self, index: 0, slot }.onset() <= tick);
        self.moment(after.checked_sub(1)?).filter(|moment| tick < moment.end())
    }

    /// All moments in order, also those in which a voice rests.
    pub fn moments(self) -> impl Iterator<Item = Moment<'t>> {
        self.slots().iter().enumerate().map(move |(index, &slot)| Moment { pair: self, index, slot })
    }

    /// The steps from each moment to the next, where both voices sound before and after.
    pub fn steps(self) -> impl Iterator<Item = Step<'t>> {
        let mut left: Option<(usize, Slot, [Pitch; 2])> = None;
        self.slots().iter().enumerate().filter_map(move |(index, &slot)| {
            let reached = slot.pitches(self.tones).map(|pitches| (index, slot, pitches));
            let (before, after) = (std::mem::replace(&mut left, reached)?, reached?);
            Some(Step { pair: self, before, after })
        })
    }
}

impl<'t> Moment<'t> {
    /// The pair.
    pub const fn pair(&self) -> Pair<'t> {
        self.pair
    }

    /// Its place in the row of moments.
    pub const fn index(&self) -> usize {
        self.index
    }

    /// The tick on which it begins.
    pub fn onset(&self) -> i64 {
        let [upper, lower] = self.pair.tones;
        self.slot.upper.onset(upper).max(self.slot.lower.onset(lower))
    }

    /// The tick on which it ends.
    pub fn end(&self) -> i64 {
        let [upper, lower] = self.pair.tones;
        self.slot.upper.end(upper).min(self.slot.lower.end(lower))
    }

    /// The indices of the notes that sound: upper part, lower part.
    pub fn notes(&self) -> [Option<usize>; 2] {
        [self.slot.upper.note(), self.slot.lower.note()]
    }

    /// The notes that sound: upper part, lower part.
    pub fn tones(&self) -> [Option<&'t Tone>; 2] {
        let [upper, lower] = self.pair.tones;
        [self.slot.upper.tone(upper), self.slot.lower.tone(lower)]
    }

    /// The pitches, upper part first, if both sound.
    pub fn pitches(&self) -> Option<[Pitch; 2]> {
        self.slot.pitches(self.pair.tones)
    }

    /// Whether each begins a note with it: upper part, lower part.
    pub fn attacked(&self) -> [bool; 2] {
        let onset = self.onset();
        self.tones().map(|tone| tone.is_some_and(|tone| tone.onset == onset))
    }

    /// The interval from the lower part up to the upper one, if both sound; it leads downwards if
    /// they have crossed.
    pub fn interval(&self) -> Option<Interval> {
        self.pitches().map(|[upper, lower]| upper - lower)
    }

    /// Whether one of the two is the lowest sounding voice as the moment begins.
    pub const fn holds_lowest(&self) -> bool {
        self.slot.upper.is_lowest() || self.slot.lower.is_lowest()
    }

    /// Whether the two clash; the fourth only if one of them is the lowest sounding voice.
    pub fn is_dissonant(&self) -> bool {
        self.interval().is_some_and(|interval| is_dissonant(interval, self.holds_lowest()))
    }
}

/// Two voices going from one moment to another, both sounding in both.
#[derive(Clone, Copy, Debug)]
pub struct Step<'t> {
    pair: Pair<'t>,
    /// The moment left: its place in the row of moments, and the pitches of both.
    before: (usize, Slot, [Pitch; 2]),
    /// The moment reached.
    after: (usize, Slot, [Pitch; 2]),
}

impl<'t> Step<'t> {
    /// The step between two moments of a pair; `None` unless both voices sound in both.
    pub fn between(before: Moment<'t>, after: Moment<'t>) -> Option<Self> {
        let end = |moment: Moment<'t>| Some((moment.index, moment.slot, moment.pitches()?));
        Some(Self { pair: before.pair, before: end(before)?, after: end(after)? })
    }

    /// The moment left.
    pub const fn before(&self) -> Moment<'t> {
        Moment { pair: self.pair, index: self.before.0, slot: self.before.1 }
    }

    /// The moment reached.
    pub const fn after(&self) -> Moment<'t> {
        Moment { pair: self.pair, index: self.after.0, slot: self.after.1 }
    }

    /// The upper part's pitches before and after.
    pub const fn upper(&self) -> [Pitch; 2] {
        [self.before.2[0], self.after.2[0]]
    }

    /// The lower part's pitches before and after.
    pub const fn lower(&self) -> [Pitch; 2] {
        [self.before.2[1], self.after.2[1]]
    }

    /// The motion; `None` if both stay.
    pub fn motion(&self) -> Option<Motion> {
        Motion::of(self.upper(), self.lower())
    }

    /// The intervals before and after, from the lower part up to the upper one.
    pub fn intervals(&self) -> [Interval; 2] {
        [self.before.2, self.after.2].map(|[upper, lower]| upper - lower)
    }
}

#[cfg(test)]
mod tests {
    use crate::score::Score;
    use crate::texture::{Motion, Texture};
    use proptest::prelude::*;

    #[test]
    fn moments_change_with_the_two_voices_alone() {
        let lines = ["C5:1/2 D5", "E4:1/8 F4 G4 A4 B4 A4 G4 F4", "C4:1"];
        let score = Score::excerpt("C major", "4/4", &lines).unwrap();
        let texture = Texture::of(&score);
        let onsets = |one, other| -> Vec<i64> {
            texture.pair(one, other).unwrap().moments().map(|moment| moment.onset()).collect()
        };
        assert_eq!(onsets(0, 2), [0, 4]);
        assert_eq!(onsets(0, 1), [0, 1, 2, 3, 4, 5, 6, 7]);
    }

    /// The alto and the tenor of a motet, and the same tenor beside a soprano.
    #[test]
    fn parts_that_use_one_compass_are_equals() {
        let is_of_equals = |lines: &[&str]| {
            let score = Score::excerpt("C major", "4/4", lines).unwrap();
            Texture::of(&score).pair(0, 1).unwrap().is_of_equals()
        };
        assert!(is_of_equals(&["D4:1/2 A4 F3 C4", "A3:1/2 E3 G4 C4"]));
        assert!(!is_of_equals(&["D4:1/2 D5 F4 C4", "A3:1/2 E3 G4 C4"]));
        assert!(!is_of_equals(&["D4:1/2 A4 G4 D4", "D4:1/2 A4 G4 D4"]));
    }

    #[test]
    fn steps_need_both_voices_on_both_sides() {
        let score = Score::excerpt("C major", "4/4", &["E5:1/4 D5 R C5", "C4:1/4 D4 E4 C4"]).unwrap();
        let texture = Texture::of(&score);
        let steps: Vec<_> = texture.pair(0, 1).unwrap().steps().collect();
        assert_eq!(steps.len(), 1);
        assert_eq!(steps[0].motion(), Some(Motion::Contrary));
        assert_eq!(steps[0].intervals().map(|it| it.to_string()), ["M10", "P8"]);
    }

    #[test]
    fn fourth_becomes_consonant_where_a_bass_enters() {
        let score = Score::excerpt("C major", "4/4", &["C5:1/2 C5", "G4:1/2 G4", "R:1/2 E4"]).unwrap();
        let texture = Texture::of(&score);
        let moments = texture.pair(0, 1).unwrap().moments();
        assert_eq!(moments.map(|moment| moment.is_dissonant()).collect::<Vec<_>>(), [true, false]);
    }

    proptest! {
        /// The walk through the notes against asking, tick by tick, what sounds.
        #[test]
        fn prop_moments_agree_with_asking_every_tick(
            upper in prop::collection::vec((any::<bool>(), 1_u8..5), 1..12),
            lower in prop::collection::vec((any::<bool>(), 1_u8..5), 1..12),
        ) {
            let text = |events: &[(bool, u8)], name: &str| {
                let token = |(sounds, length): &(bool, u8)| format!("{}:{length}/8 ", if *sounds { name } else { "R" });
                events.iter().map(token).collect::<String>()
            };
            let lines = [text(&upper, "C5"), text(&lower, "G4")];
            let score = Score::excerpt("C major", "4/4", &[&lines[0], &lines[1]]).unwrap();
            let texture = Texture::of(&score);
            let pair = texture.pair(0, 1).unwrap();
            for moment in pair.moments() {
                prop_assert!(moment.onset() < moment.end());
                for tick in moment.onset()..moment.end() {
                    let [one, other] = moment.tones();
                    prop_assert_eq!(one, texture.sounding(0, tick));
                    prop_assert_eq!(other, texture.sounding(1, tick));
                }
            }
            let ends = pair.moments().zip(pair.moments().skip(1));
            for (before, after) in ends {
                prop_assert_eq!(before.end(), after.onset());
            }
        }
    }
}
