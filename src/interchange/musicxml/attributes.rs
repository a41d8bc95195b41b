//! What stands at the beginning of a staff: divisions, key, meter, clef, transposition.

use super::super::xml::Xml;
use super::transposed::Transposed;
use crate::key::Mode;
use crate::meter::Meter;
use crate::voice::Clef;

/// The beginning of a staff.
#[derive(Clone, Copy, Debug)]
pub(super) struct Attributes {
    /// Divisions a quarter note.
    pub(super) divisions: i64,
    pub(super) mode: Mode,
    pub(super) meter: Meter,
    pub(super) clef: Clef,
    pub(super) transposed: Transposed,
}

impl Attributes {
    pub(super) fn write(&self, xml: &mut Xml) {
        xml.open("attributes", &[]);
        xml.text("divisions", &[], &self.divisions.to_string());
        xml.open("key", &[]);
        xml.text("fifths", &[], &self.transposed.fifths.to_string());
        xml.text("mode", &[], self.mode.name());
        xml.close();
        self.write_meter(xml);
        self.write_clef(xml);
        self.write_transposition(xml);
        xml.close();
    }

    fn write_meter(&self, xml: &mut Xml) {
        let text = self.meter.to_string();
        let upper = text.split_once('/').map_or("", |(upper, _)| upper);
        xml.open("time", &[]);
        xml.text("beats", &[], upper);
        xml.text("beat-type", &[], &self.meter.lower().to_string());
        xml.close();
    }

    fn write_clef(&self, xml: &mut Xml) {
        let (sign, line, octave) = match self.clef {
            Clef::Treble => ("G", "2", None),
            Clef::TrebleOctaveUp => ("G", "2", Some("1")),
            Clef::TrebleOctaveDown => ("G", "2", Some("-1")),
            Clef::Alto => ("C", "3", None),
            Clef::Tenor => ("C", "4", None),
            Clef::Bass => ("F", "4", None),
            Clef::BassOctaveUp => ("F", "4", Some("1")),
        };
        xml.open("clef", &[]);
        xml.text("sign", &[], sign);
        xml.text("line", &[], line);
        if let Some(octave) = octave {
            xml.text("clef-octave-change", &[], octave);
        }
        xml.close();
    }

    fn write_transposition(&self, xml: &mut Xml) {
        let Some((diatonic, chromatic, octaves)) = self.transposed.to_sounding() else { return };
        xml.open("transpose", &[]);
        xml.text("diatonic", &[], &diatonic.to_string());
        xml.text("chromatic", &[], &chromatic.to_string());
        if octaves != 0 {
            xml.text("octave-change", &[], &octaves.to_string());
        }
        xml.close();
    }
}
