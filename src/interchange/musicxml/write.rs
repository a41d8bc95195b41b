//! The document: title, list of parts, parts.

use super::super::sheet::{Sheet, channel};
use super::super::xml::Xml;
use super::error::WriteError;
use super::part;
use super::rhythm::Rhythm;
use crate::score::Score;
use crate::voice::Voice;
use std::ops::RangeInclusive;

const DOCTYPE: &str = r#"score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd""#;

/// The programs of General MIDI that sing: choir, voice, synthetic voice.
const VOICES: RangeInclusive<u8> = 53..=55;

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
    let is_group = score.parts().len() > 1;
    xml.open("part-list", &[]);
    if is_group {
        write_bracket(xml, score);
    }
    for (index, part) in score.parts().iter().enumerate() {
        write_part(xml, index, &part.voice);
    }
    if is_group {
        xml.empty("part-group", &[("type", "stop"), ("number", "1")]);
    }
    xml.close();
}

/// A bracket before all parts; bar lines run through them unless they are sung, so that they stand clear of the words.
///
/// Source: Gould, *Behind Bars*, the chapter on score layout (from memory).
fn write_bracket(xml: &mut Xml, score: &Score) {
    let is_sung = score.parts().iter().any(|part| VOICES.contains(&part.voice.sound()));
    xml.open("part-group", &[("type", "start"), ("number", "1")]);
    xml.text("group-symbol", &[], "bracket");
    xml.text("group-barline", &[], if is_sung { "no" } else { "yes" });
    xml.close();
}

fn write_part(xml: &mut Xml, index: usize, voice: &Voice) {
    let id = format!("P{}", index + 1);
    let instrument = format!("{id}-I1");
    xml.open("score-part", &[("id", &id)]);
    xml.text("part-name", &[], voice.name());
    xml.open("score-instrument", &[("id", &instrument)]);
    xml.text("instrument-name", &[], voice.name());
    xml.close();
    xml.open("midi-instrument", &[("id", &instrument)]);
    if let Some(channel) = channel(index) {
        xml.text("midi-channel", &[], &(channel + 1).to_string());
    }
    xml.text("midi-program", &[], &voice.sound().to_string());
    xml.close();
    xml.close();
}
