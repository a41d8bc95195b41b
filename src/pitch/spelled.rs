//! The pitch itself: a class in an octave.

use super::{Letter, PitchClass, PitchError};
use crate::interval::{Interval, natural_semitones};
use std::cmp::Ordering;
use std::ops::Sub;

/// The lowest octave of a pitch.
pub const MIN_OCTAVE: i32 = -1;
/// The highest octave of a pitch.
pub const MAX_OCTAVE: i32 = 9;
/// The most sharps or flats a pitch may carry: triple accidentals are the last that music printing knows.
pub const MAX_ACCIDENTALS: i32 = 3;

/// A spelled pitch in its octave.
///
/// Every value has a letter, at most [`MAX_ACCIDENTALS`] sharps or flats, and an octave from
/// [`MIN_OCTAVE`] to [`MAX_OCTAVE`]. The octave belongs to the letter: `B#3` sounds as `C4`. Neither
/// a C with four sharps nor a `C10` can exist. A few values lie beyond the keys of the MIDI standard
/// (`Cb-1`, `B#9`): [`Pitch::key_number`] says so.
///
/// # Parsing and printing
/// Scientific pitch notation: `F#4`, `Bb3`, `C##5`. Read are also lower-case letters and the signs
/// ♯ ♭ ♮ 𝄪 𝄫.
///
/// ```
/// use soggetto::pitch::{Letter, Pitch};
/// let pitch: Pitch = "E♭4".parse()?;
/// assert_eq!(pitch.to_string(), "Eb4");
/// assert_eq!((pitch.letter(), pitch.alteration(), pitch.octave()), (Letter::E, -1, 4));
/// # Ok::<(), soggetto::pitch::PitchError>(())
/// ```
///
/// # Comparisons
/// `==` compares spelling, and so does the order: letters first, then alteration, so that
/// `B##3 < C4` although it sounds higher. Ask [`Pitch::height`] and [`Pitch::cmp_height`] for the
/// sounding order, [`Pitch::is_enharmonic_with`] for equal sound.
///
/// ```
/// use soggetto::pitch::Pitch;
/// let (b, c): (Pitch, Pitch) = ("B##3".parse()?, "C4".parse()?);
/// assert!(b < c && b.height() > c.height());
/// # Ok::<(), soggetto::pitch::PitchError>(())
/// ```
///
/// # Arithmetic
/// `p - q` is always an [`Interval`] and an operator. Moving a pitch can leave notation, so it is
/// [`Pitch::moved`]. Pitches are never added.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pitch {
    /// Steps above the C of octave 0.
    steps: i16,
    /// Semitones above the C of octave -1 (middle C = 60).
    semitones: i16,
}

impl Pitch {
    /// C4, middle C.
    pub const MIDDLE_C: Self = Self::raw(28, 60);
    /// A4, the note of the tuning fork.
    pub const A4: Self = Self::raw(33, 69);

