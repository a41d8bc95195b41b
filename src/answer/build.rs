//! From the ways of hearing a subject to its answers.

use super::charges::charge;
use super::facts::{Close, Facts};
use super::search;
use super::{Alteration, Answer, AnswerError, AnswerKind, Charge, CostLine, Hearing, Reading, Reason};
use crate::interval::Interval;
use crate::key::Key;
use crate::line::{Line, Note};
use crate::pitch::Pitch;
use crate::subject::Subject;

/// The most answers offered.
const OFFERED: usize = 5;

impl Subject {
    /// The answers, best first: distinct, sorted by cost, at least three where so many exist.
    ///
    /// Each is placed as near to the subject as it goes: below it, unless most notes are answered
    /// at the fourth. Durations are the subject's.
    ///
    /// # Errors
    /// If an answer lies beyond the limits of notation.
    pub fn answers(&self) -> Result<Vec<Answer>, AnswerError> {
        self.answers_heard(&[])
    }

    /// The answers if some notes are known to be heard in the tonic or in the dominant, as a
    /// harmony given by the composer tells; notes beyond the hints are left to the ear.
    ///
    /// # Errors
    /// As [`Subject::answers`].
    pub fn answers_heard(&self, hints: &[Option<Reading>]) -> Result<Vec<Answer>, AnswerError> {
        let facts = Facts::of(self);
        let mut answers: Vec<Answer> = Vec::with_capacity(2 * OFFERED);
        for (_, path) in search::best(&facts, hints) {
            let readings: Vec<Reading> = path.iter().map(|hearing| hearing.reading()).collect();
            if answers.len() >= OFFERED || answers.iter().any(|answer| answer.readings == readings) {
                continue;
            }
            let draft = Draft { subject: self, facts: &facts, path: &path, readings, hints };
            answers.extend(draft.with_raised_third()?);
            answers.push(draft.answer(&[])?);
        }
        answers.sort_by(|a, b| {
            let key = |answer: &Answer| (answer.cost(), answer.alterations.len());
            key(a).cmp(&key(b)).then_with(|| a.readings.cmp(&b.readings))
        });
        answers.truncate(OFFERED);
        Ok(answers)
    }
}

/// An answer about to be written.
struct Draft<'a> {
    subject: &'a Subject,
    facts: &'a Facts,
    path: &'a [Hearing],
    readings: Vec<Reading>,
    hints: &'a [Option<Reading>],
}

impl Draft<'_> {
    /// The same with the major third at the close, where a minor subject closes on a minor third.
    fn with_raised_third(&self) -> Result<Option<Answer>, AnswerError> {
        let raised = self.closing_thirds();
        if raised.is_empty() { Ok(None) } else { self.answer(&raised).map(Some) }
    }

    /// The closing third and, if its upper neighbour alone parts them, the third before it.
    fn closing_thirds(&self) -> Vec<usize> {
        let notes = &self.facts.notes;
        let (Some(last), Some(Reading::Tonic)) = (notes.last(), self.readings.last()) else {
            return Vec::new();
        };
        let third = match last.degree.number() {
            3 => true,
            7 => self.facts.close != Close::Home,
            _ => false,
        };
        if !self.facts.minor || !third || last.degree.alteration() != 0 {
            return Vec::new();
        }
        let end = notes.len() - 1;
        match notes.len().checked_sub(3) {
            Some(before)
                if notes[before].pitch == last.pitch
                    && (notes[end - 1].pitch - last.pitch).steps() == 1
                    && self.readings[before] == Reading::Tonic =>
            {
                vec![before, end]
            }
            _ => vec![end],
        }
    }

    fn answer(&self, raised: &[usize]) -> Result<Answer, AnswerError> {
        let (kind, key) = self.kind_and_key()?;
        let below = self.lies_below();
        let mut notes = Vec::with_capacity(self.readings.len());
        let mut alterations = Vec::new();
        for (index, note) in self.subject.line().notes().iter().enumerate() {
            let reading = self.readings[index];
            let at = |error| AnswerError::Note { note: index, source: error };
            let real = moved(note.pitch(), Reading::Tonic, below).map_err(at)?;
            let mut chosen = moved(note.pitch(), reading, below).map_err(at)?;
            if raised.contains(&index) {
                chosen = chosen.moved(Interval::between(0, 1)).map_err(at)?;
            }
            if chosen != real {
                alterations.push(self.alteration(index, real, chosen, kind));
            }
            notes.push(Note::new(chosen, note.onset(), note.duration()));
        }
        let line = Line::from_notes(notes, self.subject.line().length())
            .map_err(|source| AnswerError::Line { source })?;
        let costs = self.costs(raised);
        Ok(Answer { kind, key, line, readings: self.readings.clone(), costs, alterations })
    }

    fn alteration(&self, note: usize, real: Pitch, chosen: Pitch, kind: AnswerKind) -> Alteration {
        let degree = self.facts.notes[note].degree;
        let reason = match kind {
            AnswerKind::Tonal => Reason::of(self.path[note], degree.number() == 5),
            _ if self.readings[note] == Reading::Dominant => Reason::WholeAtFourth,
            _ => Reason::ClosingThird,
        };
        Alteration { note, degree, real, chosen, reason }
    }

    fn kind_and_key(&self) -> Result<(AnswerKind, Key), AnswerError> {
        let key = self.subject.key();
        let named = |result: Result<Key, _>| result.map_err(|source| AnswerError::Key { key, source });
        let dominants = self.readings.iter().filter(|&&reading| reading == Reading::Dominant).count();
        Ok(match dominants {
            0 => (AnswerKind::Real, named(key.dominant())?),
            count if count < self.readings.len() => (AnswerKind::Tonal, named(key.dominant())?),
            _ if self.facts.close != Close::Home => (AnswerKind::Real, key),
            _ => (AnswerKind::Subdominant, named(key.subdominant())?),
        })
    }

    /// Whether the answer is nearer below the subject than above it.
    fn lies_below(&self) -> bool {
        let tonics = self.readings.iter().filter(|&&reading| reading == Reading::Tonic).count();
        2 * tonics >= self.readings.len()
    }

    fn costs(&self, raised: &[usize]) -> Vec<CostLine> {
        let mut costs = Vec::new();
        for (index, &now) in self.path.iter().enumerate() {
            let before = index.checked_sub(1).map(|before| self.path[before]);
            let hint = self.hints.get(index).copied().flatten();
            charge(self.facts, index, before, now, hint, |charge, times| {
                costs.push(CostLine { note: index, charge, cost: charge.weight() * times });
            });
        }
        costs.extend(self.closing_charge(raised));
        costs
    }
}

impl Draft<'_> {
    /// A raised third at the close costs something, except where it saves a third main key.
    fn closing_charge(&self, raised: &[usize]) -> Option<CostLine> {
        let note = *self.closing_thirds().last()?;
        let abroad = self.facts.close != Close::Home;
        let charge = match (raised.is_empty(), abroad) {
            (true, true) => Charge::ThirdNotRaised,
            (false, false) => Charge::ThirdRaised,
            _ => return None,
        };
        Some(CostLine { note, charge, cost: charge.weight() })
    }
}

/// A note of the answer, in the octave below the subject's or in its own.
fn moved(pitch: Pitch, reading: Reading, below: bool) -> Result<Pitch, crate::pitch::PitchError> {
    let up = reading.interval();
    let by = if below { Interval::between(up.steps() - 7, up.semitones() - 12) } else { up };
    pitch.moved(by)
}
