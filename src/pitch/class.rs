//! Pitch classes: a letter and its alteration, whatever the octave.

use super::{Letter, MAX_ACCIDENTALS, PitchError};
use crate::interval::{Interval, natural_semitones};

/// A letter with its alteration.
///
/// Every value has at most [`MAX_ACCIDENTALS`] sharps or flats; a C with four sharps cannot exist.
/// `==` compares spelling (`F# != Gb`); the order runs from C to B, flats before sharps. The text is
/// that of a pitch without its octave: `F#`, `Bb`.
///
/// ```
/// use soggetto::interval::Interval;
/// use soggetto::pitch::PitchClass;
/// let (f_sharp, c): (PitchClass, PitchClass) = ("F#".parse()?, "C".parse()?);
/// assert_eq!(f_sharp.up_to(c), Interval::DIMINISHED_FIFTH);
/// # Ok::<(), soggetto::pitch::PitchError>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PitchClass {
    letter: Letter,
    alteration: i8,
}

impl PitchClass {
    /// The class of a letter with sharps (positive) or flats (negative).
    ///
    /// # Errors
    /// [`PitchError::Accidental`] if there are more than [`MAX_ACCIDENTALS`].
    pub fn new(letter: Letter, alteration: i32) -> Result<Self, PitchError> {
        if alteration.unsigned_abs() > MAX_ACCIDENTALS.unsigned_abs() {
            return Err(PitchError::Accidental { text: format!("{letter}{alteration:+}") });
        }
        Ok(Self::from_parts(letter, alteration))
    }

    /// The class at a place on the line of fifths: C = 0, G = 1, F = -1, F# = 6.
    ///
    /// # Errors
    /// [`PitchError::Accidental`] if it would need more than [`MAX_ACCIDENTALS`].
    ///
    /// ```
    /// use soggetto::pitch::PitchClass;
    /// assert_eq!(PitchClass::from_fifths(-2)?.to_string(), "Bb");
    /// # Ok::<(), soggetto::pitch::PitchError>(())
    /// ```
    pub fn from_fifths(fifths: i32) -> Result<Self, PitchError> {
        let letter = Letter::from_index(fifths.rem_euclid(7) * 4);
        Self::new(letter, fifths.saturating_add(1).div_euclid(7))
    }

    /// For values known to be in range.
    #[expect(clippy::cast_possible_truncation, reason = "callers keep within three accidentals")]
    pub(super) const fn from_parts(letter: Letter, alteration: i32) -> Self {
        Self { letter, alteration: alteration as i8 }
    }

    /// The letter.
    pub const fn letter(self) -> Letter {
        self.letter
    }

    /// Sharps (positive) or flats (negative).
    pub fn alteration(self) -> i32 {
        self.alteration.into()
    }

    /// Semitones above C of the same octave; below 0 for Cb, above 11 for B#.
    pub fn semitones(self) -> i32 {
        self.letter.semitones() + self.alteration()
    }

    /// Place on the line of fifths: C = 0, G = 1, F = -1, F# = 6.
    pub fn fifths(self) -> i32 {
        const FIFTHS: [i32; 7] = [0, 2, 4, -1, 1, 3, 5];
        FIFTHS[usize::from(self.letter.index())] + 7 * self.alteration()
    }

    /// Whether both sound alike in equal temperament in some octave, as B# and C do.
    pub fn is_enharmonic_with(self, other: Self) -> bool {
        (self.semitones() - other.semitones()).rem_euclid(12) == 0
    }

    /// The class an interval away.
    ///
    /// # Errors
    /// [`PitchError::Unwritable`] if more than [`MAX_ACCIDENTALS`] would be needed.
    pub fn moved(self, by: Interval) -> Result<Self, PitchError> {
        let steps = i32::from(self.letter.index()) + by.steps();
        let alteration = self.semitones() + by.semitones() - natural_semitones(steps);
        if alteration.abs() > MAX_ACCIDENTALS {
            return Err(PitchError::Unwritable { from: self.to_string(), by, alteration });
        }
        Ok(Self::from_parts(Letter::from_index(steps), alteration))
    }

