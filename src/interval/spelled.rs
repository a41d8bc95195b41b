//! The interval itself: constants, constructors, what it is asked for.

use super::{IntervalError, Quality};
use std::cmp::Ordering;

/// The largest number of diatonic steps an interval may span (twenty octaves).
pub const MAX_STEPS: i32 = 140;
/// The most times an interval may be augmented or diminished: what the distance between two
/// pitches with triple accidentals can reach (B### up to Fbbb is seven times diminished).
pub const MAX_ALTERATION: i32 = 7;

/// A spelled interval: so many diatonic steps and so many semitones, upwards or downwards.
///
/// Every value has a number, a quality and a direction: at most [`MAX_STEPS`] steps, at most
/// [`MAX_ALTERATION`] times augmented or diminished. A perfect third cannot exist, nor a perfect
/// unison downwards. A unison is never diminished: the chromatic unison has two directions, `A1`
/// and `-A1`. Direction is spelling: a doubly diminished second leads upwards, though its upper
/// note sounds the lower.
///
/// # Parsing and printing
/// A sign if it falls, the quality, the number: `m3`, `-P5`, `A11`, `dd7`. [`Debug`](std::fmt::Debug)
/// prints what [`Display`](std::fmt::Display) prints, and only what is printed so is read.
///
/// ```
/// use soggetto::interval::{Interval, Quality};
/// let seventh = Interval::new(Quality::Diminished(1), 7)?;
/// assert_eq!(seventh.to_string(), "d7");
/// assert_eq!("-A1".parse::<Interval>()?, -Interval::AUGMENTED_UNISON);
/// assert!("P3".parse::<Interval>().is_err());
/// # Ok::<(), soggetto::interval::IntervalError>(())
/// ```
///
/// # Comparisons
/// `==` compares spelling: `A4 != d5`. So does the order: steps first, then semitones, downwards
/// before upwards, so that `A3 < d4` although it sounds wider. Ask [`Interval::cmp_sound`] for the
/// sounding order and [`Interval::is_enharmonic_with`] for equal sound.
///
/// ```
/// use soggetto::interval::Interval;
/// use std::cmp::Ordering;
/// let (third, fourth): (Interval, Interval) = ("A3".parse()?, "d4".parse()?);
/// assert!(third < fourth);
/// assert_eq!(third.cmp_sound(fourth), Ordering::Greater);
/// # Ok::<(), soggetto::interval::IntervalError>(())
/// ```
///
/// # Arithmetic
/// Only negation cannot fail and is an operator; sums are [`Interval::checked_add`],
/// [`Interval::checked_sub`] and [`Interval::checked_mul`].
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Interval {
    steps: i32,
    semitones: i32,
}

/// Where an interval leads, by spelling.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Direction {
    /// Downwards.
    Down,
    /// Nowhere: the perfect unison.
    Level,
    /// Upwards.
    Up,
}

impl Interval {
    /// The perfect unison.
    pub const UNISON: Self = Self::between(0, 0);
    /// The augmented unison, upwards: the chromatic semitone.
    pub const AUGMENTED_UNISON: Self = Self::between(0, 1);
    /// The minor second: the diatonic semitone.
    pub const MINOR_SECOND: Self = Self::between(1, 1);
    /// The major second.
    pub const MAJOR_SECOND: Self = Self::between(1, 2);
    /// The augmented second.
    pub const AUGMENTED_SECOND: Self = Self::between(1, 3);
    /// The minor third.
    pub const MINOR_THIRD: Self = Self::between(2, 3);
    /// The major third.
    pub const MAJOR_THIRD: Self = Self::between(2, 4);
    /// The diminished fourth.
    pub const DIMINISHED_FOURTH: Self = Self::between(3, 4);
    /// The perfect fourth.
    pub const PERFECT_FOURTH: Self = Self::between(3, 5);
    /// The augmented fourth, the tritone.
    pub const AUGMENTED_FOURTH: Self = Self::between(3, 6);
    /// The diminished fifth.
    pub const DIMINISHED_FIFTH: Self = Self::between(4, 6);
    /// The perfect fifth.
    pub const PERFECT_FIFTH: Self = Self::between(4, 7);
    /// The augmented fifth.
    pub const AUGMENTED_FIFTH: Self = Self::between(4, 8);
    /// The minor sixth.
    pub const MINOR_SIXTH: Self = Self::between(5, 8);
    /// The major sixth.
    pub const MAJOR_SIXTH: Self = Self::between(5, 9);
    /// The diminished seventh.
    pub const DIMINISHED_SEVENTH: Self = Self::between(6, 9);
    /// The minor seventh.
    pub const MINOR_SEVENTH: Self = Self::between(6, 10);
    /// The major seventh.
    pub const MAJOR_SEVENTH: Self = Self::between(6, 11);
    /// The perfect octave.
    pub const OCTAVE: Self = Self::between(7, 12);
    /// The minor tenth.
    pub const MINOR_TENTH: Self = Self::between(9, 15);
    /// The major tenth.
    pub const MAJOR_TENTH: Self = Self::between(9, 16);
    /// The perfect twelfth.
    pub const TWELFTH: Self = Self::between(11, 19);
    /// The minor fourteenth.
    pub const MINOR_FOURTEENTH: Self = Self::between(13, 22);
    /// The major fourteenth.
    pub const MAJOR_FOURTEENTH: Self = Self::between(13, 23);
    /// The perfect fifteenth, the double octave.
    pub const FIFTEENTH: Self = Self::between(14, 24);

