//! The Roman numeral: a chord named by its degree, in no key yet.

use super::{NumeralError, Seventh, Triad};
use crate::scale::Degree;

/// A Roman numeral: a triad or seventh chord on a degree, in some inversion, perhaps applied to
/// another degree.
///
/// Every numeral guarantees that its inversion exists and that it is applied, if at all, to a
/// major or minor triad: neither `V` in third inversion nor `V/viio` can be constructed.
///
/// # Text
/// `[b|#] NUMERAL [o|ø|+] [M|m|d] [FIGURES] [/ TARGET]`, and printing inverts parsing.
/// - *Triad.* Large numerals have a major third, small ones a minor third; `o` diminishes the
///   fifth of a small one (`viio`), `+` augments that of a large one (`III+`).
/// - *Figures.* A triad has none, `6` or `64`; a seventh chord has `7`, `65`, `43` or `42` (`2` is
///   read as `42`).
/// - *Seventh.* The quality is that of the chord, not that of the key: a figure alone means the
///   minor seventh (`V7`, `ii7`, `i65`), after `o` the diminished one (`viio7`), after `ø` the minor
///   one over a diminished triad (`viiø7`). `M` before the figure means a major seventh (`IVM7`), `m`
///   a minor and `d` a diminished one where the figure alone would not: `viiom7` is read as `viiø7`.
/// - *Root.* `b` and `#` alter the degree of the signature: `bII6` is the Neapolitan sixth.
/// - *Applied.* `V7/V`, `viio6/ii`: the chord in the key whose tonic triad is the target.
///
/// So `IV7` has a minor seventh in every key, and the seventh chord of the major scale on its
/// fourth degree is `IVM7` (common practice, of the textbooks that mark the major seventh; others
/// read figures in the key).
///
/// # The minor mode
/// Third, sixth and seventh degree are those of the signature: in A minor `III` is C E G, `VI`
/// F A C, `VII` G B D, `iv` D F A. The dominant takes the leading note, being written large: `V` is
/// E G# B. A *diminished* triad on an unaltered sixth or seventh degree stands where it stands in
/// the parallel major: `viio` is G# B D, `viio7` G# B D F, `vio` F# A C. These are the chords of the
/// harmonic minor (common practice), which `#viio` names too. [`Numeral::in_key`] spells them.
///
/// Augmented sixth chords have no numeral here.
///
/// # Examples
/// ```
/// use soggetto::chord::{Numeral, Seventh, Triad};
/// use soggetto::scale::Degree;
/// let dominant = Numeral::triad(Degree::DOMINANT, Triad::Major).with_seventh(Seventh::Minor);
/// assert_eq!(dominant.to_string(), "V7");
/// assert_eq!(dominant.inverted(1)?.to_string(), "V65");
/// assert_eq!(dominant.applied_to("ii".parse()?)?.to_string(), "V7/ii");
/// assert_eq!(dominant.in_key("A minor".parse()?)?.to_string(), "E G# B D");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Numeral {
    degree: Degree,
    triad: Triad,
    seventh: Option<Seventh>,
    inversion: u8,
    /// Degree and kind of the triad that becomes tonic.
    target: Option<(Degree, Triad)>,
}

impl Numeral {
    /// A triad in root position.
    pub const fn triad(degree: Degree, triad: Triad) -> Self {
        Self { degree, triad, seventh: None, inversion: 0, target: None }
    }

    /// The same chord with a seventh; its inversion stays.
    #[must_use]
    pub const fn with_seventh(self, seventh: Seventh) -> Self {
        Self { seventh: Some(seventh), ..self }
    }

    /// The same chord in another inversion: 0 for the root position, 1 for the third in the bass.
    ///
    /// # Errors
    /// If the inversion is above 2 for a triad, above 3 for a seventh chord.
    pub const fn inverted(self, inversion: u8) -> Result<Self, NumeralError> {
        let last = if self.seventh.is_some() { 3 } else { 2 };
        if inversion > last {
            return Err(NumeralError::Inversion { numeral: self, inversion });
        }
        Ok(Self { inversion, ..self })
    }

    /// The same chord in the key whose tonic triad is `target`; a target it had before is replaced.
    ///
    /// # Errors
    /// If the target is anything but a major or minor triad in root position.
    pub fn applied_to(self, target: Self) -> Result<Self, NumeralError> {
        let (degree, kind) = (target.degree, target.triad);
        if !matches!(kind, Triad::Major | Triad::Minor) || target != Self::triad(degree, kind) {
            return Err(self.misapplied(target.to_string()));
        }
        Ok(Self { target: Some((degree, kind)), ..self })
    }

    /// The error of a chord applied to an impossible target.
    pub(super) fn misapplied(self, target: String) -> NumeralError {
        NumeralError::Target { numeral: Self { target: None, ..self }.to_string(), target }
    }

    /// The degree of the root as written, in the key or in the target's key.
    pub const fn degree(self) -> Degree {
        self.degree
    }

    /// The kind of the triad.
    pub const fn kind(self) -> Triad {
        self.triad
    }

    /// The kind of the seventh, if it has one.
    pub const fn seventh(self) -> Option<Seventh> {
        self.seventh
    }

    /// Which note lies in the bass: 0 the root, 1 the third, 2 the fifth, 3 the seventh.
    pub const fn inversion(self) -> u8 {
        self.inversion
    }

    /// The triad to which it is applied, if it is.
    pub fn target(self) -> Option<Self> {
        self.target.map(|(degree, kind)| Self::triad(degree, kind))
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::scale::any_degree;
    use proptest::prelude::*;

    /// Any numeral, also those that hardly occur.
    pub(crate) fn any_numeral() -> impl Strategy<Value = Numeral> {
        let triad = (any_degree(), prop::sample::select(Triad::ALL.to_vec()))
            .prop_map(|(degree, kind)| Numeral::triad(degree, kind));
        let target = (any_degree(), prop::sample::select(vec![Triad::Major, Triad::Minor]))
            .prop_map(|(degree, kind)| Numeral::triad(degree, kind));
        let seventh = prop::sample::select(Seventh::ALL.to_vec());
        (triad, prop::option::of(seventh), 0..4_u8, prop::option::of(target)).prop_map(
            |(triad, seventh, inversion, target)| {
                let chord = seventh.map_or(triad, |kind| triad.with_seventh(kind));
                let chord = chord.inverted(inversion).unwrap_or(chord);
                target.map_or(chord, |target| chord.applied_to(target).unwrap())
            },
        )
    }

    #[test]
    fn triads_have_no_third_inversion() {
        let triad = Numeral::triad(Degree::DOMINANT, Triad::Major);
        let error = triad.inverted(3).unwrap_err();
        assert_eq!(error.to_string(), "V has no inversion 3: a triad has two, a seventh chord three");
        let seventh = triad.with_seventh(Seventh::Minor);
        assert_eq!(seventh.inverted(3).unwrap().to_string(), "V42");
        assert_eq!(
            seventh.inverted(4).unwrap_err().to_string(),
            "V7 has no inversion 4: a triad has two, a seventh chord three"
        );
    }

    #[test]
    fn values_are_small() {
        assert!(size_of::<Numeral>() <= 8, "{}", size_of::<Numeral>());
    }
}
