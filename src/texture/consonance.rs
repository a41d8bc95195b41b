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

    /// In hundredths, to the nearest tenth of one: `68.8 %` for 11/16.
    pub fn percent(self) -> String {
        let (part, whole) = (u128::from(self.part), u128::from(self.denominator()));
        let tenths = (part * 2000 / whole).div_ceil(2);
        format!("{}.{} %", tenths / 10, tenths % 10)
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

impl Shares {
    /// The shares of amounts, each of its class.
    pub(super) fn of(amounts: impl IntoIterator<Item = (Consonance, u64)>) -> Self {
        let mut sums = [0; 3];
        for (consonance, amount) in amounts {
            let class = match consonance {
                Consonance::Imperfect => 0,
                Consonance::Perfect => 1,
                Consonance::Fourth | Consonance::Dissonant => 2,
            };
            sums[class] += amount;
        }
        let whole = sums.iter().sum();
        let [imperfect, perfect, dissonant] = sums.map(|part| Share::new(part, whole));
        Self { imperfect, perfect, dissonant }
    }
}

impl Moment<'_> {
    /// How the two are heard, if both sound: a fourth is perfect above a lower voice and dissonant
    /// against the lowest, so that [`Consonance::Fourth`] does not occur.
    pub fn consonance(&self) -> Option<Consonance> {
        Some(match self.interval()?.consonance() {
            Consonance::Fourth if self.holds_lowest() => Consonance::Dissonant,
            Consonance::Fourth => Consonance::Perfect,
            known => known,
        })
    }
}

impl Pair<'_> {
    /// The shares of the time in which both voices sound.
    pub fn shares_by_time(self) -> Shares {
        Shares::of(self.moments().filter_map(|moment| {
            Some((moment.consonance()?, (moment.end() - moment.onset()).unsigned_abs()))
        }))
    }

    /// The shares of the attacks: the places where both sound and at least one begins a note.
    pub fn shares_by_attack(self) -> Shares {
        let attacks = self.moments().filter(|moment| moment.attacked() != [false; 2]);
        Shares::of(attacks.filter_map(|moment| Some((moment.consonance()?, 1))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percent_is_rounded_to_the_nearest_tenth() {
        let rows =
            [(0, 1, "0.0 %"), (1, 1, "100.0 %"), (2, 3, "66.7 %"), (1, 3, "33.3 %"), (11, 16, "68.8 %")];
        for (part, whole, percent) in rows {
            assert_eq!(Share::new(part, whole).percent(), percent);
        }
    }
}
