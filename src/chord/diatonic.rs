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
    /// and the raised cadence of the modes). Phrygian has not: with its minor second, B D# F and D# F A
    /// in E phrygian, they are no triads.
    ///
    /// ```
    /// use soggetto::chord::Numeral;
    /// use soggetto::key::Mode;
    /// let names: Vec<String> = Numeral::diatonic(Mode::Minor).iter().map(|n| n.to_string()).collect();
    /// assert_eq!(names.join(" "), "i iio III iv v V VI VII viio");
    /// ```
    pub fn diatonic(mode: Mode) -> Vec<Self> {
        chords(mode).into_iter().map(|(triad, _)| triad).collect()
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
        chords(mode).into_iter().map(|(triad, seventh)| triad.with_seventh(seventh)).collect()
    }
}

/// On each degree the chord of the mode's scale; on dominant and seventh also that of the scale with
/// a leading note, where it is another one.
fn chords(mode: Mode) -> Vec<(Numeral, Seventh)> {
    let natural = mode.semitones();
    let mut raised = natural;
    raised[6] = LEADING_NOTE;
    let mut chords = Vec::new();
    for steps in 0..7 {
        chords.extend(stacked(natural, steps));
        if matches!(steps, 4 | 6) {
            chords.extend(stacked(raised, steps));
        }
    }
    chords.dedup();
    chords
}

/// The triad on a degree of a scale given in semitones, and the seventh over it, if they are of a
/// kind that has a name.
fn stacked(scale: [i32; 7], steps: usize) -> Option<(Numeral, Seventh)> {
    let above = |thirds: usize| {
        let degree = steps + 2 * thirds;
        scale[degree % 7] + 12 * i32::from(degree >= 7) - scale[steps]
    };
    let triad = Triad::of_semitones(above(1), above(2))?;
    let seventh = Seventh::of_semitones(above(3))?;
    Some((Numeral::triad(Degree::ALL[steps], triad), seventh))
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
