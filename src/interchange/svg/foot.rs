//! What stands under the music: the roles, and the text of the findings.

use super::super::xml::Xml;
use super::layout::{LEFT, NOTE, WIDTH};
use super::style::{class, fitted, word};
use crate::exposition::{Exposition, Role};
use crate::rules::{Finding, Severity};

/// A line of text.
const LINE: i64 = 250;
/// Room for one role.
const COLUMN: i64 = 2_100;

/// The height of what stands under the music.
pub(super) fn height(findings: &[Finding]) -> i64 {
    let lines = i64::try_from(findings.len()).unwrap_or(0);
    500 + if lines > 0 { (lines + 1) * LINE } else { 0 }
}

/// Draws it from a height downwards.
pub(super) fn write(xml: &mut Xml, exposition: &Exposition, findings: &[Finding], top: i64) {
    write_roles(xml, exposition, top + 150);
    for (index, finding) in findings.iter().enumerate() {
        let y = top + 500 + i64::try_from(index).unwrap_or(0) * LINE + LINE;
        write_sign(xml, index, finding, (LEFT - 130, y - 55));
        let text = format!("{}: {} ({})", finding.place, finding.message, finding.severity);
        let (x, y, size) = ((LEFT + 60).to_string(), y.to_string(), fitted(&text, 165, WIDTH - LEFT - 300));
        xml.text("text", &[("class", "foot"), ("x", &x), ("y", &y), ("style", &size)], &text);
    }
}

fn write_roles(xml: &mut Xml, exposition: &Exposition, y: i64) {
    let roles = [Role::Subject, Role::Answer, Role::Countersubject];
    let present = |role: &Role| exposition.entries().iter().any(|entry| entry.role == *role);
    let roles = roles.into_iter().filter(present).map(Some).chain([None]);
    for (column, role) in (0..).zip(roles) {
        let x: i64 = LEFT + column * COLUMN;
        let shade = format!("note {}", class(role));
        let (left, top, high) = (x.to_string(), (y - NOTE).to_string(), NOTE.to_string());
        xml.empty(
            "rect",
            &[
                ("class", &shade),
                ("x", &left),
                ("y", &top),
                ("width", "420"),
                ("height", &high),
                ("rx", "30"),
            ],
        );
        let (x, y) = ((x + 500).to_string(), y.to_string());
        xml.text("text", &[("class", "foot"), ("x", &x), ("y", &y)], role.map_or("Free part", word));
    }
}

/// The numbered sign of a finding: full for a fault, a ring for a caution, a broken ring for a remark.
pub(super) fn write_sign(xml: &mut Xml, index: usize, finding: &Finding, at: (i64, i64)) {
    let weight = match finding.severity {
        Severity::Fault => "fault",
        Severity::Caution => "caution",
        Severity::Remark => "remark",
    };
    let (shade, ink) = (format!("sign {weight}"), format!("sign-number on-{weight}"));
    let (x, y, base) = (at.0.to_string(), at.1.to_string(), (at.1 + 46).to_string());
    xml.open("g", &[]);
    xml.text("title", &[], &format!("{} at {}: {}", finding.severity, finding.place, finding.message));
    xml.empty("circle", &[("class", &shade), ("cx", &x), ("cy", &y), ("r", "105")]);
    xml.text("text", &[("class", &ink), ("x", &x), ("y", &base)], &(index + 1).to_string());
    xml.close();
}
