//! Two voices moving together: consecutive, direct and chained perfect consonances.

use super::cost;
use super::point::{Point, class, same_kind};
use super::setting::{Companion, Setting, Side};
use crate::compose::harmony_track::HarmonyTrack;
use crate::interval::Consonance;
use crate::pitch::Pitch;

/// What a companion does when a slot begins.
#[derive(Clone, Copy, Debug)]
struct Step {
    before: Point,
    now: Point,
    side: Side,
}

/// The moves of the companions against which those of the line are heard.
#[derive(Debug)]
pub(super) struct Moves {
    /// Whether a fourth is as hollow as the fifth into which it will be turned.
    invertible: bool,
    /// Companions that move when the slot begins; one more row for the note after the last slot.
    steps: Vec<Vec<Step>>,
    /// For slots that begin on a pulse: what each companion sounds then.
    accented: Vec<Vec<Option<Point>>>,
}

impl Moves {
    /// The moves at these moments: the onsets of the slots and the end of the last.
    pub(super) fn of(
        setting: &Setting<'_>,
        onsets: impl Iterator<Item = i64> + Clone,
        track: &HarmonyTrack,
    ) -> Self {
        Self {
            invertible: setting.invertible,
            accented: onsets.clone().map(|on| accented(setting, on, track)).collect(),
            steps: onsets.map(|on| steps(setting, on)).collect(),
        }
    }

    /// What it costs that two notes, both struck on pulses with at most one between, make the same
    /// perfect consonance with a companion that has moved: the ear still hears them follow.
    pub(super) fn on_accents(&self, (slot, left): (usize, Pitch), (later, reached): (usize, Pitch)) -> i32 {
        if left == reached || self.accented[slot].is_empty() || self.accented[later].is_empty() {
            return 0;
        }
        let (left, reached) = (Point::of(left), Point::of(reached));
        let pairs = self.accented[slot].iter().zip(&self.accented[later]);
        let chained = pairs.filter(|&(before, now)| {
            let (Some(before), Some(now)) = (before, now) else { return false };
            before != now
                && self.is_hollow(class(left, *before))
                && self.is_hollow(class(reached, *now))
                && same_kind(left, *before, reached, *now)
        });
        cost::ON_ACCENTS * i32::try_from(chained.count()).unwrap_or(1)
    }

    /// What it costs to go from one note to the next while companions move too.
    pub(super) fn together(&self, slot: usize, left: Pitch, reached: Pitch) -> i32 {
        let (left, reached) = (Point::of(left), Point::of(reached));
        if left == reached {
            return 0;
        }
        self.steps[slot].iter().map(|step| self.step_cost(step, left, reached)).sum()
    }

    fn step_cost(&self, step: &Step, left: Point, reached: Point) -> i32 {
        let (before, after) = (class(left, step.before), class(reached, step.now));
        match (self.is_hollow(before), self.is_hollow(after)) {
            (true, true) if same_kind(left, step.before, reached, step.now) => cost::CONSECUTIVE,
            (true, true) => cost::PERFECT_CHAIN,
            (true, false) if after != Consonance::Imperfect && after != Consonance::Fourth => {
                cost::PERFECT_TO_DISSONANCE
            }
            (false, true) => step.direct_cost(left, reached),
            _ => 0,
        }
    }

    fn is_hollow(&self, class: Consonance) -> bool {
        class == Consonance::Perfect || (class == Consonance::Fourth && self.invertible)
    }
}

impl Step {
    /// A perfect consonance reached: in similar motion it costs, less by step in the upper voice.
    fn direct_cost(&self, left: Point, reached: Point) -> i32 {
        if (reached.height - left.height).signum() != (self.now.height - self.before.height).signum() {
            return 0;
        }
        let upper_step = match self.side {
            Side::Above => self.now.step - self.before.step,
            Side::Below => reached.step - left.step,
        };
        cost::pick((cost::DIRECT.1, cost::DIRECT.0), upper_step.abs() > 1)
    }
}

fn steps(setting: &Setting<'_>, on: i64) -> Vec<Step> {
    let moves = setting.companions.iter().filter_map(|companion| {
        let (before, now) = (companion.strand.before(on)?, companion.strand.at(on)?);
        let moved = now.on == on && now.pitch != before.pitch;
        moved.then(|| Step {
            before: Point::of(before.pitch),
            now: Point::of(now.pitch),
            side: companion.side,
        })
    });
    moves.collect()
}

fn accented(setting: &Setting<'_>, on: i64, track: &HarmonyTrack) -> Vec<Option<Point>> {
    if !track.is_pulse(on) {
        return Vec::new();
    }
    let sounding = |companion: &Companion<'_>| companion.strand.at(on).map(|tone| Point::of(tone.pitch));
    setting.companions.iter().map(sounding).collect()
}
