//! Just intonation: the ratio of every interval.
//!
//! Spelling has two dimensions (steps and semitones), five-limit ratios have three (2, 3, 5), so no
//! rule of arithmetic leads from one to the other; a table chooses. `NATURAL` holds the perfect and
//! major intervals, `MINOR` the minor ones. An augmented or diminished interval is reached from the
//! nearest of these by a chromatic semitone. It is the small one, 25/24, but for four intervals:
//! - the augmented fourth is that of the just scale, from its fourth degree to its seventh, 45/32,
//!   and the augmented sixth a major third more, 225/128;
//! - their inversions are the diminished fifth, 64/45, and the diminished third, 256/225.
//!
//! These are reached by the large one, 135/128. Intervals altered twice and more take another 25/24
//! each time, this library's own extension. Compounds are doubled for each octave. So the ratios of
//! an interval and of its inversion always make an octave.
//!
//! Source: the five-limit values usual in just intonation, most of them in A. J. Ellis's table in
//! Helmholtz, *On the Sensations of Tone*, Appendix XX (from memory); each value of the table up to
//! the fifteenth is held to `shared/handbook/intervals.json`, which names its sources.

use super::Ratio;
use crate::interval::{Interval, Quality};

/// Perfect and major intervals by steps from unison to seventh: the just major scale.
const NATURAL: [Ratio; 7] = [
    Ratio::raw(1, 1),
    Ratio::raw(9, 8),
    Ratio::raw(5, 4),
    Ratio::raw(4, 3),
    Ratio::raw(3, 2),
    Ratio::raw(5, 3),
    Ratio::raw(15, 8),
];

/// Minor intervals by steps; where none exists, the perfect interval.
const MINOR: [Ratio; 7] = [
    Ratio::raw(1, 1),
    Ratio::raw(16, 15),
    Ratio::raw(6, 5),
    Ratio::raw(4, 3),
    Ratio::raw(3, 2),
    Ratio::raw(8, 5),
    Ratio::raw(16, 9),
];

/// The small chromatic semitone: a major third less a minor one.
const SMALL_CHROMATIC: Ratio = Ratio::raw(25, 24);
/// The large chromatic semitone: a major tone less a diatonic semitone.
const LARGE_CHROMATIC: Ratio = Ratio::raw(135, 128);
/// Fourth and sixth, in steps: they are augmented by the large semitone.
const AUGMENTED_BY_LARGE: [usize; 2] = [3, 5];
/// Third and fifth, in steps: they are diminished by the large semitone.
const DIMINISHED_BY_LARGE: [usize; 2] = [2, 4];

/// The ratio of an interval in five-limit just intonation; below 1 downwards.
///
/// ```
/// use soggetto::interval::Interval;
/// use soggetto::tuning::just_ratio;
/// assert_eq!(just_ratio(Interval::MINOR_THIRD).to_string(), "6/5");
/// assert_eq!(just_ratio(Interval::AUGMENTED_FOURTH).to_string(), "45/32");
/// assert_eq!(just_ratio(Interval::TWELFTH).to_string(), "3/1");
/// assert_eq!(just_ratio(-Interval::PERFECT_FIFTH).to_string(), "2/3");
/// ```
pub fn just_ratio(interval: Interval) -> Ratio {
    let steps = interval.steps().unsigned_abs();
    let (octaves, degree) = (steps / 7, (steps % 7) as usize);
    let within_octave = match interval.quality() {
        Quality::Perfect | Quality::Major => NATURAL[degree],
        Quality::Minor => MINOR[degree],
        Quality::Augmented(times) => {
            NATURAL[degree].times(chromatic(times, AUGMENTED_BY_LARGE.contains(&degree)))
        }
        Quality::Diminished(times) => {
            MINOR[degree].times(chromatic(times, DIMINISHED_BY_LARGE.contains(&degree)).reciprocal())
        }
    };
    let up = (0..octaves).fold(within_octave, |ratio, _| ratio.times(Ratio::OCTAVE));
    if interval.is_descending() { up.reciprocal() } else { up }
}

