//! The draft: all steps of composing in their order.

use super::chance::Chance;
use super::countersubject::{Countersubject, Order};
use super::error::ComposeError;
use super::filling::Filling;
use super::frame::Frame;
use super::harmony_track::HarmonyTrack;
use super::order::{FEWEST_VOICES, MOST_VOICES};
use super::plan::{Plan, plan};
use super::rhythm::Activity;
use super::strand::{Strand, Tone};
use crate::answer::{Answer, Reading};
use crate::chord::Numeral;
use crate::ensemble::Ensemble;
use crate::exposition::{Entry, Exposition, Link, Role};
use crate::harmony::Harmony;
use crate::line::Line;
use crate::pitch::Pitch;
use crate::rules::{Evidence, Finding, RuleBook, Severity};
use crate::score::{Part, Score};
use crate::subject::Subject;
use crate::texture::Texture;
use crate::time::Time;
use std::collections::BTreeSet;

/// The longest subject, in notes, that is composed with.
pub const MAX_SUBJECT_NOTES: usize = 400;
/// How often a draft is mended where its review finds something.
const ROUNDS: usize = 10;

/// What a draft is made for.
#[derive(Clone, Debug)]
pub struct DraftOptions {
    ensemble: Ensemble,
    order: Option<Vec<usize>>,
    answer: usize,
    seed: u64,
}

impl DraftOptions {
    /// A draft for an ensemble of two to five voices, entering in a recommended order.
    pub const fn new(ensemble: Ensemble) -> Self {
        Self { ensemble, order: None, answer: 0, seed: 0 }
    }

    /// With an order of entries: indices of voices, 0 being the top part.
    #[must_use]
    pub fn with_order(self, order: Vec<usize>) -> Self {
        Self { order: Some(order), ..self }
    }

    /// With another answer than the first choice: its place among [`Subject::answers`].
    #[must_use]
    pub fn with_answer(self, answer: usize) -> Self {
        Self { answer, ..self }
    }

    /// With a seed: the same seed gives the same draft, another seed may give another.
    #[must_use]
    pub fn with_seed(self, seed: u64) -> Self {
        Self { seed, ..self }
    }
}

/// Drafts an exposition.
///
/// # Errors
/// If there are too few or too many voices, the order is incomplete, a voice cannot reach the
/// subject or the answer, or nothing lawful can be found.
pub fn draft(subject: &Subject, options: &DraftOptions) -> Result<Exposition, ComposeError> {
    let voices = options.ensemble.voices().len();
    if !(FEWEST_VOICES..=MOST_VOICES).contains(&voices) {
        return Err(ComposeError::Voices { voices });
    }
    let notes = subject.line().notes().len();
    if notes > MAX_SUBJECT_NOTES {
        return Err(ComposeError::TooLong { notes, limit: MAX_SUBJECT_NOTES });
    }
    let mut answers = subject.answers()?;
    let answer = answers.swap_remove(options.answer.min(answers.len() - 1));
    Workshop::new(subject, answer, options)?.run()
}

/// The work on one draft.
struct Workshop<'a> {
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

/// A draft under review: the voices, and where the countersubject stands.
struct Attempt {
    strands: Vec<Strand>,
    countersubject: Option<Countersubject>,
    /// Entry, voice, onset and end of each appearance of the countersubject.
    appearances: Vec<Appearance>,
    fillings: Vec<Stretch>,
}

impl Attempt {
    /// Whether a tone of a voice is of its own, neither theme nor countersubject.
    fn is_filling(&self, voice: usize, tone: Tone) -> bool {
        self.fillings.iter().any(|at| at.voice == voice && (at.from..at.to).contains(&tone.on))
    }

    /// For a tone of the countersubject, the tone it comes from where it is first heard.
    fn origin(&self, plan: &Plan, voice: usize, tone: Tone) -> Option<Tone> {
        let mut appearances = self.appearances.iter();
        let appearance = appearances.find(|at| at.voice == voice && (at.from..at.to).contains(&tone.on))?;
        self.countersubject.as_ref()?.origin(plan, appearance.entry, tone.on)
    }