    /// The interval of a quality and a number (1 = unison, 3 = third, 10 = tenth), upwards.
    ///
    /// # Errors
    /// - [`IntervalError::Number`] if the number is 0 or spans more than [`MAX_STEPS`];
    /// - [`IntervalError::Quality`] if the quality does not go with the number, a diminished unison
    ///   included;
    /// - [`IntervalError::Range`] if it is altered more than [`MAX_ALTERATION`] times.
    ///
    /// ```
    /// use soggetto::interval::{Interval, Quality};
    /// assert_eq!(Interval::new(Quality::Minor, 10)?, Interval::MINOR_TENTH);
    /// assert!(Interval::new(Quality::Major, 5).is_err());
    /// # Ok::<(), soggetto::interval::IntervalError>(())
    /// ```
    pub fn new(quality: Quality, number: u32) -> Result<Self, IntervalError> {
        let steps = i32::try_from(number)
            .ok()
            .map(|number| number - 1)
            .filter(|steps| (0..=MAX_STEPS).contains(steps))
            .ok_or_else(|| IntervalError::Number { number: number.to_string() })?;
        let alteration = quality.alteration_of(steps).map_err(|allowed| IntervalError::Quality {
            quality,
            number,
            allowed,
        })?;
        Self::from_steps(steps, natural_semitones(steps) + alteration)
    }

    /// The interval of so many diatonic steps and semitones; both negative for one downwards.
    ///
    /// # Errors
    /// [`IntervalError::Range`] if it spans more than [`MAX_STEPS`], or is augmented or diminished
    /// more than [`MAX_ALTERATION`] times.
    ///
    /// ```
    /// use soggetto::interval::Interval;
    /// assert_eq!(Interval::from_steps(-4, -7)?, -Interval::PERFECT_FIFTH);
    /// assert!(Interval::from_steps(2, 40).is_err());
    /// # Ok::<(), soggetto::interval::IntervalError>(())
    /// ```
    pub fn from_steps(steps: i32, semitones: i32) -> Result<Self, IntervalError> {
        let interval = Self::between(steps, semitones);
        // Far numbers are refused before any sum with them could overflow.
        let near = steps.unsigned_abs() <= MAX_STEPS.unsigned_abs()
            && semitones.unsigned_abs() <= 12 * MAX_STEPS.unsigned_abs();
        if near && interval.quality().count() <= MAX_ALTERATION {
            Ok(interval)
        } else {
            Err(IntervalError::Range { steps: steps.into(), semitones: semitones.into() })
        }
    }

    /// For steps and semitones known to be in range, as between two pitches or classes.
    pub(crate) const fn between(steps: i32, semitones: i32) -> Self {
        Self { steps, semitones }
    }

    /// Signed diatonic steps: a third is two steps, negative downwards.
    pub const fn steps(self) -> i32 {
        self.steps
    }

    /// Signed semitones.
    pub const fn semitones(self) -> i32 {
        self.semitones
    }

    /// The number as musicians count it: 1 for a unison, 10 for a tenth, whatever the direction.
    pub const fn number(self) -> u32 {
        self.steps.unsigned_abs() + 1
    }

