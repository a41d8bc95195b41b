//! Reading MusicXML.

mod alone;
mod archive;
mod attributes;
mod bar;
mod document;
mod elements;
mod error;
mod number;
mod part;
mod ranks;
mod timeline;
mod tonality;
mod voices;
mod written;

#[cfg(test)]
mod tests;

pub use error::{ReadError, Spot};

use super::super::reading::{MAX_BYTES, ReadRemark, ReadScore, decode};
use crate::score::Score;
use part::Read;
use timeline::Timeline;
use voices::Standing;

/// Reads a score, partwise or timewise. What is kept, dropped and normalised is told in
/// [`crate::interchange::reading`].
///
/// # Errors
/// If the text is no MusicXML score, or is music that a score cannot hold; the error says where.
pub fn read(text: &str) -> Result<ReadScore, ReadError> {
    let document = document::parse(text)?;
    let sources = &document.sources;
    let marked =
        |source: &document::Source<'_>| source.bars.first().is_some_and(document::Measure::is_pickup);
    let first = i64::from(!sources.iter().any(marked));
    let mut remarks = Vec::new();
    let parts = tonality::read_parts(&document, first, &mut remarks)?;
    let timeline = Timeline::of(&parts, &sources[0], &mut remarks)?;
    // What follows takes the room of what was written.
    drop(document);
    let mut music = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let standing = Standing { index, count: parts.len() };
        remark_marks(part, &timeline, &mut remarks);
        music.extend(voices::voices(part, &timeline, standing, &mut remarks)?);
    }
    let key = tonality::key(&parts, &music, &mut remarks)?;
    tonality::key_change(&parts, &timeline, &mut remarks);
    let score = Score::over(key, timeline.meters, music)?;
    Ok(ReadScore { score, remarks, outline: None })
}

/// Reads the bytes of a MusicXML file, plain or packed (.mxl), in UTF-8 or UTF-16.
///
/// # Errors
/// As [`read`], and if the bytes cannot be unpacked or are no text.
pub fn read_bytes(bytes: &[u8]) -> Result<ReadScore, ReadError> {
    if bytes.len() as u64 > MAX_BYTES {
        return Err(ReadError::TooLarge);
    }
    if bytes.starts_with(b"PK") {
        return read(&archive::unpack(bytes)?);
    }
    read(&decode(bytes).ok_or(ReadError::Encoding)?)
}

/// Says what the bars of a part had to have normalised.
fn remark_marks(part: &Read, timeline: &Timeline, remarks: &mut Vec<ReadRemark>) {
    let name = || part.name.clone();
    let bars = || part.bars.iter().take(timeline.starts.len()).enumerate();
    let total = |count: fn(&bar::Bar) -> usize| -> usize { bars().map(|(_, bar)| count(bar)).sum() };
    let first = |count: fn(&bar::Bar) -> usize| {
        let bar = bars().find(|(_, bar)| count(bar) > 0)?.0;
        Some((timeline.bar(bar), total(count)))
    };
    let counted = |count: usize| (count > 0).then_some(count);
    remarks.extend(
        counted(total(|bar| bar.marks.grace)).map(|count| ReadRemark::GraceNotes { part: name(), count }),
    );
    remarks.extend(
        counted(total(|bar| bar.marks.cue)).map(|count| ReadRemark::CueNotes { part: name(), count }),
    );
    remarks.extend(
        counted(total(|bar| bar.marks.unpitched)).map(|count| ReadRemark::Unpitched { part: name(), count }),
    );
    let rounded = first(|bar| bar.marks.rounded);
    remarks.extend(rounded.map(|(bar, count)| ReadRemark::RoundedDurations { part: name(), bar, count }));
    let unlike = first(|bar| bar.marks.unlike);
    remarks.extend(unlike.map(|(bar, count)| ReadRemark::UnlikeDurations { part: name(), bar, count }));
    let early = first(|bar| usize::from(bar.marks.early_backup));
    remarks.extend(early.map(|(bar, _)| ReadRemark::EarlyBackup { part: name(), bar }));
    let told = remarks.iter().any(|remark| matches!(remark, ReadRemark::Repeats { .. }));
    let repeats = first(|bar| usize::from(bar.repeats)).filter(|_| !told);
    remarks.extend(repeats.map(|(bar, _)| ReadRemark::Repeats { bar }));
}
