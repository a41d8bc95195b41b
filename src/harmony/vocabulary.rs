//! The chords among which a reading chooses.
//!
//! One row a chord, plainest first; the order of the rows breaks ties. A row is offered in a mode
//! if its notes lie in the scale (in minor with raised sixth and seventh), or if the line itself
//! sounds the altered degree that the chord needs: V7/V appears where the raised fourth does.

use crate::chord::{Numeral, Triad};
use crate::interval::Interval;
use crate::key::{Key, Mode};
use crate::pitch::{Letter, PitchClass};
use crate::scale::Degree;
use std::sync::LazyLock;

/// What a chord does in the phrase.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Function {
    /// I, i.
    Tonic,
    /// ii, IV and their like: on the way to the dominant.
    Predominant,
    /// V, viio: calls for the tonic.
    Dominant,
    /// vi, VI.
    Submediant,
    /// iii, III.
    Mediant,
    /// V/V: calls for the dominant.
    ToDominant,
    /// V7/IV, V7/ii: calls for a predominant.
    ToPredominant,
    /// V7/vi: calls for the submediant.
    ToSubmediant,
    /// VII in minor: calls for III.
    Subtonic,
    /// v: the dominant minor as a key reached, or on the way down from the tonic.
    MinorDominant,
}

/// A chord of the vocabulary in one mode; notes are intervals above the tonic, less than an octave.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    /// Its name.
    pub(super) numeral: Numeral,
    /// What it does.
    pub(super) function: Function,
    /// What it costs to choose it, in points.
    pub(super) entry: u64,
    /// The degree that the line must sound before the chord is offered.
    pub(super) needs: Option<Degree>,
    /// Its notes.
    pub(super) tones: Vec<Interval>,
    /// The note in the bass if that is not the root.
    pub(super) inverted_bass: Option<Interval>,
    /// Whether it is a major or minor triad.
    pub(super) consonant: bool,
}

impl Candidate {
    /// Whether it can close a phrase: a major or minor triad in root position.
    pub(super) const fn closes(&self) -> bool {
        self.consonant && self.inverted_bass.is_none()
    }

    /// Whether it is the triad on the fourth degree in root position.
    pub(super) fn is_subdominant(&self) -> bool {
        self.closes() && self.tones.first().is_some_and(|root| root.steps() == 3)
    }
}

/// Name, function, cost in points, and the degree needed as its number and alteration.
type Row = (&'static str, Function, u64, Option<(i32, i8)>);

/// Plain tonic and dominant harmony is preferred (Prout, *Fugue*, §27; common practice); a seventh
/// or an inversion costs a little more than the plain triad, a rarer degree more.
const MAJOR: &[Row] = &[
    ("I", Function::Tonic, 0, None),
    ("V", Function::Dominant, 2, None),
    ("V7", Function::Dominant, 4, None),
    ("I6", Function::Tonic, 3, None),
    ("V6", Function::Dominant, 6, None),
    ("V65", Function::Dominant, 8, None),
    ("IV", Function::Predominant, 6, None),
    ("ii6", Function::Predominant, 8, None),
    ("ii", Function::Predominant, 9, None),
    ("IV6", Function::Predominant, 10, None),
    ("vi", Function::Submediant, 10, None),
    ("viio6", Function::Dominant, 10, None),
    ("ii65", Function::Predominant, 12, None),
    ("iii", Function::Mediant, 18, None),
    ("v", Function::MinorDominant, 14, None),
    ("VII", Function::Subtonic, 16, None),
    ("V7/V", Function::ToDominant, 4, Some((3, 1))),
    ("V/V", Function::ToDominant, 5, Some((3, 1))),
    ("V7/IV", Function::ToPredominant, 8, Some((6, -1))),
    ("V7/ii", Function::ToPredominant, 8, Some((0, 1))),
    ("V7/vi", Function::ToSubmediant, 8, Some((4, 1))),
];

/// As [`MAJOR`]. The dominant is major and its seventh degree raised; the natural seventh belongs
/// to v and VII, the raised sixth to IV.
const MINOR: &[Row] = &[
    ("i", Function::Tonic, 0, None),
    ("V", Function::Dominant, 2, None),
    ("V7", Function::Dominant, 4, None),
    ("i6", Function::Tonic, 3, None),
    ("V6", Function::Dominant, 6, None),
    ("V65", Function::Dominant, 8, None),
    ("iv", Function::Predominant, 6, None),
    ("iio6", Function::Predominant, 8, None),
    ("ii", Function::Predominant, 9, Some((5, 1))),
    ("iv6", Function::Predominant, 10, None),
    ("VI", Function::Submediant, 10, None),
    ("viio6", Function::Dominant, 10, None),
    ("viio7", Function::Dominant, 8, None),
    ("IV", Function::Predominant, 12, Some((5, 1))),
    ("v", Function::MinorDominant, 14, None),
    ("VII", Function::Subtonic, 14, None),
    ("III", Function::Mediant, 16, None),
    ("V7/V", Function::ToDominant, 4, Some((3, 1))),
    ("V/V", Function::ToDominant, 5, Some((3, 1))),
    ("V7/iv", Function::ToPredominant, 8, Some((2, 1))),
];

static BY_MODE: LazyLock<[Vec<Candidate>; 6]> = LazyLock::new(|| Mode::ALL.map(in_mode));

/// The chords of a mode.
pub(super) fn candidates(mode: Mode) -> &'static [Candidate] {
    let index = Mode::ALL.iter().position(|known| *known == mode).unwrap_or(0);
    &BY_MODE[index]
}

