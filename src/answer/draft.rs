//! From a way of hearing a subject to an answer.

use super::charges::Moment;
use super::facts::Facts;
use super::modulation::Close;
use super::{Alteration, Answer, AnswerError, AnswerKind, Charge, CostLine, Hearing, Reading, Reason};
use crate::interval::Interval;
use crate::key::Key;
use crate::pitch::{Pitch, PitchError};

/// An answer about to be written.
pub(super) struct Draft<'a> {
    pub(super) facts: &'a Facts<'a>,
    pub(super) hints: &'a [Option<Reading>],
    pub(super) hearings: &'a [Hearing],
    /// The notes that are raised by a semitone.
    pub(super) raised: &'a [usize],
}

impl Draft<'_> {
    /// The answer, on the nearer side of the subject unless the octaves end there.
    pub(super) fn answer(&self) -> Result<Answer, AnswerError> {
        let below = self.lies_below();
        match self.answer_placed(below) {
            Err(AnswerError::Note { source: PitchError::OctaveRange { .. }, .. }) => {
                self.answer_placed(!below)
            }
            result => result,
        }
    }

    fn answer_placed(&self, below: bool) -> Result<Answer, AnswerError> {
        let (kind, key) = self.kind_and_key()?;
        let mut pitches = Vec::with_capacity(self.hearings.len());
        let mut alterations = Vec::new();
        for (index, hearing) in self.hearings.iter().enumerate() {
            let at = |source| AnswerError::Note { note: index, source };
            let pitch = self.facts.notes[index].pitch;
            let real = answered(pitch, Reading::Tonic, below).map_err(at)?;
            let mut chosen = answered(pitch, hearing.reading(), below).map_err(at)?;
            if self.raised.contains(&index) || self.second_gives_way(index) {
                chosen = chosen.moved(Interval::between(0, 1)).map_err(at)?;
            }
            if chosen != real {
                alterations.push(self.alteration(index, real, chosen, kind));
            }
            pitches.push(chosen);
        }
        Ok(Answer {
            kind,
            key,
            line: self.facts.subject.line().with_each_pitch(&pitches),
            readings: self.hearings.iter().map(|hearing| hearing.reading()).collect(),
            costs: self.costs(),
            alterations,
        })
    }

    /// Whether a note is a neighbour note that moves along with its dominant and takes the second
    /// that the tonic has in its place.
    fn second_gives_way(&self, note: usize) -> bool {
        self.hearings[note] == Hearing::Neighbour
            && self.facts.opening.is_some_and(|opening| {
                note == opening.last + 1 && opening.second_gives_way(&self.facts.notes)
            })
    }

    fn alteration(&self, note: usize, real: Pitch, chosen: Pitch, kind: AnswerKind) -> Alteration {
        let degree = self.facts.notes[note].degree;
        let reason = match self.hearings[note] {
            Hearing::Home => Reason::ClosingThird,
            _ if kind == AnswerKind::Real => Reason::DominantSubject,
            _ if kind == AnswerKind::Subdominant => Reason::Subdominant,
            Hearing::Opening => Reason::OpeningDominant,
            Hearing::Neighbour => Reason::Neighbour,
            Hearing::Aside => Reason::LeadingNoteGroup,
            Hearing::Away if self.facts.close == Close::Tonic => Reason::Subdominant,
            Hearing::Away => Reason::Modulation,
        };
        Alteration { note, degree, real, chosen, reason }
    }

    /// A subject is wholly in the dominant if it closes there and never begins in the tonic.
    fn kind_and_key(&self) -> Result<(AnswerKind, Key), AnswerError> {
        let key = self.facts.subject.key();
        let named =
            |result: Result<Key, PitchError>| result.map_err(|source| AnswerError::Key { key, source });
        let is = |reading| self.hearings.iter().all(|hearing| hearing.reading() == reading);
        let begins_in_tonic = self.facts.notes.iter().any(|note| note.held);
        Ok(match self.facts.close {
            _ if is(Reading::Tonic) => (AnswerKind::Real, named(key.dominant())?),
            _ if !is(Reading::Dominant) => (AnswerKind::Tonal, named(key.dominant())?),
            Close::Expressed | Close::Implied if !begins_in_tonic => (AnswerKind::Real, key),
            _ => (AnswerKind::Subdominant, named(key.subdominant())?),
        })
    }

    /// Whether the answer is nearer below the subject than above: a fourth below is nearer than a
    /// fifth above, but a fourth above nearer than a fifth below.
    fn lies_below(&self) -> bool {
        let tonics = self.hearings.iter().filter(|hearing| hearing.reading() == Reading::Tonic).count();
        2 * tonics >= self.hearings.len()
    }

    /// The account of the answer.
    fn costs(&self) -> Vec<CostLine> {
        let mut costs = Vec::new();
        for (index, &now) in self.hearings.iter().enumerate() {
            let before = index.checked_sub(1).map(|before| self.hearings[before]);
            let hint = self.hints.get(index).copied().flatten();
            Moment { index, before, now }.charge(self.facts, hint, &mut |charge, times| {
                costs.push(CostLine { note: index, charge, cost: charge.weight() * times });
            });
        }
        costs.extend(self.third_charge());
        costs
    }

    /// A raised third costs something, except where it saves the answer from closing in a third key.
    fn third_charge(&self) -> Option<CostLine> {
        let note = *closing_thirds(self.facts, self.hearings).last()?;
        let charge = match (self.raised.is_empty(), self.facts.close) {
            (false, Close::Tonic) => Charge::ThirdRaised,
            (true, Close::Expressed | Close::Implied) => Charge::ThirdNotRaised,
            _ => return None,
        };
        Some(CostLine { note, charge, cost: charge.weight() })
    }
}

/// The minor third on which a subject in minor closes, if the answer may raise it, and with it the
/// third before that its upper neighbour alone parts from it (Prout, *Fugue*, §§68-69). In a
/// subject that goes to the dominant it is the third of that.
pub(super) fn closing_thirds(facts: &Facts<'_>, hearings: &[Hearing]) -> Vec<usize> {
    let closes_on_third = facts.notes.last().is_some_and(|last| match facts.close {
        Close::Tonic => last.is_any(&[3]),
        Close::Expressed | Close::Implied => last.is_any(&[7]),
    });
    if !facts.is_minor() || !closes_on_third || hearings.last() != Some(&Hearing::Home) {
        return Vec::new();
    }
    let end = facts.notes.len() - 1;
    match facts.notes.len().checked_sub(3) {
        Some(before)
            if facts.notes[before].pitch == facts.notes[end].pitch
                && facts.steps_to(end) == -1
                && hearings[before] == Hearing::Home =>
        {
            vec![before, end]
        }
        _ => vec![end],
    }
}

/// What answers a pitch, in its own octave or in the octave below.
fn answered(pitch: Pitch, reading: Reading, below: bool) -> Result<Pitch, PitchError> {
    let up = reading.interval();
    let down = Interval::between(up.steps() - Interval::OCTAVE.steps(), up.semitones() - 12);
    pitch.moved(if below { down } else { up })
}
