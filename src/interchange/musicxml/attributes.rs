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
        write_meter(xml, &self.meter);
        self.write_clef(xml);
        self.write_transposition(xml);
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

/// The meter where it changes.
pub(super) fn write_change(xml: &mut Xml, meter: &Meter) {
    xml.open("attributes", &[]);
    write_meter(xml, meter);
    xml.close();
}

fn write_meter(xml: &mut Xml, meter: &Meter) {
    xml.open("time", &[]);
    xml.text("beats", &[], &upper_figure(meter));
    xml.text("beat-type", &[], &meter.lower().to_string());
    xml.close();
}

/// The upper figure; groups are spelled out where it means others.
fn upper_figure(meter: &Meter) -> String {
    if Meter::new(meter.upper(), meter.lower()).as_ref() == Ok(meter) {
        return meter.upper().to_string();
    }
    let groups: Vec<String> = meter.groups().iter().map(ToString::to_string).collect();
    groups.join("+")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn groups_that_the_figure_does_not_mean_are_spelled_out() {
        let upper = |meter: &str| upper_figure(&meter.parse().unwrap());
        assert_eq!(["4/4", "6/8", "7/8", "3+2+2/8", "5/4"].map(upper), ["4", "6", "7", "3+2+2", "5"]);
        assert_eq!(upper("1+1+1+1+1+1/4"), "1+1+1+1+1+1");
    }
}
