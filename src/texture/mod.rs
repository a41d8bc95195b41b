//! Texture: facts of what sounds together, each found once.
//!
//! A [`Texture`] puts a score on its grid and finds its [`Sonority`]s, its [`Pair`]s of voices with
//! their [`Moment`]s and [`Step`]s, and every [`Dissonance`] with its [`Figure`]. All times in it are
//! whole ticks of [`Texture::grid`]; all lists are in order of onset. What a dissonance is called
//! depends on [`Contact::classify`] alone, a pure function that composing asks as well.
//!
//! Cost: linear in the notes, times the number of pairs of voices.

mod accent;
mod alike;
mod bass;
mod chord;
mod chordal;
mod clash;
mod classify;
mod consonance;
mod contact;
mod dissonance;
mod doubling;
mod facts;
mod figure;
mod leapt;
mod meeting;
mod motion;
mod pair;
mod perfect;
mod phrase;
mod piece;
mod rhythm;
mod sonority;
mod thread;
mod tone;
#[cfg(test)]
mod trial;
mod turn;
mod walk;

pub use accent::Accents;
pub use chord::HeardChord;
pub use consonance::{Share, Shares};
pub use contact::{Contact, Entry, Naming, Side, Strand};
pub use dissonance::Dissonance;
pub use facts::Texture;
pub use figure::{Figure, Weight};
pub use meeting::Meeting;
pub use motion::{Motion, is_dissonant};
pub use pair::{Moment, Pair, Step};
pub use perfect::{
    Perfect, comes_by_step, contrary_perfect, direct_perfect, go_together, is_unequal_fifth, keeps_harmony,
    overlap, parallel_perfect,
};
pub(crate) use piece::{Piece, span};
pub use rhythm::{CommonRhythm, Stretch};
pub use sonority::{Sonorities, Sonority};
pub use tone::Tone;
pub use turn::{Resolution, Turn, is_leap, is_melodic_step};
pub use walk::Walk;
