//! One part: its bars from left to right.

use super::super::sheet::{Label, Sheet};
use super::super::xml::Xml;
use super::accidental::Accidentals;
use super::attributes::{self, Attributes};
use super::error::WriteError;
use super::note;
use super::rhythm::{Bar, Piece, Rhythm};
use super::transposed::Transposed;
use crate::pitch::Pitch;
use crate::score::Part;
use std::iter::Peekable;

/// A part being written.
pub(super) struct PartWriter<'a, I: Iterator<Item = (i64, &'a str)>> {
    part: &'a Part,
    transposed: Transposed,
    accidentals: Accidentals,
    /// Ticks of one division.
    unit: i64,
    labels: Peekable<I>,
}

/// Writes the part of a voice.
pub(super) fn write(
    xml: &mut Xml,
    sheet: &Sheet<'_>,
    rhythm: &Rhythm<'_>,
    voice: usize,
) -> Result<(), WriteError> {
    let score = sheet.score();
    let part = &score.parts()[voice];
    let bars = rhythm.bars(&part.line).map_err(|error| WriteError::in_part(error, part.voice.name()))?;
    let here = |label: &&Label| label.voice == voice;
    let labels: Vec<(i64, &str)> =
        sheet.labels().iter().filter(here).map(|label| (rhythm.ticks(label.onset), label.text)).collect();
    let transposed = Transposed::of(part, score.key())?;
    let unit = unit(rhythm, &bars, &labels);
    let divisions = rhythm.per_whole() / 4 / unit;
    let (mode, clef) = (score.key().mode(), part.voice.clef());
    let attributes = Attributes { divisions, mode, meter: score.meter(), clef, transposed };
    let mut changes = score.meters().changes().peekable();
    let accidentals = Accidentals::new(transposed.fifths);
    let mut writer =
        PartWriter { part, transposed, accidentals, unit, labels: labels.into_iter().peekable() };

    xml.open("part", &[("id", &format!("P{}", voice + 1))]);
    for (index, bar) in bars.iter().enumerate() {
        open_bar(xml, bar);
        if index == 0 {
            attributes.write(xml);
            write_tempo(xml, sheet, voice);
        }
        if let Some((.., meter)) = changes.next_if(|change| change.0 == bar.number) {
            attributes::write_change(xml, &meter);
        }
        writer.write_bar(xml, bar)?;
        if index + 1 == bars.len() {
            write_final_bar_line(xml);
        }
        xml.close();
    }
    xml.close();
    Ok(())
}

/// The longest division of which all written lengths and the places of all labels are multiples.
fn unit(rhythm: &Rhythm<'_>, bars: &[Bar], labels: &[(i64, &str)]) -> i64 {
    let lengths = bars.iter().flat_map(|bar| &bar.pieces).map(|piece| piece.length);
    let places = labels.iter().map(|label| label.0);
    lengths.chain(places).fold(rhythm.per_whole() / 4, gcd)
}

const fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn open_bar(xml: &mut Xml, bar: &Bar) {
    let number = bar.number.to_string();
    match bar.number {
        0 => xml.open("measure", &[("number", &number), ("implicit", "yes")]),
        _ => xml.open("measure", &[("number", &number)]),
    }
}

/// The tempo for players by ear, in quarters a minute; it leaves no ink.
fn write_tempo(xml: &mut Xml, sheet: &Sheet<'_>, voice: usize) {
    if voice > 0 {
        return;
    }
    let pulse = sheet.pulse();
    let per_minute = i64::from(sheet.tempo()) * 4 * pulse.numerator();
    let whole = per_minute / pulse.denominator();
    let thousandths = per_minute % pulse.denominator() * 1000 / pulse.denominator();
    let text = match thousandths {
        0 => whole.to_string(),
        _ => format!("{whole}.{thousandths:03}"),
    };
    xml.empty("sound", &[("tempo", &text)]);
}

fn write_final_bar_line(xml: &mut Xml) {
    xml.open("barline", &[("location", "right")]);
    xml.text("bar-style", &[], "light-heavy");
    xml.close();
}

impl<'a, I: Iterator<Item = (i64, &'a str)>> PartWriter<'a, I> {
    fn write_bar(&mut self, xml: &mut Xml, bar: &Bar) -> Result<(), WriteError> {
        self.accidentals.bar_line();
        for piece in &bar.pieces {
            while let Some((at, text)) = self.labels.next_if(|label| label.0 < piece.onset + piece.length) {
                self.write_label(xml, text, at - piece.onset);
            }
            let pitch = piece.note.map(|index| self.pitch(index)).transpose()?;
            let accidental = pitch.and_then(|pitch| self.accidental(piece, pitch));
            note::write(xml, piece, pitch, accidental, piece.length / self.unit);
        }
        Ok(())
    }

    /// A word over the staff, so many ticks after the note or rest that follows it begins.
    fn write_label(&self, xml: &mut Xml, text: &str, after: i64) {
        xml.open("direction", &[("placement", "above")]);
        xml.open("direction-type", &[]);
        xml.text("words", &[], text);
        xml.close();
        if after != 0 {
            xml.text("offset", &[], &(after / self.unit).to_string());
        }
        xml.close();
    }

    /// A note tied over the bar line repeats no accidental.
    fn accidental(&mut self, piece: &Piece, pitch: Pitch) -> Option<&'static str> {
        if piece.tied_back { None } else { self.accidentals.of(pitch) }
    }

    fn pitch(&self, note: usize) -> Result<Pitch, WriteError> {
        let part = || self.part.voice.name().to_owned();
        let sounding = self.part.line.notes()[note].pitch();
        let written = self.transposed.write(sounding);
        let pitch = written.map_err(|source| WriteError::Pitch { part: part(), note, source })?;
        match pitch.octave() {
            ..0 => Err(WriteError::Octave { part: part(), note, pitch }),
            _ => Ok(pitch),
        }
    }
}
