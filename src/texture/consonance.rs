//! How much of the time two voices are consonant, as exact fractions.

use super::{Dissonance, Moment, Pair, Texture};
use crate::interval::Consonance;
use std::fmt;

/// A part of a whole, reduced: `23/40`. Of nothing, it is zero.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
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
        self.whole
    }

    /// In hundredths, to the nearest tenth of one: `68.8 %` for 11/16.
    pub fn percent(self) -> String {
        let (part, whole) = (u128::from(self.part), u128::from(self.whole));
        let tenths = (part * 2000 / whole).div_ceil(2);
        format!("{}.{} %", tenths / 10, tenths % 10)
    }

    /// Whether it is at least `part` of `whole`; exact.
    pub fn is_at_least(self, part: u32, whole: u32) -> bool {
        u128::from(self.part) * u128::from(whole) >= u128::from(part) * u128::from(self.whole)
    }
}

const fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

impl Default for Share {
    fn default() -> Self {
        Self::new(0, 1)
    }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.whole {
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

    /// The share of the [attacks](Pair::attacks) that are [unprepared dissonances on the
    /// beat](Dissonance::is_unprepared_on_beat).
    pub fn unprepared_on_beats(self) -> Share {
        let is_ours = |it: &&Dissonance| {
            let voices = [it.note.0, it.against.0];
            voices == [self.upper, self.lower] || voices == [self.lower, self.upper]
        };
        let found = self.texture.dissonances().iter().filter(is_ours);
        Share::new(found.filter(|it| it.is_unprepared_on_beat()).count() as u64, self.attacks())
    }

    /// How many places there are where both sound and at least one begins a note.
    pub fn attacks(self) -> u64 {
        let both_sound = self.moments().filter(|moment| moment.pitches().is_some());
        both_sound.filter(|moment| moment.attacked() != [false; 2]).count() as u64
    }
}

impl Texture<'_> {
    /// The share of the [attacks](Pair::attacks) of all pairs that are [unprepared dissonances on the
    /// beat](Dissonance::is_unprepared_on_beat): it tells music in joint from music out of joint.
    pub fn unprepared_on_beats(&self) -> Share {
        let found = self.dissonances().iter().filter(|it| it.is_unprepared_on_beat()).count();
        Share::new(found as u64, self.pairs().map(Pair::attacks).sum())
    }

    /// The share of the dissonances that have a name: the [explained](super::Figure::is_explained) ones.
    pub fn named(&self) -> Share {
        let named = self.dissonances().iter().filter(|it| it.figure.is_explained()).count();
        Share::new(named as u64, self.dissonances().len() as u64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Score;
    use crate::texture::Texture;

    #[test]
    fn shares_of_time_and_attacks_are_exact() {
        // Sixth for a half, fifth for a quarter, seventh for an eighth, tenth for an eighth.
        let lines = ["C5:1/2 B4:1/4 B4:1/8 G4", "E4:1/2 E4:1/4 C4:1/8 E3"];
        let score = Score::excerpt("C major", "4/4", &lines).unwrap();
        let texture = Texture::of(&score);
        let pair = texture.pair(0, 1).unwrap();
        let text = |it: Shares| format!("{} {} {}", it.imperfect, it.perfect, it.dissonant);
        assert_eq!(text(pair.shares_by_time()), "5/8 1/4 1/8");
        assert_eq!(text(pair.shares_by_attack()), "1/2 1/4 1/4");
    }

    #[test]
    fn fourth_is_perfect_above_a_lower_voice_and_dissonant_against_the_lowest() {
        let score = Score::excerpt("C major", "4/4", &["C5:1", "G4:1", "E4:1"]).unwrap();
        let texture = Texture::of(&score);
        assert_eq!(texture.pair(0, 1).unwrap().shares_by_time().perfect, Share::new(1, 1));
        let score = Score::excerpt("C major", "4/4", &["C5:1", "G4:1"]).unwrap();
        let texture = Texture::of(&score);
        assert_eq!(texture.pair(0, 1).unwrap().shares_by_time().dissonant, Share::new(1, 1));
    }

    #[test]
    fn voices_that_never_meet_share_nothing() {
        let score = Score::excerpt("C major", "4/4", &["C5:1/2 R", "R:1/2 C4"]).unwrap();
        let texture = Texture::of(&score);
        assert_eq!(texture.pair(1, 0).unwrap().shares_by_time(), Shares::default());
        assert_eq!(Share::default().to_string(), "0");
    }

    #[test]
    fn unprepared_dissonances_are_a_share_of_the_attacks() {
        // A passing note on the accent among four attacks, one on another beat; a suspension among three.
        let share = |lines: &[&str]| {
            let score = Score::excerpt("C major", "4/4", lines).unwrap();
            Texture::of(&score).pair(0, 1).unwrap().unprepared_on_beats().to_string()
        };
        assert_eq!(share(&["E5:1/4 E5 D5:1/4 C5", "C4:1"]), "1/4");
        assert_eq!(share(&["E5:1/4 D5 C5:1/2", "C4:1"]), "0");
        assert_eq!(share(&["R:1/2 C5:1 B4:1/2", "E4:1 D4"]), "0");
    }

    #[test]
    fn share_is_reduced_and_compared_exactly() {
        assert_eq!(Share::new(46, 80).to_string(), "23/40");
        assert_eq!(Share::new(3, 3).to_string(), "1");
        assert_eq!(Share::new(5, 0), Share::default());
        assert!(Share::new(3, 5).is_at_least(60, 100));
        assert!(!Share::new(599_999, 1_000_000).is_at_least(60, 100));
    }

    #[test]
    fn percent_is_rounded_to_the_nearest_tenth() {
        let rows =
            [(0, 1, "0.0 %"), (1, 1, "100.0 %"), (2, 3, "66.7 %"), (1, 3, "33.3 %"), (11, 16, "68.8 %")];
        for (part, whole, percent) in rows {
            assert_eq!(Share::new(part, whole).percent(), percent);
        }
    }
}
