//! The cost table of a harmonic reading.
//!
//! Costs are whole points, and a lower sum is a better reading. A note outside the chord costs
//! points per pulse of its duration, by what it does in the line and by how heavy its place is;
//! a chord costs points when it is chosen, when it follows another, and when it changes on a weak
//! pulse. The proportions are our own; what each row prefers is common practice unless a source
//! is named.

use super::vocabulary::{Candidate, Function};
use crate::meter::Strength;

/// What a note outside the chord does in its line.
///
/// Sources: passing and neighbour notes, Cherubini, *A Treatise on Counterpoint and Fugue*, rule 10;
/// suspensions, Grove, *A Dictionary of Music and Musicians*, vol. 3, "Strict Counterpoint",
/// Fourth Order; the rest common practice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ornament {
    /// Reached and left by step: a passing or a neighbour note.
    Stepwise,
    /// Held over or repeated, then left by step.
    Suspension,
    /// Reached by leap or from silence, left by step.
    Appoggiatura,
    /// Reached by step or repeated, left by leap or into silence.
    Escape,
    /// Neither reached nor left by step: the ear takes it for a note of the chord.
    Leap,
}

/// Points per pulse of a note outside the chord, on a subdivision, division, pulse, accent,
/// downbeat; half as much again for a note outside the key, which calls for a chord of its own.
pub(super) const fn outside(ornament: Ornament, strength: Strength, foreign: bool) -> i64 {
    let row = match ornament {
        Ornament::Stepwise => [6, 8, 16, 22, 26],
        Ornament::Suspension => [6, 6, 8, 8, 8],
        Ornament::Appoggiatura => [14, 18, 24, 26, 28],
        Ornament::Escape => [16, 20, 30, 34, 40],
        Ornament::Leap => [40, 48, 56, 64, 72],
    };
    let points = row[place(strength)];
    if foreign { points + points / 2 } else { points }
}

const fn place(strength: Strength) -> usize {
    match strength {
        Strength::Subdivision => 0,
        Strength::Division => 1,
        Strength::Pulse => 2,
        Strength::Accent => 3,
        Strength::Downbeat => 4,
    }
}

/// A note that doubles the bass of a sixth chord.
pub(super) const DOUBLED_BASS: u64 = 6;

/// What a phrase pays for its first chord: it begins with the tonic, or with the dominant (Prout,
/// *Fugue*, §§48-49, of the first note); with the subdominant where an answer in the key of the
/// dominant begins on the tonic (§102).
pub(super) fn opening(chord: &Candidate) -> u64 {
    let triad = match chord.function {
        Function::Tonic => 0,
        Function::Dominant => 6,
        Function::Predominant if chord.is_subdominant() => 18,
        Function::Submediant | Function::Predominant => 24,
        _ => 40,
    };
    triad + if chord.consonant { 0 } else { OPENING_DISSONANCE }
}

/// A seventh chord or a diminished triad as the first one: nothing prepares it.
const OPENING_DISSONANCE: u64 = 20;

/// What it pays for its last: tonic or dominant, in minor the dominant minor as well (Prout,
/// *Fugue*, §§35, 42); the subdominant too, for in the key of the dominant that is the tonic to which
/// an answer returns (§§114-116).
pub(super) fn ending(chord: &Candidate) -> u64 {
    let triad = match chord.function {
        Function::Tonic => 0,
        Function::Dominant => 4,
        Function::MinorDominant => 8,
        Function::Predominant if chord.is_subdominant() => 14,
        Function::Submediant => 24,
        _ => 60,
    };
    triad + if chord.closes() { 0 } else { OPEN }
}

/// A last chord that closes nothing: a seventh chord, a sixth chord, a diminished triad.
const OPEN: u64 = 10;

/// A last note that is the fifth or seventh of its chord: it is to be root or third, so a subject
/// that ends on 5 ends on the dominant. Source: Prout, *Fugue*, §42.
pub(super) const CLOSING_FIFTH: u64 = 12;

/// What it costs that one function follows another. Tonic, predominant, dominant, tonic is the
/// circle; from the dominant back to the predominant is against it; an applied chord goes to what
/// it is applied to.
#[rustfmt::skip]
const fn succession(from: Function, to: Function) -> u64 {
    let row: [u64; 10] = match from {
        //                          I  IV   V  vi iii V/V V/IV V/vi VII v
        Function::Tonic         => [6,  0,  0,  0,  4,  0,  0,  2,  8,  4],
        Function::Predominant   => [6,  2,  0,  8, 10,  2,  8,  8,  8,  6],
        Function::Dominant      => [0, 40,  4,  4, 24,  8,  6,  6, 30, 20],
        Function::Submediant    => [8,  0,  0,  4,  8,  2,  4,  6,  8,  6],
        Function::Mediant       => [8,  0,  6,  0,  4,  8,  6,  8,  8,  8],
        Function::ToDominant    => [30, 30, 0, 20, 30,  4, 30, 30, 30,  0],
        Function::ToPredominant => [20, 0, 20, 20, 20, 10,  4, 20, 20, 20],
        Function::ToSubmediant  => [20, 6, 20,  0, 20, 20, 20,  4, 20, 20],
        Function::Subtonic      => [10, 10, 8,  2,  0, 10, 10, 10,  4, 10],
        Function::MinorDominant => [6,  0,  0,  0,  8,  0,  8,  8,  4,  4],
    };
    row[to as usize]
}

/// What a new chord costs at a place: strong beats like it, weak pulses would keep the old one.
const fn change(strength: Strength) -> u64 {
    match strength {
        Strength::Downbeat => 4,
        Strength::Accent => 8,
        _ => 16,
    }
}

/// A chord kept over the bar line.
const KEPT_OVER_BAR: u64 = 6;
/// Dominant and tonic both in root position before the end: a middle cadence cuts the subject up
/// (Prout, *Fugue*, §50), so a sixth chord is a little better there.
const MIDDLE_CADENCE: u64 = 4;

/// What it costs to go from one chord to another, or to keep it, at a place. In the closing bar
/// the steps of a cadence may fall on weak pulses at half the price.
pub(super) fn step(from: &Candidate, to: &Candidate, same: bool, strength: Strength, closing: bool) -> u64 {
    if same {
        return if strength == Strength::Downbeat { KEPT_OVER_BAR } else { 0 };
    }
    let cadential = matches!(
        (from.function, to.function),
        (Function::Dominant, Function::Tonic)
            | (Function::Tonic | Function::Predominant | Function::ToDominant, Function::Dominant)
    );
    let change = if closing && cadential { change(strength) / 2 } else { change(strength) };
    let full = [from, to].iter().all(|chord| chord.inverted_bass.is_none());
    let middle = !closing && full && from.function == Function::Dominant && to.function == Function::Tonic;
    change + to.entry + succession(from.function, to.function) + if middle { MIDDLE_CADENCE } else { 0 }
}
