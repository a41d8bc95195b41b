//! How much of the time two voices are consonant, as exact fractions.

use super::{Moment, Pair};
use crate::interval::Consonance;
use std::fmt;

/// A part of a whole, reduced: `23/40`. Of nothing, it is zero.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Share {
    part: u64,
    whole: u64,
}

impl Share {
    /// So much of so much; nothing of nothing is zero, and more than the whole is the whole.
    pub const fn new(part: u64, whole: u64) -> Self {
        let part = if part > whole { whole } else { part };
        match gcd(part, whole) {
            0 => Self { part: 0, whole: 1 },
            divisor => Self { part: part / divisor, whole: whole / divisor },
        }
    }

    /// The numerator of the reduced fraction.
    pub const fn numerator(self) -> u64 {
        self.part
    }

    /// The denominator of the reduced fraction.
    pub const fn denominator(self) -> u64 {
        if self.whole == 0 { 1 } else { self.whole }
    }

    /// Whether it is at least `part` of `whole`; exact.
    pub fn is_at_least(self, part: u32, whole: u32) -> bool {
        u128::from(self.part) * u128::from(whole) >= u128::from(part) * u128::from(self.denominator())
    }
}

const fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.denominator() {
            1 => f.pad(&self.part.to_string()),
            whole => f.pad(&format!("{}/{whole}", self.part)),
        }
    }
}

impl fmt::Debug for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// How much of two voices' sounding together is imperfect, perfect and dissonant: the three fill
/// the whole unless the two never sound together.
///
/// Compound intervals are judged as simple ones. A perfect fourth above a third, lower voice is a
/// perfect consonance; against the lowest sounding voice it is dissonant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub struct Shares {
    /// Thirds and sixths.
    pub imperfect: Share,
    /// Unisons, fifths, octaves, and fourths above a lower voice.
    pub perfect: Share,
    /// Everything else.
    pub dissonant: Share,
}

/// Imperfect, perfect, dissonant.
#[derive(Clone, Copy, Default)]
struct Sums([u64; 3]);

impl Sums {
    fn add(&mut self, moment: &Moment<'_>, amount: u64) {
        let Some(interval) = moment.interval() else { return };
        let class = match interval.consonance() {
            Consonance::Imperfect => 0,
            _ if moment.is_dissonant() => 2,
            _ => 1,
        };
        self.0[class] += amount;
    }

    fn shares(self) -> Shares {
        let whole = self.0.iter().sum();
        let [imperfect, perfect, dissonant] = self.0.map(|part| Share::new(part, whole));
        Shares { imperfect, perfect, dissonant }
    }
}

impl Pair<'_> {
    /// The shares of the time in which both voices sound.
    pub fn shares_by_time(self) -> Shares {
        let mut sums = Sums::default();
        for moment in self.moments() {
            sums.add(&moment, (moment.end() - moment.onset()).unsigned_abs());
        }
        sums.shares()
    }

    /// The shares of the attacks: the places where both sound and at least one begins a note.
    pub fn shares_by_attack(self) -> Shares {
        let mut sums = Sums::default();
        for moment in self.moments().filter(|moment| moment.attacked() != [false; 2]) {
            sums.add(&moment, 1);
        }
        sums.shares()
    }
}
