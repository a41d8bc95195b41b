//! Keys and chords over the time of a draft.

use super::frame::Frame;
use super::plan::Plan;
use super::taste::Melodic;
use crate::answer::Answer;
use crate::chord::{Chord, Numeral};
use crate::exposition::Role;
use crate::harmony::Harmony;
use crate::key::{Key, Mode};
use crate::pitch::Pitch;
use crate::subject::Subject;

/// A chord and its key for a stretch of time.
#[derive(Clone, Debug)]
struct Region {
    from: i64,
    key: Key,
    chord: Option<Chord>,
}

/// Keys and chords from the beginning of a draft to its end.
#[derive(Clone, Debug)]
pub(super) struct HarmonyTrack {
    frame: Frame,
    pulse: i64,
    home: Key,
    regions: Vec<Region>,
}

impl HarmonyTrack {
    /// The keys and chords of the whole draft: subject and answer bring their own, a link turns back
    /// to the key that comes and ends on its dominant seventh.
    pub(super) fn of(subject: &Subject, answer: &Answer, plan: &Plan) -> Self {
        let tonic = subject.key();
        let mut track = Self::new(plan.frame, tonic);
        let (subject_plan, answer_plan) = (subject.plan(), answer.plan(subject));
        for (index, entry) in plan.entries.iter().enumerate() {
            let harmony = if entry.role == Role::Answer { &answer_plan } else { &subject_plan };
            track.lay(entry.onset, entry.key, harmony);
            let end = plan.end_of(index);
            let Some(next) = plan.entries.get(index + 1) else { continue };
            if end < next.onset {
                let turn = (next.onset - plan.frame.pulse()).max(end);
                track.set_key(end, tonic);
                let seventh = "V7".parse::<Numeral>().ok().and_then(|numeral| numeral.in_key(next.key).ok());
                track.set_chord(turn, next.key, seventh);
            }
        }
        track
    }

    /// A track that begins in a key without a chord.
    pub(super) fn new(frame: Frame, key: Key) -> Self {
        let start = Region { from: i64::MIN, key, chord: None };
        Self { frame, pulse: frame.pulse().max(1), home: key, regions: vec![start] }
    }

    /// Sets the key from a moment on, without a chord.
    pub(super) fn set_key(&mut self, from: i64, key: Key) {
        self.put(Region { from, key, chord: None });
    }

    /// Lays a plan of chords from a moment on.
    pub(super) fn lay(&mut self, from: i64, key: Key, harmony: &Harmony) {
        for span in harmony.spans() {
            let chord = span.numeral.in_key(key).ok();
            self.put(Region { from: from + self.frame.ticks(span.onset), key, chord });
        }
    }

    /// Sets one chord from a moment on.
    fn set_chord(&mut self, from: i64, key: Key, chord: Option<Chord>) {
        self.put(Region { from, key, chord });
    }

    fn put(&mut self, region: Region) {
        let place = self.regions.partition_point(|known| known.from < region.from);
        if self.regions.get(place).is_some_and(|known| known.from == region.from) {
            self.regions[place] = region;
        } else {
            self.regions.insert(place, region);
        }
    }

    fn region(&self, ticks: i64) -> &Region {
        let after = self.regions.partition_point(|region| region.from <= ticks);
        &self.regions[after.saturating_sub(1)]
    }

    /// The key at a moment.
    pub(super) fn key(&self, ticks: i64) -> Key {
        self.region(ticks).key
    }

    /// The key of the piece.
    pub(super) const fn home(&self) -> Key {
        self.home
    }

    /// The keys of a stretch of time.
    pub(super) fn keys(&self, from: i64, to: i64) -> Vec<Key> {
        let later = self.regions.iter().filter(|region| region.from > from && region.from < to);
        let mut keys = vec![self.key(from)];
        for region in later {
            if !keys.contains(&region.key) {
                keys.push(region.key);
            }
        }
        keys
    }

    /// The chord at a moment, if one is planned.
    pub(super) fn chord(&self, ticks: i64) -> Option<&Chord> {
        self.region(ticks).chord.as_ref()
    }

    /// Whether a pitch is of the chord, or no chord is planned.
    pub(super) fn suits(&self, ticks: i64, pitch: Pitch) -> bool {
        self.chord(ticks).is_none_or(|chord| chord.contains(pitch.class()))
    }

    /// What a pitch is in the key of a moment. A raised sixth or seventh of minor that contradicts
    /// the chord (which has the natural one) is out of the key there, and the other way round.
    pub(super) fn melodic(&self, ticks: i64, pitch: Pitch) -> Melodic {
        let region = self.region(ticks);
        let degree = region.key.degree(pitch.class());
        let minor = region.key.mode() == Mode::Minor;
        let raised = minor && degree.alteration() == 1;
        Melodic {
            in_key: region.key.contains(pitch.class()) && !contradicts(region, pitch),
            leading: region.key.leading_note() == Ok(pitch.class()),
            raised_sixth: raised && degree.number() == 6,
            natural_seventh: minor && degree.number() == 7 && degree.alteration() == 0,
        }
    }

    /// Whether a pitch wants to move on: no note to end on.
    pub(super) fn is_restless(&self, ticks: i64, pitch: Pitch) -> bool {
        self.melodic(ticks, pitch).leading || !self.suits(ticks, pitch)
    }

    /// Whether a moment is the beginning of a pulse.
    pub(super) fn is_pulse(&self, ticks: i64) -> bool {
        self.frame.is_pulse(ticks)
    }

    /// The ticks of a pulse.
    pub(super) const fn pulse(&self) -> i64 {
        self.pulse
    }
}

/// Whether the chord has the same letter with another accidental.
fn contradicts(region: &Region, pitch: Pitch) -> bool {
    let Some(chord) = &region.chord else { return false };
    chord.classes().iter().any(|class| class.letter() == pitch.letter() && *class != pitch.class())
}
