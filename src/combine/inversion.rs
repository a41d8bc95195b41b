//! Invertible counterpoint: what every interval becomes when two parts change places.
//!
//! An [`Inversion`] is the interval by which the parts are moved past each other. It turns the number
//! of an interval into another so that both add up to the number of the inversion and one; a [`Turn`]
//! is one line of that table, with what it does to consonance and to parallels.
//!
//! ```
//! use soggetto::combine::inversion::{Effect, Inversion};
//! let fifth = Inversion::Octave.turn(5).expect("a fifth is narrower than an octave");
//! assert_eq!(fifth.after(), 4);
//! assert_eq!(fifth.effect(), Effect::BecomesDissonant);
//! assert_eq!(Inversion::Twelfth.turn(6).map(|sixth| sixth.after()), Some(7));
//! ```
//!
//! The tables count by number and take each interval as it is consonant: a fifth is perfect. Exact
//! intervals invert by [`Interval::inverted_at`] one of the [`Inversion::frames`].
//!
//! Sources: Cherubini, *A Treatise on Counterpoint and Fugue*, "On double counterpoint" (octave,
//! tenth, twelfth, fourteenth); Marpurg, *Abhandlung von der Fuge*, plates LVIII-LIX (twelfth);
//! Prout, *Fugue*, section 194 (the fifth at the octave).

use crate::interval::{Above, Consonance, Interval};
use crate::source::Source;
use std::fmt;

/// The interval at which two parts are inverted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Inversion {
    /// At the octave: the usual one, for which a countersubject is made.
    Octave,
    /// At the tenth: parallel thirds turn into octaves, parallel sixths into fifths, so motion is
    /// contrary or oblique.
    Tenth,
    /// At the twelfth: thirds stay thirds, the sixth turns into a seventh.
    Twelfth,
    /// At the fourteenth: the third, fifth, tenth and twelfth alone stay consonant.
    Fourteenth,
    /// At the fifteenth: as at the octave, with room for wider intervals.
    Fifteenth,
}

impl Inversion {
    /// All of them, from the narrowest.
    pub const ALL: [Self; 5] = [Self::Octave, Self::Tenth, Self::Twelfth, Self::Fourteenth, Self::Fifteenth];

    /// The number of the interval: 8 for the octave. It is also the widest number that inverts.
    pub const fn number(self) -> u32 {
        match self {
            Self::Octave => 8,
            Self::Tenth => 10,
            Self::Twelfth => 12,
            Self::Fourteenth => 14,
            Self::Fifteenth => 15,
        }
    }

    /// The exact intervals at which the parts may be moved: tenth and fourteenth are minor or major
    /// according to the degrees of the scale.
    pub const fn frames(self) -> &'static [Interval] {
        match self {
            Self::Octave => &[Interval::OCTAVE],
            Self::Tenth => &[Interval::MINOR_TENTH, Interval::MAJOR_TENTH],
            Self::Twelfth => &[Interval::TWELFTH],
            Self::Fourteenth => &[Interval::MINOR_FOURTEENTH, Interval::MAJOR_FOURTEENTH],
            Self::Fifteenth => &[Interval::FIFTEENTH],
        }
    }

    /// What becomes of the intervals of a number; `None` for 0 and for numbers wider than the
    /// inversion, of which the parts would not change places.
    pub const fn turn(self, number: u32) -> Option<Turn> {
        if number == 0 || number > self.number() {
            return None;
        }
        Some(Turn { before: number, after: self.number() + 1 - number })
    }

    /// The whole table, from the unison to the interval of inversion itself.
    ///
    /// ```
    /// use soggetto::combine::inversion::Inversion;
    /// let after: Vec<u32> = Inversion::Octave.table().map(|turn| turn.after()).collect();
    /// assert_eq!(after, [8, 7, 6, 5, 4, 3, 2, 1]);
    /// ```
    pub fn table(self) -> impl Iterator<Item = Turn> {
        (1..=self.number()).filter_map(move |number| self.turn(number))
    }

    /// Where the table is printed.
    pub const fn source(self) -> Source {
        match self {
            Self::Octave | Self::Tenth | Self::Twelfth | Self::Fourteenth => Source::Handbook(
                "Cherubini, A Treatise on Counterpoint and Fugue, \"On double counterpoint\"",
            ),
            Self::Fifteenth => Source::CommonPractice,
        }
    }
}

impl fmt::Display for Inversion {
    /// `octave`, `tenth`, `twelfth`, `fourteenth`, `fifteenth`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Octave => "octave",
            Self::Tenth => "tenth",
            Self::Twelfth => "twelfth",
            Self::Fourteenth => "fourteenth",
            Self::Fifteenth => "fifteenth",
        })
    }
}

/// One line of a table: an interval number before and after the parts change places.
///
/// Both are at least 1 and at most the number of the inversion: a turn of a ninth at the octave
/// cannot exist.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Turn {
    before: u32,
    after: u32,
}

impl Turn {
    /// The number before the inversion.
    pub const fn before(self) -> u32 {
        self.before
    }

    /// The number after it.
    pub const fn after(self) -> u32 {
        self.after
    }

    /// The class of the interval before the inversion.
    pub const fn class_before(self) -> Consonance {
        Consonance::of_number(self.before)
    }

    /// The class of the interval after it.
    pub const fn class_after(self) -> Consonance {
        Consonance::of_number(self.after)
    }

