//! The work on a draft: compose, review, rule out what was found, compose again.

use super::assembly::Assembly;
use super::attempt::{Appearance, Attempt, Stretch};
use super::chance::Chance;
use super::countersubject::{Countersubject, Order};
use super::draft::DraftOptions;
use super::error::ComposeError;
use super::filling::Filling;
use super::frame::Frame;
use super::harmony_track::HarmonyTrack;
use super::plan::{Plan, Planned, plan};
use super::rhythm::Activity;
use super::strand::Strand;
use crate::answer::Answer;
use crate::exposition::Exposition;
use crate::pitch::Pitch;
use crate::rules::{Evidence, Finding, RuleBook, Severity};
use crate::subject::Subject;
use crate::texture::Texture;
use crate::time::Time;
use std::collections::BTreeSet;

/// How often a draft is mended where its review finds something.
const ROUNDS: usize = 10;
/// After how many rounds that mend nothing the best draft so far is taken.
const PATIENCE: usize = 3;

/// The work on one draft.
pub(super) struct Workshop<'a> {
    subject: &'a Subject,
    answer: Answer,
    options: &'a DraftOptions,
    plan: Plan,
    track: HarmonyTrack,
    chance: Chance,
    finest: i64,
    /// Notes ruled out by reviews: in the countersubject where it is first heard, and by voice.
    banned_countersubject: BTreeSet<(i64, Pitch)>,
    banned: Vec<BTreeSet<(i64, Pitch)>>,
    /// The last countersubject, with the number of notes that were ruled out when it was sought.
    found: Option<(usize, Option<Countersubject>)>,
    /// Stretches in which a voice rests because no lawful line was found.
    silenced: BTreeSet<(usize, i64)>,
}

impl<'a> Workshop<'a> {
    /// Sets out to draft an exposition.
    pub(super) fn new(
        subject: &'a Subject,
        answer: Answer,
        options: &'a DraftOptions,
    ) -> Result<Self, ComposeError> {
        let plan = plan(subject, &answer, &options.ensemble, options.order.as_deref())?;
        let track = HarmonyTrack::of(subject, &answer, &plan);
        let finest = finest(subject, &plan.frame);
        Ok(Self {
            subject,
            answer,
            options,
            track,
            chance: Chance::new(options.seed),
            finest,
            banned_countersubject: BTreeSet::new(),
            banned: vec![BTreeSet::new(); options.ensemble.voices().len()],
            found: None,
            silenced: BTreeSet::new(),
            plan,
        })
    }

    /// Composes and mends until the review has nothing grave to say, or no mending helps.
    pub(super) fn run(mut self) -> Result<Exposition, ComposeError> {
        let book = RuleBook::drafting();
        let mut best: Option<(usize, Exposition)> = None;
        let mut idle = 0;
        for _ in 0..ROUNDS {
            let attempt = self.attempt();
            let exposition = self.assembly(&attempt).exposition()?;
            let findings = book.review(&Texture::of(exposition.score()));
            let weight =
                attempt.weight() + findings.iter().map(|finding| weight(finding.severity)).sum::<usize>();
            idle += 1;
            if best.as_ref().is_none_or(|(known, _)| weight < *known) {
                best = Some((weight, exposition));
                idle = 0;
            }
            if !self.learn(&attempt, &findings) || idle == PATIENCE {
                break;
            }
        }
        best.map(|(_, exposition)| exposition).ok_or(ComposeError::Countersubject)
    }

    fn assembly<'s>(&'s self, attempt: &'s Attempt) -> Assembly<'s> {
        let ensemble = &self.options.ensemble;
        Assembly { subject: self.subject, answer: &self.answer, ensemble, plan: &self.plan, attempt }
    }

    /// Rules out notes that findings of weight name; whether there were any. A filling voice gives
    /// way first; the countersubject only to a fault that concerns no filling voice. What is said of
    /// a stretch of time concerns no single pitch.
    fn learn(&mut self, attempt: &Attempt, findings: &[Finding]) -> bool {
        let mut learned = false;
        let of_pitch = |finding: &&Finding| !matches!(finding.evidence, Evidence::Stretch { .. });
        let grave = findings.iter().filter(|finding| finding.severity > Severity::Remark);
        for finding in grave.filter(of_pitch) {
            let named = finding.notes.iter().filter_map(|&(voice, index)| {
                attempt.strands[voice].tones().get(index).map(|tone| (voice, *tone))
            });
            let (free, fixed): (Vec<_>, Vec<_>) =
                named.partition(|&(voice, tone)| attempt.is_filling(voice, tone));
            for &(voice, tone) in &free {
                learned |= self.banned[voice].insert((tone.on, tone.pitch));
            }
            if free.is_empty() && finding.severity == Severity::Fault {
                for tone in fixed.iter().filter_map(|&(voice, tone)| attempt.origin(&self.plan, voice, tone))
                {
                    learned |= self.banned_countersubject.insert((tone.on, tone.pitch));
                }
            }
        }
        learned
    }

