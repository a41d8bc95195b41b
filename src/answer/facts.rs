//! What the notes of a subject are, found once before the search.

use super::Reading;
use super::modulation::{self, Close};
use super::opening::{self, Opening};
use crate::meter::Strength;
use crate::pitch::Pitch;
use crate::scale::Degree;
use crate::subject::Subject;
use crate::time::Time;

/// Whether a note contradicts the dominant key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Foreign {
    /// It belongs to it, or is chromatic in both keys.
    No,
    /// It does, but is too short and light to count for much.
    Passing,
    /// It does.
    Yes,
}

/// What one note is.
#[derive(Clone, Copy, Debug)]
pub(super) struct NoteFacts {
    pub(super) pitch: Pitch,
    /// Its degree in the key of the subject.
    pub(super) degree: Degree,
    pub(super) onset: Time,
    pub(super) duration: Time,
    /// Whether it contradicts the dominant key.
    pub(super) foreign: Foreign,
    /// Whether it belongs to the tonic with which the subject begins.
    pub(super) held: bool,
    /// Whether it is a leading note, or the third it leaps to, that may as well be the third of the
    /// dominant, or its sixth.
    pub(super) doubtful: bool,
}

impl NoteFacts {
    /// Whether it is one of these degrees, unaltered.
    pub(super) fn is_any(&self, numbers: &[u8]) -> bool {
        self.degree.alteration() == 0 && numbers.contains(&self.degree.number())
    }

    /// When it ends.
    pub(super) fn end(&self) -> Time {
        self.onset.checked_add(self.duration).unwrap_or(self.onset)
    }
}

/// What a subject is, as far as its answer cares.
#[derive(Debug)]
pub(super) struct Facts<'a> {
    pub(super) subject: &'a Subject,
    pub(super) notes: Vec<NoteFacts>,
    /// The dominant at the opening, if it asks for an answer of its own.
    pub(super) opening: Option<Opening>,
    /// Whether its opening invites the subdominant.
    pub(super) invites_subdominant: bool,
    /// How it closes.
    pub(super) close: Close,
    /// The earliest note from which everything can be heard in the dominant.
    pub(super) earliest: usize,
    /// The leading note of the dominant, the first that is not taken back.
    pub(super) raised_fourth: Option<usize>,
}

impl<'a> Facts<'a> {
    /// The facts of a subject, of which some notes may be known to be heard so or so.
    pub(super) fn of(subject: &'a Subject, hints: &[Option<Reading>]) -> Self {
        let mut facts = Self {
            subject,
            notes: bare_notes(subject),
            opening: None,
            invites_subdominant: false,
            close: Close::Tonic,
            earliest: 0,
            raised_fourth: None,
        };
        modulation::mark_foreign_notes(&mut facts);
        modulation::mark_doubtful_notes(&mut facts);
        let hold = opening::tonic_hold(&facts.notes);
        facts.notes[..hold].iter_mut().for_each(|note| note.held = true);
        facts.opening = opening::find(&facts);
        facts.invites_subdominant = opening::invites_subdominant(&facts);
        facts.raised_fourth = modulation::raised_fourth(&facts.notes);
        facts.earliest = modulation::earliest(&facts.notes).max(hold);
        let last = facts.notes.len().checked_sub(1).and_then(|last| *hints.get(last)?);
        facts.close = match last {
            Some(Reading::Dominant) => Close::Expressed,
            Some(Reading::Tonic) => Close::Tonic,
            None => modulation::close(&facts),
        };
        facts
    }

    /// Whether the third above the tonic is minor.
    pub(super) fn is_minor(&self) -> bool {
        self.subject.key().mode().has_minor_third()
    }

    /// How heavy the place of a note is.
    pub(super) fn strength(&self, index: usize) -> Strength {
        match self.notes[index].onset.checked_add(self.subject.offset()) {
            Ok(place) => self.subject.meter().strength(place),
            Err(_) => Strength::Subdivision,
        }
    }

    /// The interval to a note from the one before it, in steps.
    pub(super) fn steps_to(&self, index: usize) -> i32 {
        (self.notes[index].pitch - self.notes[index - 1].pitch).steps()
    }
}

fn bare_notes(subject: &Subject) -> Vec<NoteFacts> {
    let bare = |note: &crate::line::Note| NoteFacts {
        pitch: note.pitch(),
        degree: subject.key().degree(note.pitch().class()),
        onset: note.onset(),
        duration: note.duration(),
        foreign: Foreign::No,
        held: false,
        doubtful: false,
    };
    subject.line().notes().iter().map(bare).collect()
}