    /// The quality, seen from the lower note by spelling.
    pub fn quality(self) -> Quality {
        let up = self.abs();
        Quality::of(up.steps, up.semitones - natural_semitones(up.steps))
    }

    /// Where it leads by spelling; a unison leads somewhere only if it is chromatic.
    pub fn direction(self) -> Direction {
        match self.cmp(&Self::UNISON) {
            Ordering::Less => Direction::Down,
            Ordering::Equal => Direction::Level,
            Ordering::Greater => Direction::Up,
        }
    }

    /// Whether it leads downwards (a unison does so if it is chromatic and falls).
    pub const fn is_descending(self) -> bool {
        self.steps < 0 || (self.steps == 0 && self.semitones < 0)
    }

    /// Whether it is wider than an octave by spelling (an octave of any quality is not compound).
    pub const fn is_compound(self) -> bool {
        self.steps.unsigned_abs() > 7
    }

    /// Whether it is a unison of any quality.
    pub const fn is_unison(self) -> bool {
        self.steps == 0
    }

    /// Whether it is a second of any quality.
    pub const fn is_step(self) -> bool {
        self.steps.unsigned_abs() == 1
    }

    /// Whether it is a third of any quality, or wider.
    pub const fn is_leap(self) -> bool {
        self.steps.unsigned_abs() > 1
    }

    /// Whether both sound alike in equal temperament, as `A4` and `d5` do.
    pub const fn is_enharmonic_with(self, other: Self) -> bool {
        self.semitones == other.semitones
    }

    /// The order by sound in equal temperament: by signed semitones alone, whatever the spelling.
    pub fn cmp_sound(self, other: Self) -> Ordering {
        self.semitones.cmp(&other.semitones)
    }
}

/// Semitones of the perfect or major interval of so many steps upwards; steps may be negative, as
/// letters below C are.
pub(crate) const fn natural_semitones(steps: i32) -> i32 {
    let within_octave = match steps.rem_euclid(7) {
        0 => 0,
        1 => 2,
        2 => 4,
        3 => 5,
        4 => 7,
        5 => 9,
        _ => 11,
    };
    12 * steps.div_euclid(7) + within_octave
}

