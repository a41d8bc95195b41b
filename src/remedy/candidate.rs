//! Changes of one note that may be a remedy, ordered by their size.

use super::guard::is_guarded;
use super::{pitches, rhythm};
use crate::line::Note;
use crate::rules::{Change, Finding};
use crate::texture::Texture;

/// What kind of change it is, the smaller kinds first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    /// To the next note of the key, or to the other form of the same degree.
    Step,
    /// To another note of the chord.
    ChordNote,
    /// To the same note in another octave.
    Octave,
    /// To a note of the key a third or more away.
    Leap,
    /// By a semitone that is foreign to the key.
    Accidental,
    /// Longer, shorter, or struck again.
    Duration,
    /// A bar's rhythm shifted: the note takes from the next, or gives to it.
    Shift,
    /// A rest, or a longer note before, in place of a repeated note.
    Rest,
}

/// How large a change is. The order of the fields is the order of the search.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Size {
    /// Whether it changes a neighbour and no note that the finding names.
    pub(super) neighbour: bool,
    pub(super) kind: Kind,
    /// How far the pitch moves.
    pub(super) distance: u32,
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
}

impl Subject {
    /// The note of a voice, if there is one.
    fn of(texture: &Texture<'_>, (voice, index): (usize, usize), neighbour: bool) -> Option<Self> {
        let note = *texture.score().parts().get(voice)?.line.notes().get(index)?;
        Some(Self { voice, index, note, neighbour })
    }

    /// Its change into other notes.
    pub(super) fn into_notes(self, to: Vec<Note>) -> Change {
        Change { voice: self.voice, note: self.index, from: self.note, to }
    }
}

/// The notes that a finding names, then their neighbours in the same voices, the last to sound
/// first and the upper voice before the lower; notes of entries are left out.
pub(super) fn subjects(texture: &Texture<'_>, finding: &Finding) -> Vec<Subject> {
    let neighbours = |&(voice, index): &(usize, usize)| [(voice, index.wrapping_sub(1)), (voice, index + 1)];
    let named = finding.notes.iter().map(|&note| (note, false));
    let near = finding.notes.iter().flat_map(neighbours).map(|note| (note, true));
    let mut subjects: Vec<Subject> = Vec::new();
    for (note, neighbour) in named.chain(near) {
        let is_known = subjects.iter().any(|known| (known.voice, known.index) == note);
        if !is_known && !is_guarded(texture.outline(), note.0, note.1) {
            subjects.extend(Subject::of(texture, note, neighbour));
        }
    }
    subjects.sort_by_key(|it| (it.neighbour, std::cmp::Reverse(it.note.onset()), it.voice));
    subjects
}

/// All changes of single notes, the smallest first, each once.
pub(super) fn singles(texture: &Texture<'_>, finding: &Finding, subjects: &[Subject]) -> Vec<Candidate> {
    let mut found: Vec<Candidate> = Vec::new();
    for (order, &subject) in subjects.iter().enumerate() {
        let size = |kind, distance| Size { neighbour: subject.neighbour, kind, distance, order };
        let moves = pitches::moves(texture, subject).into_iter().map(|(kind, distance, pitch)| Candidate {
            size: size(kind, distance),
            changes: vec![subject.into_notes(vec![Note::new(
                pitch,
                subject.note.onset(),
                subject.note.duration(),
            )])],
        });
        let rhythms = rhythm::changes(texture, subject, finding.place.onset)
            .into_iter()
            .map(|(kind, changes)| Candidate { size: size(kind, 0), changes });
        found.extend(moves.chain(rhythms));
    }
    found.sort_by_key(|candidate| candidate.size);
    found
}
