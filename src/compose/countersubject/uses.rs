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
    /// side, the line is heard an octave away, or two if that suits the voice better.
    pub(super) fn uses(&self, heard: &[Strand], relation: &Relation) -> Option<(Vec<Use>, (i32, i32))> {
        let (low, high) = height_range(&heard[1])?;
        let mut range = if self.is_below(1) { (low - REACH, high) } else { (low, high + REACH) };
        let mut uses = Vec::new();
        for (entry, strand) in heard.iter().enumerate().skip(1) {
            let octaves = (height_range(strand)?.0 - low).div_euclid(12);
            let away = match (self.is_below(1), self.is_below(entry)) {
                (true, false) => 1,
                (false, true) => -1,
                _ => 0,
            };
            let choices = [octaves + away, octaves + 2 * away].map(|octaves| Use { entry, octaves });
            let narrowed = choices.map(|used| (used, intersect(range, self.reach(used, relation))));
            let Some((used, narrower)) = narrowed.into_iter().max_by_key(|(_, range)| range.1 - range.0)
            else {
                continue;
            };
            if narrower.1 - narrower.0 >= NARROWEST || entry == 1 {
                range = narrower;
                uses.push(used);
            }
        }
        (range.0 <= range.1).then_some((uses, range))
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