    /// For steps and semitones of an octave and an alteration in range.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "octaves -1 to 9 and three accidentals keep steps within -7..=69, semitones within -3..=134"
    )]
    const fn raw(steps: i32, semitones: i32) -> Self {
        Self { steps: steps as i16, semitones: semitones as i16 }
    }

    /// The pitch of a class in an octave; the octave belongs to the letter (B#3 sounds as C4).
    ///
    /// # Errors
    /// [`PitchError::OctaveRange`] if the octave is outside [`MIN_OCTAVE`]`..=`[`MAX_OCTAVE`].
    ///
    /// ```
    /// use soggetto::pitch::{Letter, Pitch, PitchClass};
    /// let flat = PitchClass::new(Letter::C, -1)?;
    /// assert_eq!(Pitch::new(flat, 4)?.height(), 59);
    /// # Ok::<(), soggetto::pitch::PitchError>(())
    /// ```
    pub fn new(class: PitchClass, octave: i32) -> Result<Self, PitchError> {
        check_octave(octave)?;
        let steps = 7 * octave + i32::from(class.letter().index());
        Ok(Self::raw(steps, 12 * (octave + 1) + class.semitones()))
    }

    /// The letter.
    pub fn letter(self) -> Letter {
        Letter::from_index(self.steps.into())
    }

    /// Sharps (positive) or flats (negative).
    pub fn alteration(self) -> i32 {
        alteration(self.steps.into(), self.semitones.into())
    }

    /// The octave of the letter.
    pub fn octave(self) -> i32 {
        i32::from(self.steps).div_euclid(7)
    }

    /// Letter and alteration without the octave.
    pub fn class(self) -> PitchClass {
        PitchClass::from_parts(self.letter(), self.alteration())
    }

    /// The sounding height in semitones, middle C = 60 (the key number of the MIDI standard, where
    /// it has one).
    pub fn height(self) -> i32 {
        self.semitones.into()
    }

    /// The key number of the MIDI standard, 0 to 127; `None` for the few pitches beyond its keys.
    ///
    /// ```
    /// use soggetto::pitch::Pitch;
    /// assert_eq!(Pitch::MIDDLE_C.key_number(), Some(60));
    /// assert_eq!("Cb-1".parse::<Pitch>()?.key_number(), None);
    /// # Ok::<(), soggetto::pitch::PitchError>(())
    /// ```
    pub fn key_number(self) -> Option<u8> {
        u8::try_from(self.semitones).ok().filter(|key| *key < 128)
    }

    /// Diatonic steps above the C of octave 0: the place on the staff.
    pub fn staff_step(self) -> i32 {
        self.steps.into()
    }

    /// Whether both sound alike in equal temperament, as B#3 and C4 do.
    pub const fn is_enharmonic_with(self, other: Self) -> bool {
        self.semitones == other.semitones
    }

    /// The order by sounding height, whatever the spelling.
    pub fn cmp_height(self, other: Self) -> Ordering {
        self.semitones.cmp(&other.semitones)
    }

    /// The pitch an interval away.
    ///
    /// # Errors
    /// - [`PitchError::OctaveRange`] if the octave is out of range;
    /// - [`PitchError::Unwritable`] if more than [`MAX_ACCIDENTALS`] would be needed.
    ///
    /// ```
    /// use soggetto::interval::Interval;
    /// use soggetto::pitch::Pitch;
    /// assert_eq!(Pitch::A4.moved(-Interval::MINOR_SIXTH)?.to_string(), "C#4");
    /// # Ok::<(), soggetto::pitch::PitchError>(())
    /// ```
    pub fn moved(self, by: Interval) -> Result<Self, PitchError> {
        let steps = self.staff_step() + by.steps();
        let semitones = self.height() + by.semitones();
        check_octave(steps.div_euclid(7))?;
        match alteration(steps, semitones) {
            alteration if alteration.abs() > MAX_ACCIDENTALS => {
                Err(PitchError::Unwritable { from: self.to_string(), by, alteration })
            }
            _ => Ok(Self::raw(steps, semitones)),
        }
    }
}

impl Sub for Pitch {
    type Output = Interval;

    /// The interval from `other` to `self`: upwards if `self` is the higher by spelling.
    fn sub(self, other: Self) -> Interval {
        Interval::between(self.staff_step() - other.staff_step(), self.height() - other.height())
    }
}

fn check_octave(octave: i32) -> Result<(), PitchError> {
    if (MIN_OCTAVE..=MAX_OCTAVE).contains(&octave) { Ok(()) } else { Err(PitchError::OctaveRange { octave }) }
}

/// Semitones above the natural note of the same place on the staff.
fn alteration(steps: i32, semitones: i32) -> i32 {
    semitones - 12 - natural_semitones(steps)
}

