//! The search for a countersubject over relations, manners and rhythms.

use super::found::Countersubject;
use super::home::lowered;
use super::relation::{Relation, relations};
use crate::answer::Answer;
use crate::compose::chance::Chance;
use crate::compose::harmony_track::HarmonyTrack;
use crate::compose::hearing::Setting;
use crate::compose::melody::{Melody, MelodyTask, melody};
use crate::compose::merit::Merit;
use crate::compose::palette::palette;
use crate::compose::plan::{Plan, Planned};
use crate::compose::rhythm::{Activity, RhythmTask, rhythm};
use crate::compose::strand::Strand;
use crate::compose::taste::FORBIDDEN;
use crate::ensemble::Ensemble;
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
pub(in crate::compose) struct Order<'a> {
    pub(in crate::compose) plan: &'a Plan,
    pub(in crate::compose) answer: &'a Answer,
    pub(in crate::compose) ensemble: &'a Ensemble,
    pub(in crate::compose) track: &'a HarmonyTrack,
    pub(in crate::compose) banned: &'a BTreeSet<(i64, Pitch)>,
    pub(in crate::compose) finest: i64,
    pub(in crate::compose) chance: Chance,
}

impl Order<'_> {
    /// The best countersubject; `None` if the answer leaves no room for one.
    pub(in crate::compose) fn search(&self) -> Option<Countersubject> {
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

    /// The answer with which it is first heard.
    pub(super) fn first(&self) -> &Planned {
        &self.plan.entries[1]
    }

    /// Where it begins: when no entry's last note sounds any more in the voice that takes it up.
    pub(super) fn from(&self) -> i64 {
        self.first().onset + self.plan.overlap()
    }

    fn search_with(&self, trial: &Trial<'_>) -> Option<Countersubject> {
        let relation = trial.relation;
        if self.from() >= self.plan.end_of(1) {
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
        let Melody { strand, cost } = self.melody(&self.slots(&heard[1], trial), &settings, range, trial)?;
        let merit = self.merit(&strand, &heard[1]);
        let is_met = merit.is_met() && cost < FORBIDDEN;
        let cost = cost.saturating_add(merit.shortfall());
        Some(Countersubject { strand, cost, is_met, uses, relation: relation.clone() })
    }

    fn melody(
        &self,
        slots: &[(i64, i64)],
        settings: &[Setting<'_>],
        range: (i32, i32),
        trial: &Trial<'_>,
    ) -> Option<Melody> {
        let (from, to) = (self.from(), self.plan.end_of(1));
        melody(&MelodyTask {
            slots,
            before: self.before(from),
            after: None,
            palette: &palette(self.track, from, to, range),
            track: self.track,
            settings,
            banned: self.banned,
            chance: trial.chance.fork(2),
        })
    }

    /// The merits of a line against what it hears of the answer.
    fn merit(&self, line: &Strand, answer: &Strand) -> Merit {
        let heard = answer.within(self.from(), self.plan.end_of(1));
        Merit::of(line, &Strand::of_tones(answer.tones()[heard].to_vec()), &self.plan.frame)
    }

    fn slots(&self, answer: &Strand, trial: &Trial<'_>) -> Vec<(i64, i64)> {
        let others: Vec<i64> = answer.tones().iter().map(|tone| tone.on).collect();
        let changes = trial.relation.changes.iter();
        let forced: Vec<i64> = changes.map(|change| self.first().onset + change.0).collect();
        let task = RhythmTask {
            from: self.from(),
            to: self.plan.end_of(1),
            others: &others,
            voices: std::slice::from_ref(&others),
            forced: &forced,
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

    /// The voice that has the countersubject with an entry: the one that entered just before.
    pub(super) fn voice(&self, entry: usize) -> usize {
        self.plan.entries[entry - 1].voice
    }
}
