//! Every appearance of a countersubject brought to the place where it is first heard.

use super::relation::Relation;
use super::search::Order;
use super::uses::Use;
use crate::compose::hearing::{Companion, Setting, Side, room};
use crate::compose::plan::octave_interval;
use crate::compose::strand::{Strand, Tone};
use crate::exposition::Role;

impl Order<'_> {
    /// An entry's tones where the countersubject is first heard: at the time of the first answer,
    /// a subject moved up into the answer's key.
    pub(super) fn brought_home(&self, entry: usize, relation: &Relation) -> Strand {
        let planned = &self.plan.entries[entry];
        let strand = Strand::of_line(&planned.line, self.first().onset, &self.plan.frame);
        self.moved_home(&strand, planned.role, relation)
    }

    /// Tones that sound with an entry of this role, in the key where the countersubject is first heard.
    fn moved_home(&self, strand: &Strand, role: Role, relation: &Relation) -> Strand {
        if role == Role::Answer {
            return strand.clone();
        }
        let home = self.first().onset;
        let raise = |tone: &Tone| {
            let pitch = tone.pitch.moved(relation.at(tone.on - home)).unwrap_or(tone.pitch);
            Tone { pitch, ..*tone }
        };
        Strand::of_tones(strand.tones().iter().map(raise).collect())
    }

    /// What the next entry plays while an appearance is still ending, brought to the first place.
    pub(super) fn overlapping(&self, used: Use, relation: &Relation) -> Option<Strand> {
        let planned = &self.plan.entries[used.entry];
        let next = self.plan.entries.get(used.entry + 1)?;
        let delay = next.onset - planned.onset;
        let strand = Strand::of_line(&next.line, self.first().onset + delay, &self.plan.frame);
        let heard = strand.tones()[strand.within(self.from(), self.plan.end_of(1))].to_vec();
        let home = self.moved_home(&Strand::of_tones(heard), planned.role, relation);
        (!home.tones().is_empty()).then(|| lowered(&home, used.octaves))
    }

    /// What the line is heard against: each appearance with its entry, and with the next one where
    /// that overlaps. What differs by octaves alone is judged once.
    pub(super) fn settings<'a>(
        &self,
        uses: &[Use],
        moved: &'a [(Strand, Option<Strand>)],
        range: (i32, i32),
        pressure: i64,
    ) -> Vec<Setting<'a>> {
        let mut settings: Vec<Setting<'a>> = Vec::new();
        let mut judged: Vec<Vec<(i64, i32, i32)>> = Vec::new();
        for (used, (strand, overlapping)) in uses.iter().zip(moved) {
            let is_new = !judged.contains(&classes(strand));
            if is_new {
                judged.push(classes(strand));
            }
            let entry = self.companion(used.entry, used.entry, strand);
            let setting =
                Setting { companions: vec![entry], range, invertible: true, judged: is_new, pressure };
            settings.push(setting);
            if let Some(strand) = overlapping {
                let next = self.companion(used.entry, used.entry + 1, strand);
                settings.push(Setting {
                    companions: vec![next],
                    range,
                    invertible: false,
                    judged: true,
                    pressure,
                });
            }
        }
        settings
    }

    /// An entry as heard by the voice that has the countersubject with `with`.
    fn companion<'a>(&self, with: usize, entry: usize, strand: &'a Strand) -> Companion<'a> {
        let (own, other) = (self.voice(with), self.plan.entries[entry].voice);
        let side = if own > other { Side::Above } else { Side::Below };
        Companion { strand, side, room: Some(room(own, other, self.ensemble.voices().len())) }
    }
}

/// Onsets with step and height classes: what makes two strands the same up to octaves.
fn classes(strand: &Strand) -> Vec<(i64, i32, i32)> {
    let class =
        |tone: &Tone| (tone.on, tone.pitch.staff_step().rem_euclid(7), tone.pitch.height().rem_euclid(12));
    strand.tones().iter().map(class).collect()
}

/// A strand so many octaves lower.
pub(super) fn lowered(strand: &Strand, octaves: i32) -> Strand {
    let Some(interval) = octave_interval(-octaves) else { return strand.clone() };
    let tones = strand.tones().iter();
    Strand::of_tones(
        tones.map(|tone| Tone { pitch: tone.pitch.moved(interval).unwrap_or(tone.pitch), ..*tone }).collect(),
    )
}
