//! With which entries one range can serve a countersubject, and how many octaves away.

use super::relation::Relation;
use super::search::Order;
use crate::compose::strand::Strand;
use crate::exposition::Role;

/// The narrowest range, in semitones, in which a countersubject is sought.
const NARROWEST: i32 = 10;
/// How far from the entry, in semitones, the range reaches.
const REACH: i32 = 19;

/// One appearance: with which entry, and how many octaves away from the first place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Use {
    pub(super) entry: usize,
    pub(super) octaves: i32,
}

impl Order<'_> {
    /// Whether the voice that has the countersubject lies below the entry.
    fn is_below(&self, entry: usize) -> bool {
        self.voice(entry) > self.plan.entries[entry].voice
    }

    /// The appearances that one range can serve, and that range. Where an entry lies on the other
    /// side, the line is heard at least an octave away; among the octaves that leave room enough the
    /// one is taken in which it follows on the voice's own entry as it does at first.
    pub(super) fn uses(&self, heard: &[Strand], relation: &Relation) -> Option<(Vec<Use>, (i32, i32))> {
        let (low, high) = height_range(&heard[1])?;
        let mut range = if self.is_below(1) { (low - REACH, high) } else { (low, high + REACH) };
        let mut uses = Vec::new();
        for (entry, strand) in heard.iter().enumerate().skip(1) {
            let level = (height_range(strand)?.0 - low + 6).div_euclid(12);
            let narrowed = self.octaves(entry, level).map(|octaves| {
                let used = Use { entry, octaves };
                (used, intersect(range, self.reach(used, relation)))
            });
            let roomy = |range: (i32, i32)| range.1 - range.0 >= NARROWEST;
            let best =
                narrowed.min_by_key(|&(used, range)| (!roomy(range), self.displacement(used, relation)));
            if let Some((used, narrower)) = best.filter(|(_, range)| roomy(*range) || entry == 1) {
                range = narrower;
                uses.push(used);
            }
        }
        (range.0 <= range.1).then_some((uses, range))
    }

    /// The octaves, counted from the first place, in which the line lies on its side of an entry that
    /// is itself `level` octaves from there.
    fn octaves(&self, entry: usize, level: i32) -> impl Iterator<Item = i32> + use<> {
        let outward = if self.is_below(entry) { -1 } else { 1 };
        let nearest = if self.is_below(1) == self.is_below(entry) { level } else { level + outward };
        let farthest = if entry == 1 { 0 } else { 2 };
        (0..=farthest).map(move |octaves| nearest + outward * octaves)
    }

    /// How far, in semitones, the step from the voice's own entry to the line is from that at the
    /// first appearance.
    fn displacement(&self, used: Use, relation: &Relation) -> i32 {
        let last = |entry: usize| {
            let notes = self.plan.entries[entry].line.notes();
            notes.last().map_or(0, |note| note.pitch().height())
        };
        let lowered = match self.plan.entries[used.entry].role {
            Role::Subject => relation.at(0).semitones(),
            _ => 0,
        };
        (12 * used.octaves - lowered - (last(used.entry - 1) - last(0))).abs()
    }

    /// The heights that the voice of an appearance can reach, brought to the first place.
    fn reach(&self, used: Use, relation: &Relation) -> (i32, i32) {
        let Some(compass) = self.ensemble.voices()[self.voice(used.entry)].compass() else {
            return (i32::MIN / 2, i32::MAX / 2);
        };
        let shifts = relation.changes.iter().map(|change| change.1.semitones());
        let (least, most) = match self.plan.entries[used.entry].role {
            Role::Subject => (shifts.clone().min().unwrap_or(0), shifts.max().unwrap_or(0)),
            _ => (0, 0),
        };
        let octaves = 12 * used.octaves;
        (compass.lowest().height() + most - octaves, compass.highest().height() + least - octaves)
    }
}

fn height_range(strand: &Strand) -> Option<(i32, i32)> {
    let heights = strand.tones().iter().map(|tone| tone.pitch.height());
    heights.clone().min().zip(heights.max())
}

fn intersect(one: (i32, i32), other: (i32, i32)) -> (i32, i32) {
    (one.0.max(other.0), one.1.min(other.1))
}
