//! What the notes of entries may become: slips go back to the theme, all else stays.

use crate::answer::Answer;
use crate::exposition::{Alignment, Entry, Outline, Role};
use crate::interval::Interval;
use crate::line::Note;
use crate::pitch::Pitch;
use crate::score::Score;
use crate::time::Time;
use std::collections::BTreeMap;

/// What a note of an entry may become.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Licence {
    /// A slip: the note departs from its theme, and may become what the theme has there.
    Slip(Pitch),
    /// The note of a countersubject departs from what goes with the other theme, or in a statement that is varied
    /// besides, as it lawfully may; where nothing else helps it may become regular.
    Variant(Pitch),
    /// The note of a countersubject that is stated once alone: nothing says what it must be, and
    /// where nothing else helps it may become another.
    Own,
}

/// What notes of entries may become, by voice and index. Those that are not here stay as they are.
pub(super) type Licences = BTreeMap<(usize, usize), Licence>;

/// How many of its notes an entry may get wrong and still state its theme: one in so many, and one
/// in any case.
const ONE_SLIP_IN: usize = 4;

/// The licences of all entries.
///
/// A subject is held to the subject, an answer to the answers that the library derives, each to the
/// other entries of its role. A countersubject is held to its other entries against the same theme;
/// if there is none, to those against the other, from which it may lawfully differ as a tonal answer
/// differs from the subject, so that only the octave is a slip. The theme with which most notes agree
/// counts, the one named first among equals.
pub(super) fn licences(outline: Option<&Outline>, score: &Score) -> Licences {
    let Some(outline) = outline else { return Licences::new() };
    let models = Models { outline, score, answers: outline.subject.answers().unwrap_or_default() };
    outline.entries.iter().flat_map(|entry| models.licences_of(entry)).collect()
}

/// All that an entry can be held to.
struct Models<'a> {
    outline: &'a Outline,
    score: &'a Score,
    answers: Vec<Answer>,
}

impl Models<'_> {
    /// What the notes of an entry may become.
    fn licences_of(&self, entry: &Entry) -> Vec<((usize, usize), Licence)> {
        let own = self.notes(entry);
        let place = |index: usize| (entry.voice, entry.notes.start + index);
        if entry.role == Role::Countersubject && self.others(entry).next().is_none() {
            return (0..own.len()).map(|index| (place(index), Licence::Own)).collect();
        }
        let is_held = |theme: &&[Note]| entry.role == Role::Countersubject || theme.len() == own.len();
        let alike = self.alike(entry).into_iter().filter(is_held).collect();
        let strict = Fit::best(own, alike);
        let is_strict = strict.is_some();
        let Some(fit) = strict.or_else(|| Fit::best(own, self.against_the_other(entry))) else {
            return Vec::new();
        };
        let licence = |right: Pitch, note: Pitch| {
            let is_slip = fit.is_whole && (is_strict || right.class() == note.class());
            if is_slip { Licence::Slip(right) } else { Licence::Variant(right) }
        };
        let departures = fit.moved().filter_map(|(index, right)| {
            let note = own.get(index)?.pitch();
            (right != note).then(|| (place(index), licence(right, note)))
        });
        departures.collect()
    }

    /// The themes that an entry states, countersubjects only those against the same theme.
    fn alike(&self, entry: &Entry) -> Vec<&[Note]> {
        let derived = match entry.role {
            Role::Subject => vec![self.outline.subject.line().notes()],
            Role::Answer => self.answers.iter().map(|answer| answer.line().notes()).collect(),
            Role::Countersubject => Vec::new(),
        };
        let is_alike = |other: &&Entry| {
            let is_countersubject = entry.role == Role::Countersubject;
            !is_countersubject || self.partner(entry) == self.partner(other)
        };
        let others = self.others(entry).filter(is_alike).map(|other| self.notes(other));
        derived.into_iter().chain(others).collect()
    }

    /// The entries of a countersubject against the other theme.
    fn against_the_other(&self, entry: &Entry) -> Vec<&[Note]> {
        let is_it =
            |other: &&Entry| entry.role == Role::Countersubject && self.partner(entry) != self.partner(other);
        self.others(entry).filter(is_it).map(|other| self.notes(other)).collect()
    }

    fn others<'e>(&'e self, entry: &'e Entry) -> impl Iterator<Item = &'e Entry> {
        self.outline.entries.iter().filter(move |&other| other != entry && other.role == entry.role)
    }

    fn notes(&self, entry: &Entry) -> &[Note] {
        let line = self.score.parts().get(entry.voice).map(|part| &part.line);
        line.and_then(|line| line.notes().get(entry.notes.clone())).unwrap_or(&[])
    }

    /// What a countersubject stands against: the theme in another voice that begins nearest to it.
    fn partner(&self, countersubject: &Entry) -> Option<Role> {
        let apart = |theme: &&Entry| {
            let (one, other) = (theme.onset, countersubject.onset);
            one.max(other).checked_sub(one.min(other)).unwrap_or(Time::WHOLE)
        };
        let others = self.outline.themes().filter(|theme| theme.voice != countersubject.voice);
        Some(others.min_by_key(apart)?.role)
    }
}