fn rows(mode: Mode) -> &'static [Row] {
    if mode.has_minor_third() { MINOR } else { MAJOR }
}

/// The rows that make sense in a mode, their notes counted from the tonic.
fn in_mode(mode: Mode) -> Vec<Candidate> {
    let Ok(tonic) = PitchClass::new(Letter::D, 0) else { return Vec::new() };
    let key = Key::new(tonic, mode);
    rows(mode).iter().filter_map(|row| candidate(row, key)).collect()
}

fn candidate(&(text, function, entry, needs): &Row, key: Key) -> Option<Candidate> {
    let numeral: Numeral = text.parse().ok()?;
    let chord = numeral.in_key(key).ok()?;
    let leading = key.leading_note().ok()?;
    let at_home = |class: &PitchClass| key.contains(*class) || *class == leading;
    if needs.is_none() && !chord.classes().iter().all(at_home) {
        return None;
    }
    let above = |class: PitchClass| key.tonic().up_to(class);
    Some(Candidate {
        numeral,
        function,
        entry,
        needs: needs.map(|(steps, alteration)| Degree::of_steps(steps).altered(alteration)),
        tones: chord.classes().iter().copied().map(above).collect(),
        consonant: numeral.seventh().is_none() && matches!(numeral.kind(), Triad::Major | Triad::Minor),
        inverted_bass: (chord.bass() != chord.root()).then(|| above(chord.bass())),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_rows_are_numerals() {
        for (text, ..) in MAJOR.iter().chain(MINOR) {
            let numeral = text.parse::<Numeral>();
            assert_eq!(numeral.map(|numeral| numeral.to_string()).as_deref(), Ok(*text));
        }
    }

    #[test]
    fn major_and_minor_offer_every_row_of_their_scale() {
        let names = |mode| -> Vec<String> {
            candidates(mode).iter().map(|candidate| candidate.numeral.to_string()).collect()
        };
        let major = names(Mode::Major);
        assert_eq!(major.len(), MAJOR.len() - 2, "v and VII are not of the major scale: {major:?}");
        assert_eq!(names(Mode::Minor).len(), MINOR.len());
        assert!(names(Mode::Mixolydian).contains(&"v".to_owned()));
        assert!(!names(Mode::Dorian).contains(&"iv".to_owned()), "the sixth of dorian is major");
    }
}
