//! Changes of one note that may be a remedy, ordered by their size.

use super::guard::is_guarded;
use super::licence::{Licence, Licences};

use super::{pitches, rhythm};
use crate::line::Note;
use crate::pitch::Pitch;
use crate::rules::{Change, Evidence, Finding};
use crate::texture::Texture;
use crate::time::Time;
use std::cmp::Reverse;

/// What another pitch weighs more before the place of the finding than on it.
const EARLIER: u32 = 2;

/// What kind of change it is, the smaller kinds first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    /// Back to what the theme has, for a note of an entry that departs from it.
    Restored,
    /// Another pitch.
    Pitch,
    /// Longer, or struck again.
    Duration,
    /// A bar's rhythm shifted: the note takes from the next, or gives to it.
    Shift,
    /// A rest for half of a note; a rest, or a longer note before, in place of a repeated note.
    Rest,
}

/// How large a change is. The order of the fields is the order of the search.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Size {
    /// Whether it changes a note of a countersubject that may be meant so.
    pub(super) last_resort: bool,
    /// Whether it changes a neighbour and no note that the finding names.
    pub(super) neighbour: bool,
    pub(super) kind: Kind,
    /// How far a new pitch lies and how ill it fits: see [`pitches`].
    pub(super) weight: u32,
    /// The place of the note among those that may change.
    pub(super) order: usize,
}

/// A change that may be a remedy.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub(super) size: Size,
    pub(super) changes: Vec<Change>,
}

/// A note that may change.
#[derive(Clone, Copy, Debug)]
pub(super) struct Subject {
    pub(super) voice: usize,
    pub(super) index: usize,
    pub(super) note: Note,
    /// Whether it is only a neighbour of a note that the finding names.
    pub(super) neighbour: bool,
    /// For a note of an entry, what it may become.
    pub(super) licence: Option<Licence>,
}

impl Subject {
    /// The note of a voice, if there is one.
    fn of(texture: &Texture<'_>, (voice, index): (usize, usize), neighbour: bool) -> Option<Self> {
        let note = *texture.score().parts().get(voice)?.line.notes().get(index)?;
        Some(Self { voice, index, note, neighbour, licence: None })
    }

    /// Its change into another pitch.
    fn at(self, pitch: Pitch) -> Change {
        self.into_notes(vec![Note::new(pitch, self.note.onset(), self.note.duration())])
    }

    /// Its change into other notes.
    pub(super) fn into_notes(self, to: Vec<Note>) -> Change {
        Change { voice: self.voice, note: self.index, from: self.note, to }
    }
}

/// The notes that a finding names, then their neighbours in the same voices, the last to sound
/// first and the upper voice before the lower. Of the notes of entries only those that may change are
/// among them, and only slips as mere neighbours.
pub(super) fn subjects(texture: &Texture<'_>, finding: &Finding, licences: &Licences) -> Vec<Subject> {
    let neighbours = |&(voice, index): &(usize, usize)| [(voice, index.wrapping_sub(1)), (voice, index + 1)];
    let named = finding.notes.iter().map(|&note| (note, false));
    let near = finding.notes.iter().flat_map(neighbours).map(|note| (note, true));
    let mut subjects: Vec<Subject> = Vec::new();
    for (note, neighbour) in named.chain(near) {
        let is_known = subjects.iter().any(|known| (known.voice, known.index) == note);
        let licence = due(finding, note).map(Licence::Slip).or_else(|| licences.get(&note).copied());
        let licence = licence.filter(|it| !neighbour || matches!(it, Licence::Slip(_)));
        if !is_known && (licence.is_some() || !is_guarded(texture.outline(), note.0, note.1)) {
            let subject = Subject::of(texture, note, neighbour);
            subjects.extend(subject.map(|subject| Subject { licence, ..subject }));
        }
    }
    subjects.sort_by_key(|it| (it.neighbour, Reverse(it.note.onset()), it.voice));
    subjects
}

/// What a finding itself says is due in place of a note, the only one that it names.
fn due(finding: &Finding, note: (usize, usize)) -> Option<Pitch> {
    match finding.evidence {
        Evidence::Instead { due, .. } => (finding.notes == [note]).then_some(due),
        _ => None,
    }
}

/// All changes of single notes, the smallest first.
pub(super) fn singles(texture: &Texture<'_>, place: Time, subjects: &[Subject]) -> Vec<Candidate> {
    let changes = subjects.iter().enumerate().flat_map(|(order, &subject)| match subject.licence {
        Some(Licence::Slip(right)) => vec![restored(subject, order, right, false)],
        Some(Licence::Variant(regular)) => vec![restored(subject, order, regular, true)],
        Some(Licence::Own) => moved(texture, place, subject, order),
        None => {
            let rhythms = rhythms(texture, place, subject, order);
            moved(texture, place, subject, order).into_iter().chain(rhythms).collect()
        }
    });
    let mut found: Vec<Candidate> = changes.collect();
    found.sort_by_key(|candidate| candidate.size);
    found
}

fn restored(subject: Subject, order: usize, right: Pitch, last_resort: bool) -> Candidate {
    let (neighbour, kind) = (subject.neighbour, Kind::Restored);
    let size = Size { last_resort, neighbour, kind, weight: 0, order };
    Candidate { size, changes: vec![subject.at(right)] }
}

/// A note at other pitches.
fn moved(texture: &Texture<'_>, place: Time, subject: Subject, order: usize) -> Vec<Candidate> {
    let (neighbour, kind) = (subject.neighbour, Kind::Pitch);
    let last_resort = subject.licence.is_some();
    let earlier = if subject.note.onset() < place { EARLIER } else { 0 };
    let moves = pitches::moves(texture, subject).into_iter().map(|it| Candidate {
        size: Size { last_resort, neighbour, kind, weight: it.weight + earlier, order },
        changes: vec![subject.at(it.pitch)],
    });
    moves.collect()
}

/// A note in other rhythms.
fn rhythms(texture: &Texture<'_>, place: Time, subject: Subject, order: usize) -> Vec<Candidate> {
    let neighbour = subject.neighbour;
    let rhythms = rhythm::changes(texture, subject, place).into_iter().map(|(kind, changes)| Candidate {
        size: Size { last_resort: false, neighbour, kind, weight: 0, order },
        changes,
    });
    rhythms.collect()
}