    fn attempt(&mut self) -> Attempt {
        let mut strands = vec![Strand::default(); self.options.ensemble.voices().len()];
        for entry in &self.plan.entries {
            strands[entry.voice].join(&Strand::of_line(&entry.line, entry.onset, &self.plan.frame));
        }
        let countersubject = self.countersubject();
        let appearances = self.appear(countersubject.as_ref(), &mut strands);
        let mut fillings = self.stretches(&appearances);
        fillings.retain(|stretch| !self.silenced.contains(&(stretch.voice, stretch.from)));
        for stretch in &fillings {
            let found = self.filling(stretch, &strands).search();
            match found {
                Some(melody) if melody.is_lawful() => strands[stretch.voice].join(&melody.strand),
                _ => {
                    self.silenced.insert((stretch.voice, stretch.from));
                }
            }
        }
        Attempt { strands, countersubject, appearances, fillings }
    }

    /// The countersubject, sought anew only when a review has ruled out one of its notes.
    fn countersubject(&mut self) -> Option<Countersubject> {
        let ruled_out = self.banned_countersubject.len();
        if let Some((known, found)) = &self.found
            && *known == ruled_out
        {
            return found.clone();
        }
        let found = self.search_countersubject();
        self.found = Some((ruled_out, found.clone()));
        found
    }

    fn search_countersubject(&self) -> Option<Countersubject> {
        let order = Order {
            plan: &self.plan,
            answer: &self.answer,
            ensemble: &self.options.ensemble,
            track: &self.track,
            banned: &self.banned_countersubject,
            finest: self.finest,
            chance: self.chance.fork(1),
        };
        order.search()
    }

    fn appear(&self, countersubject: Option<&Countersubject>, strands: &mut [Strand]) -> Vec<Appearance> {
        let mut appearances = Vec::new();
        let Some(countersubject) = countersubject else { return appearances };
        for entry in 1..self.plan.entries.len() {
            let Some(strand) = countersubject.with_entry(&self.plan, entry) else { continue };
            let voice = self.plan.entries[entry - 1].voice;
            let Some(from) = strand.tones().first().map(|tone| tone.on) else { continue };
            appearances.push(Appearance { entry, voice, from, to: strand.end() });
            strands[voice].join(&strand);
        }
        appearances
    }

    /// What remains to be filled: first the links of the voices that come from an entry, then the
    /// voices that go on freely while the last two have theme and countersubject.
    fn stretches(&self, appearances: &[Appearance]) -> Vec<Stretch> {
        let mut stretches = self.links(appearances);
        stretches.extend(self.free_parts());
        stretches.retain(|stretch| stretch.from < stretch.to);
        stretches
    }

    /// From the end of each entry to the countersubject of its voice, or to the end of the next entry
    /// where it has none.
    fn links(&self, appearances: &[Appearance]) -> Vec<Stretch> {
        let followed = self.plan.entries.iter().enumerate().take(self.plan.entries.len() - 1);
        let link = |(entry, planned): (usize, &Planned)| {
            let appearance = appearances.iter().find(|at| at.entry == entry + 1);
            Stretch {
                voice: planned.voice,
                from: self.plan.end_of(entry),
                to: appearance.map_or(self.plan.end_of(entry + 1), |at| at.from),
                activity: Activity::Lively,
            }
        };
        followed.map(link).collect()
    }

    /// Not every voice sounds all the time: one goes on freely, two at the last entry.
    fn free_parts(&self) -> Vec<Stretch> {
        let entries = &self.plan.entries;
        let mut stretches = Vec::new();
        for entry in 2..entries.len() {
            let (from, to) = (self.plan.end_of(entry - 1), self.plan.end_of(entry));
            stretches.push(Stretch { voice: entries[entry - 2].voice, from, to, activity: Activity::Lively });
            if entry == entries.len() - 1 && entry >= 3 {
                let voice = entries[entry - 3].voice;
                stretches.push(Stretch { voice, from, to, activity: Activity::Calm });
            }
        }
        stretches
    }

    fn filling<'s>(&'s self, stretch: &Stretch, strands: &'s [Strand]) -> Filling<'s> {
        let compass = self.options.ensemble.voices()[stretch.voice].compass();
        Filling {
            frame: &self.plan.frame,
            track: &self.track,
            strands,
            voice: stretch.voice,
            compass: compass
                .map_or((0, 127), |compass| (compass.lowest().height(), compass.highest().height())),
            from: stretch.from,
            to: stretch.to,
            activity: stretch.activity,
            finest: self.finest,
            banned: &self.banned[stretch.voice],
            chance: self.chance.fork(100 + stretch.from.unsigned_abs() * 8 + stretch.voice as u64),
        }
    }
}

/// What a finding of a draft weighs when two drafts are compared.
const fn weight(severity: Severity) -> usize {
    match severity {
        Severity::Fault => 10_000,
        Severity::Caution => 100,
        Severity::Remark => 1,
    }
}

/// The shortest note of the added lines: half the subject's shortest, so that a line can move
/// between the notes of an even subject, but no shorter than a sixteenth and no longer than half a
/// pulse.
fn finest(subject: &Subject, frame: &Frame) -> i64 {
    let shortest = subject.line().notes().iter().map(|note| frame.ticks(note.duration())).min().unwrap_or(1);
    let sixteenth = Time::new(1, 16).map_or(1, |time| frame.ticks(time));
    let half_pulse = frame.pulse() / 2;
    (shortest / 2).max(sixteenth).min(half_pulse).max(1)
}