/// Any interval within the limits, in either direction.
#[cfg(test)]
pub(crate) fn any_interval() -> impl proptest::strategy::Strategy<Value = Interval> {
    use proptest::prelude::*;
    (0..=MAX_STEPS, any::<bool>()).prop_flat_map(|(steps, falls)| {
        let lowest = -MAX_ALTERATION - i32::from(!super::quality::is_perfect_kind(steps));
        (lowest..=MAX_ALTERATION).prop_map(move |alteration| {
            let up = Interval::from_steps(steps, natural_semitones(steps) + alteration).unwrap();
            if falls { -up } else { up }
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn interval(text: &str) -> Interval {
        text.parse().unwrap()
    }

    #[test]
    fn constants_have_the_names_they_bear() {
        let printed = [
            (Interval::UNISON, "P1"),
            (Interval::AUGMENTED_UNISON, "A1"),
            (Interval::MINOR_SECOND, "m2"),
            (Interval::MAJOR_SECOND, "M2"),
            (Interval::AUGMENTED_SECOND, "A2"),
            (Interval::MINOR_THIRD, "m3"),
            (Interval::MAJOR_THIRD, "M3"),
            (Interval::DIMINISHED_FOURTH, "d4"),
            (Interval::PERFECT_FOURTH, "P4"),
            (Interval::AUGMENTED_FOURTH, "A4"),
            (Interval::DIMINISHED_FIFTH, "d5"),
            (Interval::PERFECT_FIFTH, "P5"),
            (Interval::AUGMENTED_FIFTH, "A5"),
            (Interval::MINOR_SIXTH, "m6"),
            (Interval::MAJOR_SIXTH, "M6"),
            (Interval::DIMINISHED_SEVENTH, "d7"),
            (Interval::MINOR_SEVENTH, "m7"),
            (Interval::MAJOR_SEVENTH, "M7"),
            (Interval::OCTAVE, "P8"),
            (Interval::MINOR_TENTH, "m10"),
            (Interval::MAJOR_TENTH, "M10"),
            (Interval::TWELFTH, "P12"),
            (Interval::MINOR_FOURTEENTH, "m14"),
            (Interval::MAJOR_FOURTEENTH, "M14"),
            (Interval::FIFTEENTH, "P15"),
        ];
        for (constant, text) in printed {
            assert_eq!(constant.to_string(), text);
        }
    }

    #[test]
    fn chromatic_unison_has_two_directions() {
        let down = Interval::from_steps(0, -1).unwrap();
        assert_eq!(down, -Interval::AUGMENTED_UNISON);
        assert_eq!(down.direction(), Direction::Down);
        assert_eq!((down.quality(), down.number()), (Quality::Augmented(1), 1));
        assert_eq!(Interval::UNISON.direction(), Direction::Level);
    }

    #[test]
    fn direction_is_spelling_not_sound() {
        let second = interval("dd2");
        assert_eq!(second.semitones(), -1);
        assert_eq!(second.direction(), Direction::Up);
        assert_eq!((-second).to_string(), "-dd2");
    }

    #[test]
    fn spelling_and_sound_order_apart() {
        let (third, fourth, other_third) = (interval("A3"), interval("d4"), interval("M3"));
        assert!(third < fourth);
        assert_eq!(third.cmp_sound(fourth), Ordering::Greater);
        assert_eq!(other_third.cmp_sound(fourth), Ordering::Equal);
        assert!(other_third.is_enharmonic_with(fourth) && other_third != fourth);
        assert!(interval("-P5") < interval("-m2") && interval("-m2") < interval("-A1"));
        assert!(interval("-A1") < interval("P1") && interval("P1") < interval("A1"));
    }

    #[test]
    fn refuses_extreme_numbers_calmly() {
        for (steps, semitones) in
            [(i32::MIN, i32::MIN), (i32::MAX, i32::MAX), (0, i32::MIN), (141, 240), (140, i32::MAX)]
        {
            assert!(Interval::from_steps(steps, semitones).is_err(), "{steps} {semitones}");
        }
        for number in [0, 142, 1 << 31, u32::MAX] {
            assert!(matches!(Interval::new(Quality::Perfect, number), Err(IntervalError::Number { .. })));
        }
        assert!(Interval::new(Quality::Augmented(255), 141).is_err());
        assert!(Interval::new(Quality::Diminished(255), 2).is_err());
    }

    #[test]
    fn widest_interval_is_twenty_octaves() {
        let widest = Interval::new(Quality::Perfect, 141).unwrap();
        assert_eq!((widest.steps(), widest.semitones()), (140, 240));
    }

    #[test]
    fn unison_step_and_leap_are_distinct() {
        for (text, expected) in [
            ("A1", [true, false, false]),
            ("-A2", [false, true, false]),
            ("d3", [false, false, true]),
            ("-P8", [false, false, true]),
        ] {
            let interval = interval(text);
            assert_eq!([interval.is_unison(), interval.is_step(), interval.is_leap()], expected, "{text}");
        }
    }

    proptest! {
        #[test]
        fn prop_quality_and_number_rebuild_the_interval_upwards(interval in any_interval()) {
            prop_assert_eq!(Interval::new(interval.quality(), interval.number()), Ok(interval.abs()));
        }

        #[test]
        fn prop_steps_and_semitones_rebuild_the_interval(interval in any_interval()) {
            prop_assert_eq!(Interval::from_steps(interval.steps(), interval.semitones()), Ok(interval));
        }

        #[test]
        fn prop_falling_intervals_sort_before_the_unison(interval in any_interval()) {
            prop_assert_eq!(interval.is_descending(), interval < Interval::UNISON);
            prop_assert_eq!(interval.is_descending(), interval.direction() == Direction::Down);
        }

        #[test]
        fn prop_negation_reverses_both_orders(a in any_interval(), b in any_interval()) {
            prop_assert_eq!(a.cmp(&b), (-b).cmp(&-a));
            prop_assert_eq!(a.cmp_sound(b), (-b).cmp_sound(-a));
        }

        #[test]
        fn prop_any_pair_of_numbers_is_an_interval_or_an_error(steps: i32, semitones: i32) {
            if let Ok(interval) = Interval::from_steps(steps, semitones) {
                prop_assert!(interval.quality().count() <= MAX_ALTERATION);
            }
        }
    }
}
