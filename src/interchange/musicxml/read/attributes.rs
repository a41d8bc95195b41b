//! What the attributes of a bar say: key, meter, clef, transposition.

use super::elements::Text;
use super::error::{ReadError, Spot};
use super::number::decimal;
use super::written::{self, Attributes};
use crate::interval::Interval;
use crate::key::{Mode, Signature};
use crate::meter::{Meter, MeterError};
use crate::pitch::Letter;
use crate::quote::excerpt;
use crate::voice::Clef;
use std::collections::BTreeSet;

/// A signature with its mode, if the file says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Signed {
    pub(super) fifths: i32,
    pub(super) mode: Option<Mode>,
}

/// The signature, if it is one of sharps or flats.
pub(super) fn signature(attributes: &Attributes<'_>, spot: &Spot) -> Result<Option<Signed>, ReadError> {
    let Some(key) = &attributes.key else { return Ok(None) };
    let mode = key.mode.as_deref().and_then(mode);
    let Some(fifths) = &key.fifths else { return Ok(written_out(key).map(|fifths| Signed { fifths, mode })) };
    let number = fifths.parse().ok().filter(|fifths: &i32| (-7..=7).contains(fifths));
    let expected = "a number of sharps up to 7, or of flats down to -7";
    let fifths = number.ok_or_else(|| value(spot, "fifths", fifths, expected))?;
    Ok(Some(Signed { fifths, mode }))
}

/// The number of sharps, or of flats if negative, of a signature that is written out sign by sign; nothing if no key
/// has these signs.
fn written_out(key: &written::Key<'_>) -> Option<i32> {
    let letters: Option<BTreeSet<Letter>> =
        key.steps.iter().map(|step| step.chars().next().and_then(Letter::from_char)).collect();
    let sign = key.alterations.first()?.parse().ok().filter(|sign: &i32| sign.abs() == 1)?;
    let fifths = sign * i32::try_from(key.steps.len()).ok()?;
    let signature = Signature::new(fifths).ok()?;
    let is_usual = key.alterations.iter().all(|other| *other == sign.to_string())
        && letters? == signature.letters().collect();
    is_usual.then_some(fifths)
}

/// Names of modes in the format: besides ours the old name of major and minor.
fn mode(name: &str) -> Option<Mode> {
    match name.to_ascii_lowercase().as_str() {
        "ionian" => Some(Mode::Major),
        "aeolian" => Some(Mode::Minor),
        name => Mode::from_name(name),
    }
}

/// The meter, if there is one to be measured.
pub(super) fn meter(attributes: &Attributes<'_>, spot: &Spot) -> Result<Option<Meter>, ReadError> {
    let Some(time) = &attributes.time else { return Ok(None) };
    let (Some(beats), Some(lower)) = (&time.beats, &time.lower) else { return Ok(None) };
    if time.is_several {
        return Err(value(spot, "beats", beats, "one meter, not several in turn"));
    }
    let groups: Result<Vec<u8>, _> = beats.split('+').map(|group| group.trim().parse::<u8>()).collect();
    let groups = groups.map_err(|_| value(spot, "beats", beats, "a number, or several with + between"))?;
    let lower = lower.parse().map_err(|_| value(spot, "beat-type", lower, "1, 2, 4, 8, 16, 32 or 64"))?;
    let named = |source: MeterError| ReadError::Meter { spot: spot.clone(), source };
    Meter::grouped(&groups, lower).map(Some).map_err(named)
}

/// The clef of each staff; a clef that our voices do not have counts as its nearest.
pub(super) fn clefs(attributes: &Attributes<'_>) -> impl Iterator<Item = (u8, Clef)> {
    attributes.clefs.iter().filter_map(|written| Some((written.staff.unwrap_or(1), clef(written)?)))
}

fn clef(written: &written::Clef<'_>) -> Option<Clef> {
    let octaves = written.octaves.as_deref().and_then(|octaves| octaves.parse::<i32>().ok()).unwrap_or(0);
    Some(match (written.sign.as_deref()?, written.line.as_deref(), octaves.signum()) {
        ("G", _, -1) => Clef::TrebleOctaveDown,
        ("G", _, 1) => Clef::TrebleOctaveUp,
        ("G", ..) | ("C", Some("1" | "2"), _) => Clef::Treble,
        ("C", Some("4" | "5"), _) => Clef::Tenor,
        ("C", ..) => Clef::Alto,
        ("F", _, 1) => Clef::BassOctaveUp,
        ("F", ..) => Clef::Bass,
        _ => return None,
    })
}

/// A transposition from written to sounding pitch, and whether it had to be completed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Transposition {
    pub(super) to_sounding: Interval,
    pub(super) completed: bool,
}

/// Steps and semitones of the transpositions in use (common practice), within an octave.
const USUAL: [(i32, i32); 13] = [
    (0, 0),
    (-1, -2),
    (-2, -3),
    (-3, -5),
    (-4, -7),
    (-5, -9),
    (-6, -10),
    (1, 2),
    (2, 3),
    (3, 5),
    (4, 7),
    (5, 9),
    (6, 10),
];

/// The transposition, if the attributes give one. What is missing is what is usual: a step down is
/// a whole tone, as for a clarinet in B flat.
pub(super) fn transposition(
    attributes: &Attributes<'_>,
    spot: &Spot,
) -> Result<Option<Transposition>, ReadError> {
    let Some(written) = &attributes.transpose else { return Ok(None) };
    let number =
        |text: &Option<Text<'_>>, element| text.as_deref().map(|text| whole(text, element, spot)).transpose();
    let steps = number(&written.diatonic, "diatonic")?;
    let semitones = number(&written.chromatic, "chromatic")?;
    let octaves = number(&written.octaves, "octave-change")?.unwrap_or(0);
    let (steps, semitones, completed) = match (steps, semitones) {
        (Some(steps), Some(semitones)) if steps != 0 || semitones.abs() < 2 => (steps, semitones, false),
        (_, Some(semitones)) => (steps_of(semitones), semitones, true),
        (Some(steps), None) => (steps, semitones_of(steps), true),
        (None, None) => (0, 0, false),
    };
    let (steps, semitones) = (steps + 7 * octaves, semitones + 12 * octaves);
    let expected = "the semitones that its diatonic steps make";
    let to_sounding = Interval::from_steps(steps, semitones)
        .map_err(|_| value(spot, "transpose", &format!("{steps} steps, {semitones} semitones"), expected))?;
    Ok(Some(Transposition { to_sounding, completed }))
}

fn whole(text: &str, element: &'static str, spot: &Spot) -> Result<i32, ReadError> {
    let number =
        decimal(text).filter(|&(number, unit)| number % unit == 0).map(|(number, unit)| number / unit);
    let small = number.and_then(|number| i32::try_from(number).ok()).filter(|number| number.abs() <= 100);
    small.ok_or_else(|| value(spot, element, text, "a whole number up to 100"))
}

fn steps_of(semitones: i32) -> i32 {
    let simple = USUAL.iter().find(|(_, usual)| *usual == semitones % 12);
    7 * (semitones / 12)
        + simple.map_or_else(|| (semitones % 12 * 7 + 6 * semitones.signum()) / 12, |row| row.0)
}

fn semitones_of(steps: i32) -> i32 {
    let simple = USUAL.iter().find(|(usual, _)| *usual == steps % 7);
    12 * (steps / 7) + simple.map_or(0, |row| row.1)
}

/// An element that holds something else than it should.
pub(super) fn value(spot: &Spot, element: &'static str, text: &str, expected: &'static str) -> ReadError {
    ReadError::Value { spot: spot.clone(), element, text: excerpt(text), expected }
}
