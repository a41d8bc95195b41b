//! The document: title, list of parts, parts.

use super::super::sheet::{Sheet, channel};
use super::super::xml::Xml;
use super::error::WriteError;
use super::part;
use super::rhythm::Rhythm;
use crate::score::Score;

const DOCTYPE: &str = r#"score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd""#;

/// Writes a score or an exposition as MusicXML, one part a voice.
///
/// # Errors
/// If a duration has no note value, a part has a key without signature, a note of a transposing
/// part needs more accidentals than there are or lies below octave 0, or there are too many bars.
pub fn write<'a>(music: impl Into<Sheet<'a>>) -> Result<String, WriteError> {
    let sheet = music.into();
    let score = sheet.score();
    let grid = score.grid().map_err(|source| WriteError::Grid { source })?;
    let rhythm = Rhythm::of(score, grid).map_err(|error| WriteError::in_part(error, ""))?;
    let mut xml = Xml::new();
    xml.doctype(DOCTYPE);
    xml.open("score-partwise", &[("version", "4.0")]);
    write_head(&mut xml, &sheet);
    write_part_list(&mut xml, score);
    for voice in 0..score.parts().len() {
        part::write(&mut xml, &sheet, &rhythm, voice)?;
    }
    Ok(xml.finish())
}

fn write_head(xml: &mut Xml, sheet: &Sheet<'_>) {
    if let Some(title) = sheet.title() {
        xml.open("work", &[]);
        xml.text("work-title", &[], title);
        xml.close();
    }
    xml.open("identification", &[]);
    xml.open("encoding", &[]);
    xml.text("software", &[], concat!("soggetto ", env!("CARGO_PKG_VERSION")));
    xml.empty("supports", &[("element", "accidental"), ("type", "yes")]);
    xml.empty("supports", &[("element", "beam"), ("type", "yes")]);
    xml.close();
    xml.close();
}

fn write_part_list(xml: &mut Xml, score: &Score) {
    xml.open("part-list", &[]);
    for (index, part) in score.parts().iter().enumerate() {
        let id = format!("P{}", index + 1);
        let instrument = format!("{id}-I1");
        xml.open("score-part", &[("id", &id)]);
        xml.text("part-name", &[], part.voice.name());
        xml.open("score-instrument", &[("id", &instrument)]);
        xml.text("instrument-name", &[], part.voice.name());
        xml.close();
        xml.open("midi-instrument", &[("id", &instrument)]);
        if let Some(channel) = channel(index) {
            xml.text("midi-channel", &[], &(channel + 1).to_string());
        }
        xml.text("midi-program", &[], &part.voice.sound().to_string());
        xml.close();
        xml.close();
    }
    xml.close();
}