/// The size of an interval in five-limit just intonation, in cents; negative downwards.
pub fn just_cents(interval: Interval) -> f64 {
    just_ratio(interval).cents()
}

/// So many chromatic semitones, the first of them large or small.
fn chromatic(times: u8, first_is_large: bool) -> Ratio {
    let first = if first_is_large { LARGE_CHROMATIC } else { SMALL_CHROMATIC };
    (1..times).fold(first, |ratio, _| ratio.times(SMALL_CHROMATIC))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interval::{MAX_STEPS, any_interval};
    use crate::tuning::tempered_cents;
    use proptest::prelude::*;

    fn ratio(text: &str) -> Ratio {
        just_ratio(text.parse().unwrap())
    }

    fn product(ratios: &[Ratio]) -> Ratio {
        ratios.iter().fold(Ratio::UNISON, |product, ratio| product.checked_mul(*ratio).unwrap())
    }

    /// Common practice: the semitones of just intonation are these differences.
    #[test]
    fn chromatic_semitones_are_the_differences_they_are_said_to_be() {
        assert_eq!(product(&[ratio("M3"), ratio("m3").reciprocal()]), SMALL_CHROMATIC);
        assert_eq!(product(&[ratio("M2"), ratio("m2").reciprocal()]), LARGE_CHROMATIC);
    }

    #[test]
    fn augmented_fourth_and_sixth_are_those_of_the_just_scale() {
        assert_eq!(product(&[ratio("M7"), ratio("P4").reciprocal()]), ratio("A4"));
        assert_eq!(product(&[ratio("A4"), ratio("M3")]), ratio("A6"));
    }

    #[test]
    fn just_triads_fill_the_fifth() {
        assert_eq!(product(&[ratio("M3"), ratio("m3")]), ratio("P5"));
        assert_eq!(product(&[ratio("P5"), ratio("P4")]), ratio("P8"));
    }

    #[test]
    fn doubly_altered_intervals_take_one_more_small_semitone() {
        assert_eq!(ratio("AA4"), product(&[Ratio::raw(45, 32), SMALL_CHROMATIC]));
        assert_eq!(ratio("dd5"), product(&[Ratio::raw(64, 45), SMALL_CHROMATIC.reciprocal()]));
    }

    #[test]
    fn all_intervals_have_an_exact_ratio() {
        for steps in 0..=MAX_STEPS {
            let steps = u32::try_from(steps).unwrap();
            for quality in [Quality::Augmented(7), Quality::Diminished(7)] {
                let Ok(interval) = Interval::new(quality, steps + 1) else { continue };
                let ratio = just_ratio(interval);
                assert!(ratio.numerator() < u64::MAX && ratio.denominator() < u64::MAX, "{interval}");
            }
        }
    }

    proptest! {
        #[test]
        fn prop_interval_and_inversion_make_an_octave(interval in any_interval()) {
            let up = interval.simple().abs();
            if let Ok(inverted) = up.inverted() {
                prop_assert_eq!(just_ratio(up).checked_mul(just_ratio(inverted)), Ok(Ratio::OCTAVE));
            }
        }

        #[test]
        fn prop_falling_interval_has_the_reciprocal(interval in any_interval()) {
            prop_assert_eq!(just_ratio(-interval), just_ratio(interval).reciprocal());
        }

        #[test]
        fn prop_compound_is_doubled_for_each_octave(interval in any_interval()) {
            let up = interval.abs();
            let cents = just_cents(up.simple()) + 1200.0 * f64::from(up.octaves_removed());
            approx::assert_abs_diff_eq!(just_cents(up), cents, epsilon = 1e-6);
        }

        #[test]
        fn prop_just_and_tempered_sizes_stay_near(interval in any_interval()) {
            let near = 30.0 * (1.0 + f64::from(interval.quality().count()));
            approx::assert_abs_diff_eq!(just_cents(interval), tempered_cents(interval), epsilon = near);
        }
    }
}