    /// What becomes of consonance between two parts, where the fourth is dissonant.
    pub const fn effect(self) -> Effect {
        match (
            self.class_before().is_consonant(Above::LowestVoice),
            self.class_after().is_consonant(Above::LowestVoice),
        ) {
            (true, true) => Effect::StaysConsonant,
            (true, false) => Effect::BecomesDissonant,
            (false, true) => Effect::BecomesConsonant,
            (false, false) => Effect::StaysDissonant,
        }
    }

    /// What several such intervals in succession by parallel motion turn into.
    pub const fn parallels(self) -> Parallels {
        match self.class_after() {
            Consonance::Imperfect => Parallels::Allowed,
            Consonance::Perfect => Parallels::Perfect,
            Consonance::Fourth | Consonance::Dissonant => Parallels::Dissonant,
        }
    }

    /// Whether parallels are right before the inversion and wrong after it.
    ///
    /// ```
    /// use soggetto::combine::inversion::Inversion;
    /// let spoilt = Inversion::Tenth.table().filter(|turn| turn.spoils_parallels());
    /// assert_eq!(spoilt.map(|turn| turn.before()).collect::<Vec<_>>(), [3, 6, 10]);
    /// ```
    pub const fn spoils_parallels(self) -> bool {
        matches!(self.class_before(), Consonance::Imperfect)
            && !matches!(self.parallels(), Parallels::Allowed)
    }
}

/// What an inversion does to the consonance of an interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Effect {
    /// Consonant before and after.
    StaysConsonant,
    /// Consonant before, dissonant after: to be treated as a dissonance from the start.
    BecomesDissonant,
    /// Dissonant before, consonant after.
    BecomesConsonant,
    /// Dissonant before and after.
    StaysDissonant,
}

impl fmt::Display for Effect {
    /// `consonant stays consonant` and so on.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::StaysConsonant => "consonant stays consonant",
            Self::BecomesDissonant => "consonant becomes dissonant",
            Self::BecomesConsonant => "dissonant becomes consonant",
            Self::StaysDissonant => "dissonant stays dissonant",
        })
    }
}

/// What parallel intervals are after the inversion.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Parallels {
    /// Parallel thirds or sixths or their compounds.
    Allowed,
    /// Parallel unisons, fifths, octaves or their compounds: forbidden.
    Perfect,
    /// Dissonances or, in two parts, fourths in succession: forbidden.
    Dissonant,
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_inversion() -> impl Strategy<Value = Inversion> {
        proptest::sample::select(Inversion::ALL.as_slice())
    }

    fn numbers_where(inversion: Inversion, keep: impl Fn(&Turn) -> bool) -> Vec<u32> {
        inversion.table().filter(keep).map(Turn::before).collect()
    }

    #[test]
    fn names_are_those_of_the_interval() {
        for inversion in Inversion::ALL {
            for frame in inversion.frames() {
                assert_eq!(inversion.to_string(), frame.number_name());
                assert_eq!(inversion.number(), frame.number());
            }
        }
    }

    /// Source: Cherubini, "On double counterpoint".
    #[test]
    fn consonances_lost_are_those_the_handbook_names() {
        let lost = |inversion| numbers_where(inversion, |turn| turn.effect() == Effect::BecomesDissonant);
        assert_eq!(lost(Inversion::Octave), [5]);
        assert_eq!(lost(Inversion::Tenth), Vec::<u32>::new());
        assert_eq!(lost(Inversion::Twelfth), [6]);
        assert_eq!(lost(Inversion::Fourteenth), [1, 6, 8, 13]);
        assert_eq!(lost(Inversion::Fifteenth), [5, 12]);
    }

    /// Source: Cherubini, "On double counterpoint": thirds and sixths at the tenth, thirds at the
    /// fourteenth; the sixths at the twelfth turn into sevenths.
    #[test]
    fn parallels_spoilt_are_those_the_handbook_names() {
        let spoilt = |inversion| numbers_where(inversion, |turn| turn.spoils_parallels());
        assert_eq!(spoilt(Inversion::Octave), Vec::<u32>::new());
        assert_eq!(spoilt(Inversion::Tenth), [3, 6, 10]);
        assert_eq!(spoilt(Inversion::Twelfth), [6]);
        assert_eq!(spoilt(Inversion::Fourteenth), [3, 6, 10, 13]);
        assert_eq!(spoilt(Inversion::Fifteenth), Vec::<u32>::new());
    }

    #[test]
    fn wider_intervals_do_not_turn() {
        for inversion in Inversion::ALL {
            for number in [0, inversion.number() + 1, u32::MAX] {
                assert_eq!(inversion.turn(number), None);
            }
        }
    }

    #[test]
    fn tables_name_their_sources() {
        assert_eq!(
            Inversion::Tenth.source().to_string(),
            "Cherubini, A Treatise on Counterpoint and Fugue, \"On double counterpoint\""
        );
        assert_eq!(Inversion::Fifteenth.source(), Source::CommonPractice);
    }

    proptest! {
        #[test]
        fn prop_turning_twice_gives_the_interval_back(inversion in any_inversion(), number in 0..20_u32) {
            if let Some(turn) = inversion.turn(number) {
                prop_assert_eq!(inversion.turn(turn.after()).map(Turn::after), Some(number));
            }
        }

        #[test]
        fn prop_exact_inversion_has_the_number_of_the_table(
            inversion in any_inversion(), interval in crate::interval::any_interval()
        ) {
            let Some(turn) = inversion.turn(interval.number()) else { return Ok(()) };
            for frame in inversion.frames() {
                if let Ok(inverted) = interval.inverted_at(*frame) {
                    prop_assert_eq!(inverted.number(), turn.after());
                }
            }
        }
    }
}
