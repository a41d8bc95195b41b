//! The chords that a mode offers.

use super::{Numeral, Seventh, Triad};
use crate::key::Mode;
use crate::scale::Degree;

/// Semitones of the leading note above the tonic.
const LEADING_NOTE: i32 = 11;

impl Numeral {
    /// The triads of a mode in order of their roots.
    ///
    /// Minor, dorian and mixolydian, whose seventh degree lies a tone below the tonic, have also
    /// those two that the leading note brings, `V` and `viio` (common practice: the harmonic minor,
    /// and the raised cadence of the modes). Phrygian has not: it closes without a leading note.
    ///
    /// ```
    /// use soggetto::chord::Numeral;
    /// use soggetto::key::Mode;
    /// let names: Vec<String> = Numeral::diatonic(Mode::Minor).iter().map(|n| n.to_string()).collect();
    /// assert_eq!(names.join(" "), "i iio III iv v V VI VII viio");
    /// ```
    pub fn diatonic(mode: Mode) -> Vec<Self> {
        chords(mode, |scale, steps| stacked(scale, steps).map(|(triad, _)| triad))
    }

    /// The seventh chords of a mode in order of their roots, with those of the leading note as in
    /// [`Numeral::diatonic`].
    ///
    /// ```
    /// use soggetto::chord::Numeral;
    /// use soggetto::key::Mode;
    /// let names: Vec<String> = Numeral::diatonic_sevenths(Mode::Major).iter().map(|n| n.to_string()).collect();
    /// assert_eq!(names.join(" "), "IM7 ii7 iii7 IVM7 V7 vi7 viiø7");
    /// ```
    pub fn diatonic_sevenths(mode: Mode) -> Vec<Self> {
        chords(mode, |scale, steps| stacked(scale, steps).map(|(triad, seventh)| triad.with_seventh(seventh)))
    }
}

/// On each degree the chord of the mode's scale, then that of the scale with a leading note.
fn chords(mode: Mode, build: impl Fn([i32; 7], usize) -> Option<Numeral>) -> Vec<Numeral> {
    let natural = mode.semitones();
    let [one, two, three, four, five, six, _] = natural;
    let raised = [one, two, three, four, five, six, LEADING_NOTE];
    let cadential = |steps: usize| (mode != Mode::Phrygian && matches!(steps, 4 | 6)).then_some(raised);
    let mut chords: Vec<Numeral> = (0..7)
        .flat_map(|steps| {
            [Some(natural), cadential(steps)].into_iter().flatten().map(move |scale| (scale, steps))
        })
        .filter_map(|(scale, steps)| build(scale, steps))
        .collect();
    chords.dedup();
    chords
}

/// The triad on a degree of a scale given in semitones, and the seventh over it.
fn stacked(scale: [i32; 7], steps: usize) -> Option<(Numeral, Seventh)> {
    let above = |thirds: usize| {
        let degree = steps + 2 * thirds;
        scale[degree % 7] + 12 * i32::from(degree >= 7) - scale[steps]
    };
    let triad = Triad::of_semitones(above(1), above(2))?;
    let seventh = Seventh::of_semitones(above(3))?;
    Some((Numeral::triad(Degree::of_steps(steps as i32), triad), seventh))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::key::Key;

    fn names(chords: &[Numeral]) -> String {
        chords.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
    }

    /// Common practice.
    #[test]
    fn chords_of_each_mode() {
        let rows = [
            (Mode::Major, "I ii iii IV V vi viio", "IM7 ii7 iii7 IVM7 V7 vi7 viiø7"),
            (Mode::Minor, "i iio III iv v V VI VII viio", "i7 iiø7 IIIM7 iv7 v7 V7 VIM7 VII7 viio7"),
            (Mode::Dorian, "i ii III IV v V vio VII viio", "i7 ii7 IIIM7 IV7 v7 V7 viø7 VIIM7 viiø7"),
            (Mode::Phrygian, "i II III iv vo VI vii", "i7 IIM7 III7 iv7 vø7 VIM7 vii7"),
            (Mode::Lydian, "I II iii ivo V vi vii", "IM7 II7 iii7 ivø7 VM7 vi7 vii7"),
            (Mode::Mixolydian, "I ii iiio IV v V vi VII viio", "I7 ii7 iiiø7 IVM7 v7 V7 vi7 VIIM7 viiø7"),
        ];
        for (mode, triads, sevenths) in rows {
            assert_eq!(names(&Numeral::diatonic(mode)), triads, "{mode:?}");
            assert_eq!(names(&Numeral::diatonic_sevenths(mode)), sevenths, "{mode:?}");
        }
    }

    #[test]
    fn all_diatonic_chords_lie_in_the_scale_or_on_the_leading_note() {
        for mode in Mode::ALL {
            let key = Key::new("E".parse().unwrap(), mode);
            for numeral in [Numeral::diatonic(mode), Numeral::diatonic_sevenths(mode)].concat() {
                for &class in numeral.in_key(key).unwrap().classes() {
                    let natural = key.degree(class).alteration() == 0;
                    assert!(natural || Ok(class) == key.leading_note(), "{numeral} in {key}: {class}");
                }
            }
        }
    }
}
