//! Consonance classes, and the double nature of the fourth.

use super::Interval;
use std::fmt;

/// How an interval is heard between two parts.
///
/// Source: Grove, *A Dictionary of Music and Musicians*, vol. 3, "Strict Counterpoint", First
/// Order; Cherubini, *A Treatise on Counterpoint and Fugue*, rules 1 and 2.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Consonance {
    /// Perfect unison, fifth, octave and their compounds.
    Perfect,
    /// Major and minor thirds and sixths and their compounds.
    Imperfect,
    /// The perfect fourth: dissonant against the lowest voice, free between upper voices.
    Fourth,
    /// Everything else, augmented and diminished intervals included.
    Dissonant,
}

/// Which voice has the lower note of an interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Above {
    /// The lowest voice that sounds; in two parts always.
    LowestVoice,
    /// An upper voice, with a lower one sounding under both.
    UpperVoice,
}

impl Consonance {
    /// The class that intervals of a number belong to when they are perfect, or major or minor: a
    /// fifth is taken as perfect. Number 0, which no interval has, counts as dissonant.
    ///
    /// ```
    /// use soggetto::interval::Consonance;
    /// assert_eq!(Consonance::of_number(12), Consonance::Perfect);
    /// assert_eq!(Consonance::of_number(7), Consonance::Dissonant);
    /// ```
    pub const fn of_number(number: u32) -> Self {
        match number {
            0 => Self::Dissonant,
            number => match number % 7 {
                1 | 5 => Self::Perfect,
                3 | 6 => Self::Imperfect,
                4 => Self::Fourth,
                _ => Self::Dissonant,
            },
        }
    }

    /// Whether it is consonant over a lower note in such a voice.
    ///
    /// Source: the fourth is a dissonance in two parts and above the bass (Cherubini, two-part
    /// counterpoint); free between upper parts over a consonant bass (common practice).
    pub const fn is_consonant(self, above: Above) -> bool {
        match self {
            Self::Perfect | Self::Imperfect => true,
            Self::Fourth => matches!(above, Above::UpperVoice),
            Self::Dissonant => false,
        }
    }
}

impl Interval {
    /// The consonance class; compound intervals are judged as their simple form.
    ///
    /// An augmented or diminished interval is dissonant even where it sounds like a consonance.
    ///
    /// ```
    /// use soggetto::interval::{Consonance, Interval};
    /// assert_eq!(Interval::MAJOR_TENTH.consonance(), Consonance::Imperfect);
    /// assert_eq!(Interval::AUGMENTED_SECOND.consonance(), Consonance::Dissonant);
    /// ```
    pub fn consonance(self) -> Consonance {
        let up = self.abs();
        let octaves = up.steps() / 7;
        match (up.steps() - 7 * octaves, up.semitones() - 12 * octaves) {
            (0, 0) | (4, 7) => Consonance::Perfect,
            (2, 3 | 4) | (5, 8 | 9) => Consonance::Imperfect,
            (3, 5) => Consonance::Fourth,
            _ => Consonance::Dissonant,
        }
    }

    /// Whether it is consonant over a lower note in such a voice: the fourth alone asks where.
    ///
    /// ```
    /// use soggetto::interval::{Above, Interval};
    /// assert!(!Interval::PERFECT_FOURTH.is_consonant(Above::LowestVoice));
    /// assert!(Interval::PERFECT_FOURTH.is_consonant(Above::UpperVoice));
    /// ```
    pub fn is_consonant(self, above: Above) -> bool {
        self.consonance().is_consonant(above)
    }
}

impl fmt::Display for Consonance {
    /// `perfect consonance`, `imperfect consonance`, `fourth`, `dissonance`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Perfect => "perfect consonance",
            Self::Imperfect => "imperfect consonance",
            Self::Fourth => "fourth",
            Self::Dissonant => "dissonance",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interval::any_interval;
    use proptest::prelude::*;

    fn consonant(text: &str) -> [bool; 2] {
        let interval: Interval = text.parse().unwrap();
        [Above::LowestVoice, Above::UpperVoice].map(|above| interval.is_consonant(above))
    }

    #[test]
    fn only_the_perfect_fourth_depends_on_the_voice_below() {
        assert_eq!(consonant("P4"), [false, true]);
        assert_eq!(consonant("-P11"), [false, true]);
        assert_eq!(consonant("A4"), [false, false]);
        assert_eq!(consonant("m2"), [false, false]);
        assert_eq!(consonant("m6"), [true, true]);
        assert_eq!(consonant("P12"), [true, true]);
    }

    #[test]
    fn intervals_that_only_sound_consonant_are_dissonant() {
        for text in ["A2", "d4", "A5", "d7", "d6", "A3", "dd4", "A1", "d8", "d2"] {
            assert_eq!(text.parse::<Interval>().unwrap().consonance(), Consonance::Dissonant, "{text}");
        }
    }

    #[test]
    fn number_without_interval_is_no_consonance() {
        assert_eq!(Consonance::of_number(0), Consonance::Dissonant);
        assert_eq!(Consonance::of_number(u32::MAX), Consonance::of_number(u32::MAX % 7));
    }

    proptest! {
        #[test]
        fn prop_direction_does_not_matter(interval in any_interval()) {
            prop_assert_eq!(interval.consonance(), (-interval).consonance());
        }
    }
}
