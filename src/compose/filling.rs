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
    /// The best line for the stretch; `None` if there is nothing to choose from.
    pub(super) fn search(&self) -> Option<Melody> {
        let own = &self.strands[self.voice];
        let before = own.before(self.from).filter(|tone| tone.off == self.from).map(|tone| tone.pitch);
        let after = own.at(self.to).filter(|tone| tone.on == self.to).map(|tone| tone.pitch);
        let range = self.range();
        let slots = self.slots();
        let task = MelodyTask {
            slots: &slots,
            before,
            after,
            palette: &palette(self.track, self.from, self.to, range),
            track: self.track,
            settings: &[self.setting(range)],
            banned: self.banned,
            chance: self.chance.fork(2),
        };
        melody(&task)
    }

    fn slots(&self) -> Vec<(i64, i64)> {
        let attacks = |strand: &Strand| -> Vec<i64> {
            strand.tones()[strand.within(self.from, self.to)].iter().map(|tone| tone.on).collect()
        };
        let voices: Vec<Vec<i64>> = self.others().map(|(_, strand)| attacks(strand)).collect();
        let mut others: Vec<i64> = voices.concat();
        others.sort_unstable();
        others.dedup();
        let task = RhythmTask {
            from: self.from,
            to: self.to,
            others: &others,
            voices: &voices,
            forced: &[],
            finest: self.finest,
            activity: self.activity,
            shared_percent: SHARED_PERCENT,
        };
        rhythm(self.frame, &task, self.chance.fork(1))
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