/// A theme beside the notes of an entry, moved so that most of them agree with it.
struct Fit {
    /// The notes of the theme, each with the index of that which stands for it.
    pairs: Vec<(Pitch, usize)>,
    interval: Interval,
    agreeing: usize,
    /// Whether the entry has as many notes as the theme, so that each stands for one.
    is_whole: bool,
}

impl Fit {
    /// The best fit among themes, unless the entry departs too often from it.
    fn best(own: &[Note], themes: Vec<&[Note]>) -> Option<Self> {
        let fits = themes.into_iter().filter_map(|theme| Self::of(theme, own));
        fits.fold(None, |best: Option<Self>, fit| match best {
            Some(best) if best.agreeing >= fit.agreeing => Some(best),
            _ => Some(fit),
        })
    }

    /// A theme beside an entry; `None` if the entry departs too often from it. Where one of them has more notes, as
    /// with an ornament or a shorter end, those count that the shorter one has.
    fn of(theme: &[Note], own: &[Note]) -> Option<Self> {
        let is_whole = theme.len() == own.len();
        let partners = if is_whole {
            (0..own.len()).map(Some).collect()
        } else {
            Alignment::of_notes(theme, own).partners().to_vec()
        };
        let pairs = theme.iter().zip(partners).filter_map(|(note, own)| Some((note.pitch(), own?)));
        let pairs: Vec<(Pitch, usize)> = pairs.collect();
        let (interval, agreeing) = usual_interval(&pairs, own);
        let notes = theme.len().min(own.len());
        let slips = notes.saturating_sub(agreeing);
        (slips <= (notes / ONE_SLIP_IN).max(1)).then_some(Self { pairs, interval, agreeing, is_whole })
    }

    /// Notes of the entry, by their index, as the theme has them where the entry states it.
    fn moved(&self) -> impl Iterator<Item = (usize, Pitch)> {
        self.pairs.iter().filter_map(|(model, own)| Some((*own, model.moved(self.interval).ok()?)))
    }
}

/// The interval by which most notes of a theme have been moved, the first among equals, and how
/// many they are.
fn usual_interval(pairs: &[(Pitch, usize)], own: &[Note]) -> (Interval, usize) {
    let mut counts: Vec<(Interval, usize)> = Vec::new();
    for (model, note) in pairs.iter().filter_map(|(model, index)| Some((*model, own.get(*index)?))) {
        let interval = note.pitch() - model;
        match counts.iter_mut().find(|(known, _)| *known == interval) {
            Some((_, count)) => *count += 1,
            None => counts.push((interval, 1)),
        }
    }
    counts.into_iter().rev().max_by_key(|(_, count)| *count).unwrap_or((Interval::UNISON, 0))
}