/// Any pitch.
#[cfg(test)]
pub(crate) fn any_pitch() -> impl proptest::strategy::Strategy<Value = Pitch> {
    use proptest::prelude::*;
    (super::any_pitch_class(), MIN_OCTAVE..=MAX_OCTAVE)
        .prop_map(|(class, octave)| Pitch::new(class, octave).unwrap())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interval::any_interval;
    use proptest::prelude::*;

    fn pitch(text: &str) -> Pitch {
        text.parse().unwrap()
    }

    /// Common practice: scientific pitch notation beside the key numbers of the MIDI standard.
    #[test]
    fn heights_are_those_of_the_midi_standard() {
        for (text, height) in
            [("C-1", 0), ("A0", 21), ("C4", 60), ("B#3", 60), ("Cb4", 59), ("A4", 69), ("G9", 127)]
        {
            assert_eq!(pitch(text).height(), height, "{text}");
        }
        assert_eq!(Pitch::MIDDLE_C, pitch("C4"));
        assert_eq!(Pitch::A4, pitch("A4"));
    }

    #[test]
    fn extreme_pitches_exist_without_a_key() {
        assert_eq!((pitch("Cbbb-1").height(), pitch("Cbbb-1").key_number()), (-3, None));
        assert_eq!((pitch("B###9").height(), pitch("B###9").key_number()), (134, None));
        assert_eq!(pitch("Cb-1").to_string(), "Cb-1");
        assert_eq!(pitch("B#9").to_string(), "B#9");
        assert_eq!(pitch("G9").key_number(), Some(127));
        assert_eq!(pitch("G#9").key_number(), None);
    }

    #[test]
    fn octave_changes_at_c_and_belongs_to_the_letter() {
        assert_eq!(pitch("B#3").octave(), 3);
        assert_eq!(pitch("Cb4").octave(), 4);
        assert_eq!(pitch("B3").moved(Interval::MINOR_SECOND), Ok(pitch("C4")));
        assert_eq!(pitch("B3").moved(Interval::AUGMENTED_UNISON), Ok(pitch("B#3")));
    }

    #[test]
    fn enharmonic_pitches_are_unequal() {
        let (sharp, flat) = (pitch("F#4"), pitch("Gb4"));
        assert!(sharp != flat && sharp < flat);
        assert!(sharp.is_enharmonic_with(flat));
        assert_eq!(sharp.cmp_height(flat), Ordering::Equal);
        assert_eq!((flat - sharp).to_string(), "d2");
    }

    #[test]
    fn pitches_beyond_the_limits_are_refused() {
        let widest = Interval::OCTAVE.checked_mul(20).unwrap();
        assert_eq!(pitch("C-1").moved(widest), Err(PitchError::OctaveRange { octave: 19 }));
        assert_eq!(pitch("C-1").moved(-Interval::MINOR_SECOND), Err(PitchError::OctaveRange { octave: -2 }));
        for octave in [i32::MIN, -2, 10, i32::MAX] {
            assert_eq!(Pitch::new(pitch("C4").class(), octave), Err(PitchError::OctaveRange { octave }));
        }
    }

    proptest! {
        #[test]
        fn prop_difference_of_pitches_is_an_interval_within_the_limits(p in any_pitch(), q in any_pitch()) {
            let interval = p - q;
            prop_assert_eq!(Interval::from_steps(interval.steps(), interval.semitones()), Ok(interval));
        }

        #[test]
        fn prop_difference_leads_from_one_pitch_to_the_other(p in any_pitch(), q in any_pitch()) {
            prop_assert_eq!(q.moved(p - q), Ok(p));
            prop_assert_eq!(q - p, -(p - q));
        }

        #[test]
        fn prop_moving_adds_the_interval_or_leaves_notation(p in any_pitch(), i in any_interval()) {
            match p.moved(i) {
                Ok(moved) => prop_assert_eq!(moved - p, i),
                Err(PitchError::OctaveRange { octave }) => {
                    prop_assert!(!(MIN_OCTAVE..=MAX_OCTAVE).contains(&octave));
                }
                Err(PitchError::Unwritable { alteration, .. }) => {
                    prop_assert!(alteration.abs() > MAX_ACCIDENTALS);
                }
                Err(other) => prop_assert!(false, "{}", other),
            }
        }

        #[test]
        fn prop_way_over_a_third_pitch_is_the_sum(p in any_pitch(), q in any_pitch(), r in any_pitch()) {
            prop_assert_eq!((q - p).checked_add(r - q), Ok(r - p));
        }

        #[test]
        fn prop_orders_of_pitches_are_those_of_their_interval(p in any_pitch(), q in any_pitch()) {
            prop_assert_eq!(p.cmp(&q), (p - q).cmp(&Interval::UNISON));
            prop_assert_eq!(p.cmp_height(q), (p - q).cmp_sound(Interval::UNISON));
            prop_assert_eq!(p.cmp_height(q), p.height().cmp(&q.height()));
        }

        #[test]
        fn prop_class_and_octave_rebuild_the_pitch(p in any_pitch()) {
            prop_assert_eq!(Pitch::new(p.class(), p.octave()), Ok(p));
        }
    }
}
