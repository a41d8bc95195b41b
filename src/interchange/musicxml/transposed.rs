//! Transposing parts: the key and the pitches that the player reads.

use super::error::WriteError;
use crate::interval::Interval;
use crate::key::{Key, KeyError};
use crate::pitch::{Pitch, PitchError};
use crate::score::Part;

/// A diminished second: the step between a key and its enharmonic neighbour.
const DIMINISHED_SECOND: Interval = Interval::between(1, 0);

/// How a part is written: its key, and how far the written notes lie above the sounding ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Transposed {
    pub(super) fifths: i8,
    pub(super) shift: Interval,
}

impl Transposed {
    /// How a part in a key of the score is written.
    ///
    /// At sounding pitch the key is kept as the composer wrote it. A transposed key that would
    /// have seven or more accidentals gives way to its enharmonic neighbour if that has fewer, and
    /// the notes are respelled with it (common practice).
    pub(super) fn of(part: &Part, key: Key) -> Result<Self, WriteError> {
        let shift = part.voice.transposition();
        let named = |source| WriteError::Key { part: part.voice.name().to_owned(), source };
        let plain = signature(key, shift);
        if shift.semitones() % 12 == 0 && shift.steps() % 7 == 0 {
            return plain.map(|fifths| Self { fifths, shift }).map_err(named);
        }
        let neighbours = [DIMINISHED_SECOND, -DIMINISHED_SECOND].into_iter();
        let neighbours = neighbours.filter_map(|by| shift.checked_add(by).ok());
        let others = neighbours.filter_map(|shift| Some(Self { fifths: signature(key, shift).ok()?, shift }));
        let easiest = others.min_by_key(|other| other.fifths.abs());
        match (plain, easiest) {
            (Ok(fifths), Some(other)) if fifths.abs() >= 7 && other.fifths.abs() < fifths.abs() => Ok(other),
            (Ok(fifths), _) => Ok(Self { fifths, shift }),
            (Err(_), Some(other)) => Ok(other),
            (Err(source), None) => Err(named(source)),
        }
    }

    /// The written pitch of a sounding one.
    pub(super) fn write(self, sounding: Pitch) -> Result<Pitch, PitchError> {
        sounding.moved(self.shift)
    }

    /// From the written pitch down (or up) to the sounding one: diatonic steps, semitones and
    /// octaves beyond them, as the format wants them; `None` at sounding pitch.
    pub(super) fn to_sounding(self) -> Option<(i32, i32, i32)> {
        if self.shift == Interval::UNISON {
            return None;
        }
        let back = -self.shift;
        let octaves = back.steps() / 7;
        Some((back.steps() - 7 * octaves, back.semitones() - 12 * octaves, octaves))
    }
}

fn signature(key: Key, shift: Interval) -> Result<i8, KeyError> {
    let written = key.moved(shift);
    let written = written.map_err(|source| KeyError::Tonic { text: key.to_string(), source })?;
    Ok(written.signature()?.fifths())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::voice::Voice;

    fn part(shift: &str) -> Part {
        let voice = Voice::new("Clarinet").with_transposition(shift.parse().unwrap());
        Part { voice, line: "C4:1".parse().unwrap() }
    }

    fn written(key: &str, shift: &str) -> Result<(i8, String), String> {
        let transposed = Transposed::of(&part(shift), key.parse().unwrap());
        transposed.map(|t| (t.fifths, t.shift.to_string())).map_err(|error| error.to_string())
    }

    #[test]
    fn clarinet_in_b_flat_reads_a_tone_higher() {
        assert_eq!(written("C major", "M2"), Ok((2, "M2".to_owned())));
        assert_eq!(written("E major", "M2"), Ok((6, "M2".to_owned())));
    }

    #[test]
    fn seven_sharps_give_way_to_five_flats() {
        assert_eq!(written("B major", "M2"), Ok((-5, "d3".to_owned())));
        assert_eq!(written("G# minor", "M2"), Ok((-5, "d3".to_owned())));
        assert_eq!(written("Db major", "M6"), Ok((-2, "M6".to_owned())));
    }

    #[test]
    fn key_at_sounding_pitch_is_kept() {
        assert_eq!(written("C# major", "P1"), Ok((7, "P1".to_owned())));
        assert_eq!(written("C# major", "P8"), Ok((7, "P8".to_owned())));
    }

    #[test]
    fn key_without_signature_is_refused_by_part() {
        assert_eq!(
            written("G# major", "P1").unwrap_err(),
            "Clarinet: G# major has no signature: it would need 8 sharps, and notation stops at seven \
             (respell it a diminished second away)"
        );
    }

    #[test]
    fn way_back_to_the_sounding_pitch_keeps_octaves_apart() {
        let back = |shift: &str| {
            let key = "C major".parse().unwrap();
            Transposed::of(&part(shift), key).unwrap().to_sounding()
        };
        assert_eq!(back("P1"), None);
        assert_eq!(back("M2"), Some((-1, -2, 0)));
        assert_eq!(back("M9"), Some((-1, -2, -1)));
        assert_eq!(back("P8"), Some((0, 0, -1)));
        assert_eq!(back("-m3"), Some((2, 3, 0)));
    }
}
