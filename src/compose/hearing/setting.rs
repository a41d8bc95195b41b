//! The voices around an added line, as the searches describe them.

use crate::compose::strand::Strand;

/// Where another voice lies, seen from the added line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::compose) enum Side {
    /// Above the line.
    Above,
    /// Below it.
    Below,
}

/// A voice that sounds with the added line.
#[derive(Clone, Copy, Debug)]
pub(in crate::compose) struct Companion<'a> {
    pub(in crate::compose) strand: &'a Strand,
    pub(in crate::compose) side: Side,
    /// For the next voice above or below: how far it may be, in semitones, without cost.
    pub(in crate::compose) room: Option<i32>,
}

/// How far neighbouring voices, numbered from the top, may lie apart without cost, in semitones: an
/// octave, and a twelfth above the lowest voice (rule G16, common practice).
pub(in crate::compose) fn room(one: usize, other: usize, voices: usize) -> i32 {
    if one.max(other) + 1 == voices { 19 } else { 12 }
}

/// The surroundings in which a line is heard.
#[derive(Clone, Debug)]
pub(in crate::compose) struct Setting<'a> {
    pub(in crate::compose) companions: Vec<Companion<'a>>,
    /// The sounding heights that the line may take, in semitones (middle C = 60).
    pub(in crate::compose) range: (i32, i32),
    /// Whether the two lines will also be heard upside down: then a fifth counts as a fourth.
    pub(in crate::compose) invertible: bool,
    /// Whether intervals and motion are judged, or only range, crossing and distance.
    pub(in crate::compose) judged: bool,
    /// How much thirds and sixths are preferred to bare and dissonant sounds: 1 is plain taste.
    pub(in crate::compose) pressure: i64,
}