    /// The interval from `self` up to the next note of class `other`, less than an octave by
    /// spelling; between two notes of one letter it is a unison, which may fall (C# to C is `-A1`).
    pub fn up_to(self, other: Self) -> Interval {
        let steps = i32::from(other.letter.index()) - i32::from(self.letter.index());
        let octave = i32::from(steps < 0);
        Interval::between(steps + 7 * octave, other.semitones() - self.semitones() + 12 * octave)
    }
}

/// Any pitch class.
#[cfg(test)]
pub(crate) fn any_pitch_class() -> impl proptest::strategy::Strategy<Value = PitchClass> {
    use proptest::prelude::*;
    (proptest::sample::select(Letter::ALL.as_slice()), -MAX_ACCIDENTALS..=MAX_ACCIDENTALS)
        .prop_map(|(letter, alteration)| PitchClass::new(letter, alteration).unwrap())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interval::{MAX_ALTERATION, any_interval};
    use crate::pitch::any_pitch;
    use proptest::prelude::*;

    fn class(text: &str) -> PitchClass {
        text.parse().unwrap()
    }

    fn all_classes() -> impl Iterator<Item = PitchClass> {
        Letter::ALL.into_iter().flat_map(|letter| {
            (-MAX_ACCIDENTALS..=MAX_ACCIDENTALS)
                .map(move |alteration| PitchClass::new(letter, alteration).unwrap())
        })
    }

    /// Common practice: the order of the fifths.
    #[test]
    fn line_of_fifths_runs_from_flats_to_sharps() {
        let line = ["Fb", "Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"];
        for (fifths, text) in (-8..).zip(line) {
            assert_eq!(class(text).fifths(), fifths, "{text}");
            assert_eq!(PitchClass::from_fifths(fifths), Ok(class(text)));
        }
    }

    #[test]
    fn all_classes_roundtrip_through_the_line_of_fifths() {
        for class in all_classes() {
            assert_eq!(PitchClass::from_fifths(class.fifths()), Ok(class));
        }
        for fifths in [i32::MIN, -23, 27, i32::MAX] {
            assert!(PitchClass::from_fifths(fifths).is_err(), "{fifths}");
        }
    }

    #[test]
    fn all_pairs_of_classes_stay_within_the_limits_of_intervals_and_reach_them() {
        let pairs = || all_classes().flat_map(|low| all_classes().map(move |high| low.up_to(high)));
        for interval in pairs() {
            assert_eq!(Interval::from_steps(interval.steps(), interval.semitones()), Ok(interval));
        }
        assert_eq!(pairs().map(|interval| interval.quality().count()).max(), Some(MAX_ALTERATION));
    }

    #[test]
    fn unison_between_classes_may_fall() {
        assert_eq!(class("C#").up_to(class("C")), -Interval::AUGMENTED_UNISON);
        assert_eq!(class("C").up_to(class("C")), Interval::UNISON);
        assert_eq!(class("B").up_to(class("C")), Interval::MINOR_SECOND);
    }

    #[test]
    fn enharmonic_classes_are_unequal() {
        assert!(class("B#").is_enharmonic_with(class("C")) && class("B#") != class("C"));
        assert!(class("Cb").is_enharmonic_with(class("B")));
        assert!(!class("Cb").is_enharmonic_with(class("C")));
    }

    #[test]
    fn refuses_extreme_alterations_calmly() {
        for alteration in [i32::MIN, -4, 4, i32::MAX] {
            assert!(PitchClass::new(Letter::C, alteration).is_err());
        }
    }

    proptest! {
        #[test]
        fn prop_up_to_leads_to_the_other_class(a in any_pitch_class(), b in any_pitch_class()) {
            prop_assert_eq!(a.moved(a.up_to(b)), Ok(b));
            prop_assert!((0..7).contains(&a.up_to(b).steps()));
        }

        #[test]
        fn prop_class_moves_as_its_pitches_do(pitch in any_pitch(), by in any_interval()) {
            if let Ok(moved) = pitch.moved(by) {
                prop_assert_eq!(pitch.class().moved(by), Ok(moved.class()));
            }
        }

        #[test]
        fn prop_interval_and_fifths_agree(a in any_pitch_class(), b in any_pitch_class()) {
            let up = a.up_to(b);
            prop_assert_eq!(b.fifths() - a.fifths(), 7 * up.semitones() - 12 * up.steps());
        }
    }
}
