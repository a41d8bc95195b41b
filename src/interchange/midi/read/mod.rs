//! Reading Standard MIDI Files.

mod clock;
mod error;
mod events;
mod frame;
mod pairing;
mod spelling;
mod strand;

#[cfg(test)]
mod tests;

pub use error::ReadError;

use super::super::reading::{ReadRemark, ReadScore, Sounding};
use crate::score::Score;
use clock::Clock;
use frame::Frame;

/// Reads a Standard MIDI File of type 0 or 1: one voice a track, or a channel where a track has
/// several. What is kept, dropped and normalised is told in [`crate::interchange::reading`].
///
/// # Errors
/// If the file is damaged, of type 2 or counts in frames; if notes lie between the note values;
/// the error says where.
pub fn read(bytes: &[u8]) -> Result<ReadScore, ReadError> {
    let mut remarks = Vec::new();
    let events = events::read(smf_inside(bytes), &mut remarks)?;
    let clock = Clock { per_quarter: events.per_quarter };
    let frame = Frame::of(&events, clock, &mut remarks)?;
    let voices = strand::voices(&events.strands, clock, &frame, &mut remarks)?;
    let key = frame::key(&events, &voices, &mut remarks);
    let key = key.ok_or(ReadError::Empty)?;
    let end = voices.iter().filter_map(|voice| voice.notes.last()).map(Sounding::end).max();
    let end = end.ok_or(ReadError::Empty)?;
    let parts: Result<Vec<_>, ReadError> =
        voices.into_iter().enumerate().map(|(index, voice)| voice.finish(index, key, end)).collect();
    remarks.push(ReadRemark::Spelled { key });
    let score = Score::over(key, frame.meters, parts?)?;
    Ok(ReadScore { score, remarks, outline: None })
}

/// The file inside a RIFF wrapping, or the bytes themselves.
fn smf_inside(bytes: &[u8]) -> &[u8] {
    let wrapped = bytes.starts_with(b"RIFF");
    let start = bytes.windows(4).take(64).position(|window| window == b"MThd").filter(|_| wrapped);
    start.and_then(|start| bytes.get(start..)).unwrap_or(bytes)
}
