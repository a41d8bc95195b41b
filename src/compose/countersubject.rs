//! The countersubject: one line that goes with the answer and the subject, above and below.
//!
//! It is sought where it is first heard, against the answer, in the voice that has just had the
//! subject. All its later appearances are brought into that place: the subject is moved up to
//! the answer's key, octaves are added, and what remains is one search with several settings.
//! Fifths count as fourths, so that the line can be turned upside down.
//!
//! Source: Prout, *Fugue*, §§159-163, 169-171, 194; Cherubini, *Treatise*, "On counter-subject".

use super::chance::Chance;
use super::harmony_track::HarmonyTrack;
use super::hearing::{Companion, Setting, Side, room};
use super::melody::{Melody, MelodyTask, melody};
use super::merit::Merit;
use super::palette::palette;
use super::plan::{Plan, Planned, octave_interval};
use super::rhythm::{Activity, RhythmTask, rhythm};
use super::strand::{Strand, Tone};
use super::taste::FORBIDDEN;
use crate::answer::{Answer, Reading};
use crate::ensemble::Ensemble;
use crate::exposition::Role;
use crate::interval::Interval;
use crate::pitch::Pitch;
use std::collections::BTreeSet;

/// At most this share of all attacks, in percent, may be struck together (the masters' median is 43).
const SHARED_PERCENT: usize = 45;
/// How many rhythms are tried at each pressure.
const VARIANTS: u64 = 8;
/// How strongly thirds and sixths are preferred and how much the line moves, from plain taste
/// onwards, until the merits are met.
const MANNERS: [(i64, Activity); 5] = [
    (1, Activity::Lively),
    (2, Activity::Lively),
    (2, Activity::Brisk),
    (5, Activity::Brisk),
    (14, Activity::Brisk),
];
/// The narrowest range, in semitones, in which a countersubject is sought.
const NARROWEST: i32 = 10;
/// How far from the entry, in semitones, the range reaches.
const REACH: i32 = 19;

/// A countersubject, where it is first heard, and how it is moved to where it is heard again.
#[derive(Clone, Debug)]
pub(super) struct Countersubject {
    /// Its tones in the place where it is first heard.
    pub(super) strand: Strand,
    /// Its cost, what it falls short of included.
    cost: i32,
    /// Whether it reaches the merits asked of every countersubject.
    is_met: bool,
    uses: Vec<Use>,
    relation: Relation,
}

/// One appearance: with which entry, and how many octaves away from the first place.
#[derive(Clone, Copy, Debug)]
struct Use {
    entry: usize,
    octaves: i32,
}

/// At which interval the countersubject follows from answer to subject: one for all of it, or
/// the answer's own note by note.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Relation {
    /// From which moment (ticks after the entry) which interval holds.
    changes: Vec<(i64, Interval)>,
}

impl Relation {
    fn at(&self, after_onset: i64) -> Interval {
        let change = self.changes.iter().rev().find(|(from, _)| *from <= after_onset);
        change.or(self.changes.first()).map_or(Interval::PERFECT_FIFTH, |(_, interval)| *interval)
    }
}

const fn interval_of(reading: Reading) -> Interval {
    match reading {
        Reading::Tonic => Interval::PERFECT_FIFTH,
        Reading::Dominant => Interval::PERFECT_FOURTH,
    }
}

/// The relations worth trying: the one that prevails, kept throughout, and the answer's own.
fn relations(plan: &Plan, subject: &Planned, answer: &Answer) -> Vec<Relation> {
    let mut own: Vec<(i64, Interval)> = Vec::new();
    let mut weights = [(Interval::PERFECT_FIFTH, 0), (Interval::PERFECT_FOURTH, 0)];
    for (note, &reading) in subject.line.notes().iter().zip(answer.readings()) {
        let interval = interval_of(reading);
        if own.last().is_none_or(|(_, known)| *known != interval) {
            own.push((plan.frame.ticks(note.onset()), interval));
        }
        for (known, weight) in &mut weights {
            if *known == interval {
                *weight += plan.frame.ticks(note.duration());
            }
        }
    }
    let prevailing = if weights[1].1 > weights[0].1 { weights[1].0 } else { weights[0].0 };
    let mut relations = vec![Relation { changes: vec![(0, prevailing)] }];
    if own.len() > 1 {
        relations.push(Relation { changes: own });
    }
    relations
}

