//! How an added line is heard against the voices around it.
//!
//! A [`Setting`] names those voices; a [`Hearing`] has worked out, once for a search, what every
//! slot of the line meets in them, so that the search itself only compares small numbers. What is
//! judged here while composing is what the rules of [`crate::rules`] look for afterwards.
//!
//! - `setting`: the voices around the line, as the searches describe them;
//! - `point`: pitches as small numbers, and how two of them sound together;
//! - `encounter`: what a slot of the line meets in one tone of another voice;
//! - `passage`: the figures that explain a dissonance (passing note, neighbour note, suspension);
//! - `moves`: two voices moving together (consecutive, direct and chained perfect consonances);
//! - `judgement`: all of it for the slots and the palette of a search;
//! - `cost`: what each of these costs, in a table.
//!
//! Source: rules G1 to G10 of the trade (motion, passing notes, suspensions): Grove, *Dictionary*,
//! vol. 3, "Strict Counterpoint"; invertible counterpoint: Prout, *Fugue*, §194.

mod cost;
mod encounter;
mod judgement;
mod moves;
mod passage;
mod point;
mod setting;
#[cfg(test)]
mod tests;

pub(super) use judgement::Hearing;
pub(super) use setting::{Companion, Setting, Side, room};
