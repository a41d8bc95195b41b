//! Filling voices: links between entries, and the lines that go on while others have the theme.

use super::chance::Chance;
use super::frame::Frame;
use super::harmony_track::HarmonyTrack;
use super::hearing::{Companion, Setting, Side, room};
use super::melody::{Melody, MelodyTask, melody};
use super::palette::palette;
use super::rhythm::{Activity, RhythmTask, rhythm};
use super::strand::Strand;
use crate::pitch::Pitch;
use std::collections::BTreeSet;

/// How far beyond the notes it already has, in semitones, a voice may go when it fills.
const MARGIN: i32 = 6;
/// How many rhythms are tried.
const VARIANTS: u64 = 4;
/// What it costs to keep another voice's rhythm for three attacks or more.
const DOUBLED_RHYTHM: i32 = 700;
/// At most this share of a filling voice's attacks, in percent, falls together with others'.
const SHARED_PERCENT: usize = 60;

/// A stretch of a voice to be filled.
#[derive(Debug)]
pub(super) struct Filling<'a> {
    pub(super) frame: &'a Frame,
    pub(super) track: &'a HarmonyTrack,
    /// All voices as they stand, from the top part downwards.
    pub(super) strands: &'a [Strand],
    pub(super) voice: usize,
    /// The heights the voice can reach.
    pub(super) compass: (i32, i32),
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) activity: Activity,
    pub(super) finest: i64,
    pub(super) banned: &'a BTreeSet<(i64, Pitch)>,
    pub(super) chance: Chance,
}

impl Filling<'_> {
    /// The best line for the stretch over several rhythms; `None` if there is nothing to choose from.
    pub(super) fn search(&self) -> Option<Melody> {
        let voices: Vec<Vec<i64>> = self.others().map(|(_, strand)| self.attacks(strand)).collect();
        let lines = (0..VARIANTS).filter_map(|variant| {
            let mut line = self.search_with(&voices, self.chance.fork(variant))?;
            let own = self.attacks(&line.strand);
            let doubled = voices.iter().filter(|other| keep_together(&own, other)).count();
            line.cost = line.cost.saturating_add(DOUBLED_RHYTHM * i32::try_from(doubled).unwrap_or(1));
            Some(line)
        });
        lines.min_by_key(|line| line.cost)
    }

    fn search_with(&self, voices: &[Vec<i64>], chance: Chance) -> Option<Melody> {
        let own = &self.strands[self.voice];
        let before = own.before(self.from).filter(|tone| tone.off == self.from).map(|tone| tone.pitch);
        let after = own.at(self.to).filter(|tone| tone.on == self.to).map(|tone| tone.pitch);
        let range = self.range();
        let slots = self.slots(voices, chance);
        let task = MelodyTask {
            slots: &slots,
            before,
            after,
            palette: &palette(self.track, self.from, self.to, range),
            track: self.track,
            settings: &[self.setting(range)],
            banned: self.banned,
            chance: chance.fork(2),
        };
        melody(&task)
    }

    /// The attacks of a strand within the stretch.
    fn attacks(&self, strand: &Strand) -> Vec<i64> {
        strand.tones()[strand.within(self.from, self.to)].iter().map(|tone| tone.on).collect()
    }

    fn slots(&self, voices: &[Vec<i64>], chance: Chance) -> Vec<(i64, i64)> {
        let mut others: Vec<i64> = voices.concat();
        others.sort_unstable();
        others.dedup();
        let task = RhythmTask {
            from: self.from,
            to: self.to,
            others: &others,
            voices,
            forced: &[],
            finest: self.finest,
            activity: self.activity,
            shared_percent: SHARED_PERCENT,
        };
        rhythm(self.frame, &task, chance.fork(1))
    }

    /// The other voices that sound within the stretch.
    fn others(&self) -> impl Iterator<Item = (usize, &Strand)> {
        let sounding = |strand: &Strand| !strand.within(self.from, self.to).is_empty();
        self.strands
            .iter()
            .enumerate()
            .filter(move |(voice, strand)| *voice != self.voice && sounding(strand))
    }

    fn range(&self) -> (i32, i32) {
        let heights = self.strands[self.voice].tones().iter().map(|tone| tone.pitch.height());
        let used = heights.clone().min().zip(heights.max());
        let (low, high) = used.unwrap_or(self.compass);
        (self.compass.0.max(low - MARGIN), self.compass.1.min(high + MARGIN))
    }

    fn setting(&self, range: (i32, i32)) -> Setting<'_> {
        let above = self.others().map(|(voice, _)| voice).filter(|voice| *voice < self.voice).max();
        let below = self.others().map(|(voice, _)| voice).filter(|voice| *voice > self.voice).min();
        let companions = self.others().map(|(voice, strand)| Companion {
            strand,
            side: if voice < self.voice { Side::Above } else { Side::Below },
            room: (Some(voice) == above || Some(voice) == below)
                .then(|| room(self.voice, voice, self.strands.len())),
        });
        Setting { companions: companions.collect(), range, invertible: false, judged: true, pressure: 1 }
    }
}

/// Whether two voices strike three times together with no attack of either between.
fn keep_together(own: &[i64], other: &[i64]) -> bool {
    let places: Vec<Option<usize>> = own.iter().map(|on| other.binary_search(on).ok()).collect();
    let in_a_row = |three: &[Option<usize>]| match three {
        [Some(first), Some(second), Some(third)] => first + 1 == *second && second + 1 == *third,
        _ => false,
    };
    places.windows(3).any(in_a_row)
}