/// One attempt at a line.
#[derive(Clone, Copy, Debug)]
struct Trial<'a> {
    relation: &'a Relation,
    pressure: i64,
    activity: Activity,
    chance: Chance,
}

/// What the search is for.
#[derive(Debug)]
pub(super) struct Order<'a> {
    pub(super) plan: &'a Plan,
    pub(super) answer: &'a Answer,
    pub(super) ensemble: &'a Ensemble,
    pub(super) track: &'a HarmonyTrack,
    pub(super) banned: &'a BTreeSet<(i64, Pitch)>,
    pub(super) finest: i64,
    pub(super) chance: Chance,
}

impl Order<'_> {
    /// The best countersubject; `None` if the answer leaves no room for one.
    pub(super) fn search(&self) -> Option<Countersubject> {
        let relations = relations(self.plan, &self.plan.entries[0], self.answer);
        let mut best: Option<Countersubject> = None;
        for (pressure, activity) in MANNERS {
            for variant in 0..VARIANTS {
                let chance = self.chance.fork(variant);
                let found = relations
                    .iter()
                    .filter_map(|relation| self.search_with(&Trial { relation, pressure, activity, chance }));
                best = best.into_iter().chain(found).min_by_key(|found| (!found.is_met, found.cost));
            }
            if best.as_ref().is_none_or(|best| best.is_met) {
                break;
            }
        }
        best
    }

    fn first(&self) -> &Planned {
        &self.plan.entries[1]
    }

    /// Where it begins: when no entry's last note sounds any more in the voice that takes it up.
    fn from(&self) -> i64 {
        self.first().onset + self.plan.overlap()
    }

    fn search_with(&self, trial: &Trial<'_>) -> Option<Countersubject> {
        let relation = trial.relation;
        let (from, to) = (self.from(), self.plan.end_of(1));
        if from >= to {
            return None;
        }
        let heard: Vec<Strand> =
            (0..self.plan.entries.len()).map(|entry| self.brought_home(entry, relation)).collect();
        let (uses, range) = self.uses(&heard, relation)?;
        let moved: Vec<(Strand, Option<Strand>)> = uses
            .iter()
            .map(|&used| (lowered(&heard[used.entry], used.octaves), self.overlapping(used, relation)))
            .collect();
        let settings = self.settings(&uses, &moved, range, trial.pressure);
        let forced: Vec<i64> = relation.changes.iter().map(|change| self.first().onset + change.0).collect();
        let slots = self.slots(&heard[1], &forced, trial);
        let before = self.before(from);
        let task = MelodyTask {
            slots: &slots,
            before,
            after: None,
            palette: &palette(self.track, from, to, range),
            track: self.track,
            settings: &settings,
            banned: self.banned,
            chance: trial.chance.fork(2),
        };
        let Melody { strand, cost } = melody(&task)?;
        let heard_with = Strand::of_tones(heard[1].tones()[heard[1].within(from, to)].to_vec());
        let merit = Merit::of(&strand, &heard_with, &self.plan.frame);
        let is_met = merit.is_met() && cost < FORBIDDEN;
        let cost = cost + merit.shortfall();
        Some(Countersubject { strand, cost, is_met, uses, relation: relation.clone() })
    }

    fn slots(&self, answer: &Strand, forced: &[i64], trial: &Trial<'_>) -> Vec<(i64, i64)> {
        let others: Vec<i64> = answer.tones().iter().map(|tone| tone.on).collect();
        let task = RhythmTask {
            from: self.from(),
            to: self.plan.end_of(1),
            others: &others,
            voices: std::slice::from_ref(&others),
            forced,
            finest: self.finest,
            activity: trial.activity,
            shared_percent: SHARED_PERCENT,
        };
        rhythm(&self.plan.frame, &task, trial.chance.fork(1))
    }

    /// The last note of the subject, if the countersubject follows on it.
    fn before(&self, from: i64) -> Option<Pitch> {
        let opening = &self.plan.entries[0];
        let last = Strand::of_line(&opening.line, opening.onset, &self.plan.frame).before(from)?;
        (last.off == from).then_some(last.pitch)
    }

    /// An entry's tones where the countersubject is first heard: at the time of the first answer,
    /// a subject moved up into the answer's key.
    fn brought_home(&self, entry: usize, relation: &Relation) -> Strand {
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
    fn overlapping(&self, used: Use, relation: &Relation) -> Option<Strand> {
        let planned = &self.plan.entries[used.entry];
        let next = self.plan.entries.get(used.entry + 1)?;
        let delay = next.onset - planned.onset;
        let strand = Strand::of_line(&next.line, self.first().onset + delay, &self.plan.frame);
        let heard = strand.tones()[strand.within(self.from(), self.plan.end_of(1))].to_vec();
        let home = self.moved_home(&Strand::of_tones(heard), planned.role, relation);
        (!home.tones().is_empty()).then(|| lowered(&home, used.octaves))
    }

    /// The voice that has the countersubject with an entry: the one that entered just before.
    fn voice(&self, entry: usize) -> usize {
        self.plan.entries[entry - 1].voice
    }

    fn is_below(&self, entry: usize) -> bool {
        self.voice(entry) > self.plan.entries[entry].voice
    }

    /// The appearances that one range can serve, and that range. Where an entry lies on the other
    /// side, the line is heard an octave away, or two if that suits the voice better.
    fn uses(&self, heard: &[Strand], relation: &Relation) -> Option<(Vec<Use>, (i32, i32))> {
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

    fn settings<'a>(
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

impl Countersubject {
    /// Whether it reaches the merits asked of every countersubject.
    pub(super) const fn is_met(&self) -> bool {
        self.is_met
    }

    /// The tones with an entry: the voice that has them is the one that entered just before.
    /// `None` if the countersubject does not go with that entry.
    pub(super) fn with_entry(&self, plan: &Plan, entry: usize) -> Option<Strand> {
        let used = self.uses.iter().find(|used| used.entry == entry)?;
        let planned = &plan.entries[entry];
        let home = plan.entries[1].onset;
        let octaves = octave_interval(used.octaves)?;
        let tones: Option<Vec<Tone>> = self
            .strand
            .tones()
            .iter()
            .map(|tone| {
                let mut pitch = tone.pitch.moved(octaves).ok()?;
                if planned.role == Role::Subject {
                    pitch = pitch.moved(-self.relation.at(tone.on - home)).ok()?;
                }
                let delay = planned.onset - home;
                Some(Tone { pitch, on: tone.on + delay, off: tone.off + delay })
            })
            .collect();
        tones.map(Strand::of_tones)
    }

    /// The tone of the first place that a tone with an entry comes from.
    pub(super) fn origin(&self, plan: &Plan, entry: usize, on: i64) -> Option<Tone> {
        let delay = plan.entries[entry].onset - plan.entries[1].onset;
        self.strand.tones().iter().find(|tone| tone.on + delay == on).copied()
    }
}

fn lowered(strand: &Strand, octaves: i32) -> Strand {
    let Some(interval) = octave_interval(-octaves) else { return strand.clone() };
    let tones = strand.tones().iter();
    Strand::of_tones(
        tones.map(|tone| Tone { pitch: tone.pitch.moved(interval).unwrap_or(tone.pitch), ..*tone }).collect(),
    )
}

fn height_range(strand: &Strand) -> Option<(i32, i32)> {
    let heights = strand.tones().iter().map(|tone| tone.pitch.height());
    heights.clone().min().zip(heights.max())
}

fn intersect(one: (i32, i32), other: (i32, i32)) -> (i32, i32) {
    (one.0.max(other.0), one.1.min(other.1))
}