    /// What the draft weighs beside its findings: a countersubject that falls short, or none.
    fn weight(&self) -> usize {
        match &self.countersubject {
            Some(countersubject) if countersubject.is_met() => 0,
            Some(_) => 600,
            None => 1_200,
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Appearance {
    entry: usize,
    voice: usize,
    from: i64,
    to: i64,
}

/// A stretch of a voice to be filled.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    voice: usize,
    from: i64,
    to: i64,
    activity: Activity,
}

impl<'a> Workshop<'a> {
    fn new(subject: &'a Subject, answer: Answer, options: &'a DraftOptions) -> Result<Self, ComposeError> {
        let plan = plan(subject, &answer, &options.ensemble, options.order.as_deref())?;
        let track = harmony_track(subject, &answer, &plan);
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

    fn run(mut self) -> Result<Exposition, ComposeError> {
        let book = RuleBook::free_baroque();
        let mut best: Option<(usize, Exposition)> = None;
        for _ in 0..ROUNDS {
            let attempt = self.attempt();
            let exposition = self.exposition(&attempt)?;
            let findings = book.review(&Texture::of(exposition.score()));
            let weight =
                attempt.weight() + findings.iter().map(|finding| weight(finding.severity)).sum::<usize>();
            if best.as_ref().is_none_or(|(known, _)| weight < *known) {
                best = Some((weight, exposition));
            }
            if !self.learn(&attempt, &findings) {
                break;
            }
        }
        best.map(|(_, exposition)| exposition).ok_or(ComposeError::Countersubject)
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
                let origins =
                    fixed.iter().filter_map(|&(voice, tone)| attempt.origin(&self.plan, voice, tone));
                learned |= origins
                    .fold(false, |any, tone| self.banned_countersubject.insert((tone.on, tone.pitch)) || any);
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
    /// voices that go on freely while the last two have theme and countersubject. Not every voice
    /// sounds all the time: one goes on freely, two at the last entry.
    fn stretches(&self, appearances: &[Appearance]) -> Vec<Stretch> {
        let entries = &self.plan.entries;
        let mut stretches = Vec::new();
        for entry in 0..entries.len() - 1 {
            let appearance = appearances.iter().find(|at| at.entry == entry + 1);
            let to = appearance.map_or(self.plan.end_of(entry + 1), |at| at.from);
            stretches.push(Stretch {
                voice: entries[entry].voice,
                from: self.plan.end_of(entry),
                to,
                activity: Activity::Lively,
            });
        }
        for entry in 2..entries.len() {
            let last = entry == entries.len() - 1;
            let from = self.plan.end_of(entry - 1);
            let to = self.plan.end_of(entry);
            stretches.push(Stretch { voice: entries[entry - 2].voice, from, to, activity: Activity::Lively });
            if last && entry >= 3 {
                stretches.push(Stretch {
                    voice: entries[entry - 3].voice,
                    from,
                    to,
                    activity: Activity::Calm,
                });
            }
        }
        stretches.retain(|stretch| stretch.from < stretch.to);
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

    fn exposition(&self, attempt: &Attempt) -> Result<Exposition, ComposeError> {
        let frame = &self.plan.frame;
        let end = self.plan.end();
        let length = end + (frame.bar - frame.place(end)) % frame.bar;
        let lines: Result<Vec<Line>, _> =
            attempt.strands.iter().map(|strand| strand.to_line(length, frame)).collect();
        let voices = self.options.ensemble.voices().iter().cloned();
        let parts = voices.zip(lines?).map(|(voice, line)| Part { voice, line }).collect();
        let score = Score::new(self.subject.key(), self.subject.meter(), self.plan.pickup, parts)?;
        let entries = self.entries(attempt)?;
        let first = self.plan.entries[1].onset;
        let countersubject = attempt.countersubject.as_ref().map(|found| {
            let shifted: Vec<_> = found
                .strand
                .tones()
                .iter()
                .map(|tone| Tone { on: tone.on - first, off: tone.off - first, ..*tone })
                .collect();
            Strand::of_tones(shifted).to_line(self.plan.span, frame)
        });
        Ok(Exposition {
            score,
            subject: self.subject.clone(),
            answer: self.answer.clone(),
            countersubject: countersubject.transpose()?,
            entries,
            codettas: self.codettas()?,
        })
    }

    fn entries(&self, attempt: &Attempt) -> Result<Vec<Entry>, ComposeError> {
        let planned =
            self.plan.entries.iter().enumerate().map(|(index, entry)| {
                (entry.role, entry.voice, entry.onset, self.plan.end_of(index), entry.key)
            });
        let appearances = attempt
            .appearances
            .iter()
            .map(|at| (Role::Countersubject, at.voice, at.from, at.to, self.plan.entries[at.entry].key));
        let mut entries = Vec::new();
        for (role, voice, from, to, key) in planned.chain(appearances) {
            let notes = attempt.strands[voice].within(from, to);
            entries.push(Entry { role, voice, onset: self.plan.frame.time(from)?, notes, key });
        }
        entries.sort_by_key(|entry| (entry.onset, entry.role));
        Ok(entries)
    }

    fn codettas(&self) -> Result<Vec<Link>, ComposeError> {
        let mut codettas = Vec::new();
        for (index, next) in self.plan.entries.iter().enumerate().skip(1) {
            let end = self.plan.end_of(index - 1);
            if end < next.onset {
                codettas
                    .push(Link { onset: self.plan.frame.time(end)?, end: self.plan.frame.time(next.onset)? });
            }
        }
        Ok(codettas)
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

/// The shortest note of the added lines: as short as the subject's, but no shorter than a
/// sixteenth and no longer than half a pulse.
fn finest(subject: &Subject, frame: &Frame) -> i64 {
    let shortest = subject.line().notes().iter().map(|note| frame.ticks(note.duration())).min().unwrap_or(1);
    let sixteenth = Time::new(1, 16).map_or(1, |time| frame.ticks(time));
    let half_pulse = frame.pulse() / 2;
    shortest.min(half_pulse).max(sixteenth).max(1)
}

/// The keys and chords of the whole draft: subject and answer bring their own, a link turns back
/// to the key that comes and ends on its dominant seventh.
fn harmony_track(subject: &Subject, answer: &Answer, plan: &Plan) -> HarmonyTrack {
    let tonic = subject.key();
    let mut track = HarmonyTrack::new(plan.frame, tonic);
    let inferred = || Harmony::infer(subject.line(), tonic, subject.meter(), subject.offset());
    let subject_plan = subject.harmony().cloned().unwrap_or_else(inferred);
    let modulates =
        answer.readings().last() == Some(&Reading::Dominant) && answer.readings().contains(&Reading::Tonic);
    let answer_plan = if modulates {
        Harmony::infer(answer.line(), answer.key(), subject.meter(), subject.offset())
    } else {
        subject_plan.clone()
    };
    for (index, entry) in plan.entries.iter().enumerate() {
        let harmony = if entry.role == Role::Answer { &answer_plan } else { &subject_plan };
        track.lay(entry.onset, entry.key, harmony);
        let end = plan.end_of(index);
        let Some(next) = plan.entries.get(index + 1) else { continue };
        if end < next.onset {
            let turn = (next.onset - plan.frame.pulse()).max(end);
            track.set_key(end, tonic);
            let seventh = "V7".parse::<Numeral>().ok().and_then(|numeral| numeral.in_key(next.key).ok());
            track.set_chord(turn, next.key, seventh);
        }
    }
    track
}
