//! Key and transpositions of the parts, where the file may contradict itself.

use super::super::super::reading::{MAX_READ_NOTES, ReadRemark};
use super::attributes::Signed;
use super::document::Document;
use super::error::{ReadError, Spot};
use super::part::{self, Read};
use super::timeline::Timeline;
use crate::interval::Interval;
use crate::key::{Key, Mode, Signature};
use crate::pitch::{Letter, PitchClass, PitchError};
use crate::score::Part;

/// A diminished second: the step between a key and its enharmonic neighbour.
const DIMINISHED_SECOND: Interval = Interval::between(1, 0);
/// Fifths between a key and its enharmonic neighbour.
const ROUND: i32 = 12;

/// Reads all parts, each at sounding pitch.
pub(super) fn read_parts(
    document: &Document<'_>,
    first: i64,
    remarks: &mut Vec<ReadRemark>,
) -> Result<Vec<Read>, ReadError> {
    let Document { sources, is_concert } = document;
    let (mut parts, mut notes) = (Vec::with_capacity(sources.len()), 0);
    for source in sources {
        let part = part::read(source, None, first)?;
        notes += part.bars.iter().map(|bar| bar.notes.len()).sum::<usize>();
        if notes > MAX_READ_NOTES {
            return Err(ReadError::Notes);
        }
        parts.push(part);
    }
    let reference = parts.iter().filter(|part| shift(part.to_sounding) == 0).find_map(signed);
    let reference = reference.or_else(|| parts.iter().find_map(sounding_signature));
    for (part, source) in parts.iter_mut().zip(sources) {
        if let Some((fixed, remark)) = corrected(part, reference, *is_concert) {
            *part = part::read(source, Some(fixed), first)?;
            remarks.push(remark);
        } else if part.completed {
            let semitones = part.to_sounding.semitones();
            remarks.push(ReadRemark::AssumedTransposition { part: part.name.clone(), semitones });
        }
    }
    Ok(parts)
}

/// The transposition that a part has in truth, if it is not the one that it claims.
fn corrected(part: &Read, reference: Option<Signed>, concert: bool) -> Option<(Interval, ReadRemark)> {
    let by = shift(part.to_sounding);
    if by == 0 {
        return None;
    }
    let name = part.name.clone();
    let (own, sounding) = (signed(part).map(|own| own.fifths), reference.map(|reference| reference.fifths));
    if concert || (own == sounding && sounding.is_some_and(|fifths| fifths != 0)) {
        return Some((Interval::UNISON, ReadRemark::ConcertPitch { part: name }));
    }
    let respelled = match own? + by - sounding? {
        ROUND => part.to_sounding.checked_add(DIMINISHED_SECOND),
        beyond if beyond == -ROUND => part.to_sounding.checked_sub(DIMINISHED_SECOND),
        _ => return None,
    };
    Some((respelled.ok()?, ReadRemark::EnharmonicPart { part: name }))
}

/// The key of the score: of the first part that sounds as it is written, else of the first that has one.
pub(super) fn key(parts: &[Read], music: &[Part], remarks: &mut Vec<ReadRemark>) -> Result<Key, ReadError> {
    let plain = parts.iter().filter(|part| shift(part.to_sounding) == 0).find_map(signed);
    let sounding = plain.or_else(|| parts.iter().find_map(sounding_signature));
    let mode = parts.iter().filter_map(signed).find_map(|signed| signed.mode);
    let fifths = sounding.map_or(0, |signed| signed.fifths);
    let known = sounding.and_then(|signed| signed.mode).or(mode).and_then(|mode| key_of(fifths, mode));
    if let Some(key) = known {
        return Ok(key);
    }
    let spot = || Spot { part: parts.first().map_or(String::new(), |part| part.name.clone()), bar: 1 };
    let key = by_last_bass(fifths, music).map_err(|source| ReadError::Pitch { spot: spot(), source })?;
    remarks.push(ReadRemark::AssumedKey { key });
    Ok(key)
}

/// Major, unless the last note of the lowest part is the final of the minor key.
fn by_last_bass(fifths: i32, music: &[Part]) -> Result<Key, PitchError> {
    let last = music.iter().rev().find_map(|part| part.line.notes().last());
    let minor = key_of(fifths, Mode::Minor)
        .filter(|key| last.is_some_and(|note| note.pitch().class() == key.tonic()));
    let c_major = || PitchClass::new(Letter::C, 0).map(|tonic| Key::new(tonic, Mode::Major));
    minor.or_else(|| key_of(fifths, Mode::Major)).map_or_else(c_major, Ok)
}

fn key_of(fifths: i32, mode: Mode) -> Option<Key> {
    Signature::new(fifths).ok()?.key(mode).ok()
}

fn signed(part: &Read) -> Option<Signed> {
    part.bars.first()?.signed
}

/// The signature at sounding pitch, by way of the enharmonic key where it would not exist.
fn sounding_signature(part: &Read) -> Option<Signed> {
    let signed = signed(part)?;
    let fifths = signed.fifths + shift(part.to_sounding);
    let fifths = match fifths {
        8.. => fifths - ROUND,
        ..=-8 => fifths + ROUND,
        _ => fifths,
    };
    Some(Signed { fifths, ..signed })
}

/// How many fifths an interval moves a key.
fn shift(interval: Interval) -> i32 {
    7 * interval.semitones() - 12 * interval.steps()
}

/// Says where the signature changes first.
pub(super) fn key_change(parts: &[Read], timeline: &Timeline, remarks: &mut Vec<ReadRemark>) {
    let Some(part) = parts.iter().find(|part| signed(part).is_some()) else { return };
    let first = signed(part).map(|signed| signed.fifths);
    let bars = part.bars.iter().take(timeline.starts.len()).enumerate();
    let mut changes = bars.filter_map(|(bar, read)| Some((bar, read.signed?.fifths)));
    if let Some((bar, fifths)) = changes.find(|(_, fifths)| Some(*fifths) != first) {
        remarks
            .push(ReadRemark::KeyChange { bar: timeline.bar(bar), fifths: fifths + shift(part.to_sounding) });
    }
}
