//! What a slot of the line meets in one tone of another voice.

use super::cost;
use super::point::Point;
use super::setting::{Companion, Setting, Side};
use crate::compose::harmony_track::HarmonyTrack;
use crate::compose::strand::{Strand, Tone};

/// What one slot of the line meets in one tone of a companion.
#[derive(Clone, Copy, Debug)]
pub(super) struct Encounter {
    pub(super) other: Point,
    /// The companion's tone right before, if it did not rest.
    pub(super) other_before: Option<Point>,
    /// Staff steps by which the companion came to this tone and will leave it.
    pub(super) other_in: Option<i32>,
    pub(super) other_out: Option<i32>,
    /// The companion's tone right after.
    pub(super) other_after: Option<Point>,
    /// Who moves on first: the line (`Less`), both, or the companion.
    pub(super) left: std::cmp::Ordering,
    /// Who struck last: the line (`Less`: it came after the companion), both, or the companion.
    pub(super) struck: std::cmp::Ordering,
    /// Whether the meeting begins on a pulse.
    pub(super) accented: bool,
    /// How long it lasts, in twelfths of a pulse.
    pub(super) length: i64,
    /// The lowest height that any companion sounds then.
    pub(super) lowest: i32,
    pub(super) side: Side,
    pub(super) room: i32,
}

impl Encounter {
    /// Whether a voice sounds below both notes, so that a fourth between them is free.
    pub(super) fn has_voice_below(&self, point: Point) -> bool {
        self.lowest < point.height.min(self.other.height)
    }

    /// What it costs where the other voice lies: crossed, in unison, or too far away.
    pub(super) fn placing_cost(&self, point: Point) -> i32 {
        let above = self.other.height - point.height;
        let apart = if self.side == Side::Above { above } else { -above };
        let mut cost = 0;
        if apart < 0 {
            cost += cost::CROSSING;
        } else if apart == 0 {
            cost += cost::UNISON;
        }
        if apart > self.room {
            cost += cost::clamp(cost::DISTANCE * self.length / 12) * (1 + (apart - self.room) / 3);
        }
        cost
    }
}

/// All that a slot meets, companion by companion in order of onset.
pub(super) fn encounters(setting: &Setting<'_>, on: i64, off: i64, track: &HarmonyTrack) -> Vec<Encounter> {
    let mut found = Vec::new();
    for companion in &setting.companions {
        let indices = companion.strand.within(on, off);
        found.extend(indices.map(|index| encounter(companion, index, (on, off), setting, track)));
    }
    found
}

fn encounter(
    companion: &Companion<'_>,
    index: usize,
    (on, off): (i64, i64),
    setting: &Setting<'_>,
    track: &HarmonyTrack,
) -> Encounter {
    let tone = companion.strand.tones()[index];
    let (before, after) = neighbours(companion.strand, index);
    let other = Point::of(tone.pitch);
    let start = on.max(tone.on);
    Encounter {
        other,
        other_before: before,
        other_in: before.map(|before| other.step - before.step),
        other_out: after.map(|after| after.step - other.step),
        other_after: after,
        left: off.cmp(&tone.off),
        struck: tone.on.cmp(&on),
        accented: track.is_pulse(start),
        length: 12 * (off.min(tone.off) - start) / track.pulse(),
        lowest: lowest_at(setting, start),
        side: companion.side,
        room: companion.room.unwrap_or(i32::MAX),
    }
}

/// The tones that join a tone without a rest, before and after.
fn neighbours(strand: &Strand, index: usize) -> (Option<Point>, Option<Point>) {
    let tones = strand.tones();
    let tone = tones[index];
    let point = |other: &Tone| Point::of(other.pitch);
    let before = index.checked_sub(1).map(|before| &tones[before]).filter(|other| other.off == tone.on);
    let after = tones.get(index + 1).filter(|other| tone.off == other.on);
    (before.map(point), after.map(point))
}

/// The lowest height that a companion sounds at a moment.
fn lowest_at(setting: &Setting<'_>, ticks: i64) -> i32 {
    let heights = setting.companions.iter().filter_map(|companion| companion.strand.at(ticks));
    heights.map(|tone| tone.pitch.height()).min().unwrap_or(i32::MAX)
}
