//! Written rhythm: how the exact times of a line become notes, rests and ties on paper.
//!
//! [`bars`] cuts a line at the bar lines; inside a bar a [`Cell`] is a stretch heard as one (the
//! bar, its halves, its pulses, their divisions), [`split`] decides where a note must be tied, [`tuplet`] finds the
//! cells that need an irregular division, and [`beam`] which notes are under one beam. All of it counts in ticks, whole
//! numbers of one division of the whole note, so nothing is rounded.
//!
//! The rules are common practice: a note is tied where it would hide the middle of the bar or a
//! beat, except that it may begin on a beat and run on, and that one plain syncopation (short,
//! long, short) and, within a half note, a short note and a dotted one stay whole; a rest never crosses such a boundary.

mod bars;
mod beam;
mod cell;
mod piece;
mod split;
mod tuplet;
mod value;

pub(super) use bars::{MAX_BARS, Rhythm, RhythmError};
pub(super) use beam::Beam;
pub(super) use piece::{Bar, Piece};
