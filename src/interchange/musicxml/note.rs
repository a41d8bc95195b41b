//! One written note or rest.

use super::super::xml::Xml;
use super::rhythm::{Beam, Piece};
use crate::pitch::Pitch;

/// Writes a note or rest; `pitch` is the written one, `None` for a rest.
pub(super) fn write(
    xml: &mut Xml,
    piece: &Piece,
    pitch: Option<Pitch>,
    accidental: Option<&str>,
    duration: i64,
) {
    xml.open("note", &[]);
    match pitch {
        Some(pitch) => write_pitch(xml, pitch),
        None if piece.value.is_none() => xml.empty("rest", &[("measure", "yes")]),
        None => xml.empty("rest", &[]),
    }
    xml.text("duration", &[], &duration.to_string());
    for (_, end) in ties(piece) {
        xml.empty("tie", &[("type", end)]);
    }
    xml.text("voice", &[], "1");
    write_value(xml, piece, accidental);
    write_beams(xml, piece);
    write_notations(xml, piece);
    xml.close();
}

fn write_pitch(xml: &mut Xml, pitch: Pitch) {
    xml.open("pitch", &[]);
    xml.text("step", &[], &pitch.letter().as_char().to_string());
    if pitch.alteration() != 0 {
        xml.text("alter", &[], &pitch.alteration().to_string());
    }
    xml.text("octave", &[], &pitch.octave().to_string());
    xml.close();
}

fn write_value(xml: &mut Xml, piece: &Piece, accidental: Option<&str>) {
    let Some(value) = piece.value else { return };
    xml.text("type", &[], value.name());
    for _ in 0..value.dots() {
        xml.empty("dot", &[]);
    }
    if let Some(accidental) = accidental {
        xml.text("accidental", &[], accidental);
    }
    if let Some(ratio) = piece.division.map(|division| division.ratio) {
        xml.open("time-modification", &[]);
        xml.text("actual-notes", &[], &ratio.actual.to_string());
        xml.text("normal-notes", &[], &ratio.normal.to_string());
        xml.close();
    }
}

fn write_beams(xml: &mut Xml, piece: &Piece) {
    for (index, beam) in piece.beams.iter().enumerate() {
        let Some(beam) = beam else { continue };
        let what = match beam {
            Beam::Begin => "begin",
            Beam::Continue => "continue",
            Beam::End => "end",
            Beam::ForwardHook => "forward hook",
            Beam::BackwardHook => "backward hook",
        };
        xml.text("beam", &[("number", &(index + 1).to_string())], what);
    }
}

fn write_notations(xml: &mut Xml, piece: &Piece) {
    let tuplet = piece.division.map_or([(false, "start"), (false, "stop")], |division| {
        [(division.opens, "start"), (division.closes, "stop")]
    });
    let tuplet: Vec<&str> = tuplet.into_iter().filter(|(here, _)| *here).map(|(_, end)| end).collect();
    if ties(piece).count() + tuplet.len() == 0 {
        return;
    }
    xml.open("notations", &[]);
    for (_, end) in ties(piece) {
        xml.empty("tied", &[("type", end)]);
    }
    for end in tuplet {
        xml.empty("tuplet", &[("type", end), ("number", "1")]);
    }
    xml.close();
}

/// The ends of ties at a note: that of the tie before it comes first.
fn ties(piece: &Piece) -> impl Iterator<Item = (bool, &'static str)> {
    [(piece.tied_back, "stop"), (piece.tied_on, "start")].into_iter().filter(|(here, _)| *here)
}
