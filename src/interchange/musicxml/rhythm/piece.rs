//! Notes and rests before they are cut, and the pieces of them that are written.

use super::beam::{Beams, MAX_BEAMS};
use super::split::{Sound, Span};
use super::tuplet::Ratio;
use super::value::NoteValue;

/// A note or rest before it is cut, in ticks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Event {
    /// Index of the note in its line; `None` for a rest.
    pub(super) note: Option<usize>,
    /// From when to when.
    pub(super) span: Span,
}

impl Event {
    /// Whether it sounds.
    pub(super) const fn sound(self) -> Sound {
        if self.note.is_some() { Sound::Note } else { Sound::Rest }
    }

    /// The piece of it that fills a span.
    pub(super) fn piece(self, span: Span, value: Option<NoteValue>, division: Option<Division>) -> Piece {
        Piece {
            note: self.note,
            onset: span.0,
            length: span.1 - span.0,
            value,
            tied_back: self.note.is_some() && self.span.0 < span.0,
            tied_on: self.note.is_some() && span.1 < self.span.1,
            division,
            beams: [None; MAX_BEAMS],
        }
    }
}

/// A note or rest as written: one note head, or one of several tied ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) struct Piece {
    /// Index of the note in its line; `None` for a rest.
    pub(in super::super) note: Option<usize>,
    /// Ticks from the beginning of the piece of music.
    pub(in super::super) onset: i64,
    /// Ticks it lasts.
    pub(in super::super) length: i64,
    /// Its value; `None` for a rest that fills a bar.
    pub(in super::super) value: Option<NoteValue>,
    /// Whether it continues the note before.
    pub(in super::super) tied_back: bool,
    /// Whether it goes on in the note after.
    pub(in super::super) tied_on: bool,
    /// The irregular division it stands in.
    pub(in super::super) division: Option<Division>,
    /// Its beams; [`super::beam::join`] writes them.
    pub(in super::super) beams: Beams,
}

/// The irregular division that a note stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) struct Division {
    /// So many in the time of so many.
    pub(in super::super) ratio: Ratio,
    /// Whether it begins with this note.
    pub(in super::super) opens: bool,
    /// Whether it ends with this note.
    pub(in super::super) closes: bool,
}

/// One bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) struct Bar {
    /// Its number, a pickup being bar 0.
    pub(in super::super) number: i64,
    /// Ticks it lasts.
    pub(in super::super) length: i64,
    /// What stands in it.
    pub(in super::super) pieces: Vec<Piece>,
}
