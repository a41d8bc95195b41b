//! Shades, patterns and type of the picture.

use super::super::xml::Xml;
use crate::exposition::Role;

/// The style sheet. Roles go from dark to light: the subject is solid, the answer hatched, the
/// countersubject dotted, free parts are hollow.
const SHEET: &str = "
  text { font-family: Georgia, 'Times New Roman', serif; fill: #22262b; }
  .paper { fill: #fbfaf6; }
  .lane { fill: #ffffff; stroke: #d9d4c7; stroke-width: 6; }
  .title { font-size: 300px; }
  .subtitle, .foot { font-size: 165px; }
  .foot { fill: #3a4047; }
  .voice { font-size: 190px; font-style: italic; text-anchor: end; }
  .height { font-size: 110px; fill: #96917f; text-anchor: end; }
  .entry, .codetta-name, .number { paint-order: stroke; stroke: #ffffff; stroke-width: 36px; stroke-linejoin: round; }
  .entry { font-size: 140px; }
  .entry-end { text-anchor: end; }
  .number { font-size: 135px; fill: #6b6f74; stroke: #fbfaf6; }
  .entry-line { stroke-width: 18; fill: none; }
  .bar { stroke: #8f8b80; stroke-width: 10; }
  .end { stroke: #22262b; stroke-width: 40; }
  .beat { stroke: #ece8dd; stroke-width: 8; }
  .tonic { stroke: #d8cfae; stroke-width: 8; }
  .rest { stroke: #aaa699; stroke-width: 14; stroke-dasharray: 14 44; stroke-linecap: round; }
  .codetta { fill: url(#codetta-band); stroke: none; }
  .codetta-name { font-size: 140px; font-style: italic; fill: #6a5d33; stroke: #f6efd6; }
  .note { stroke-width: 12; }
  .name { font-size: 82px; text-anchor: middle; font-family: Helvetica, Arial, sans-serif; }
  .subject { fill: #17375e; stroke: #0b1f38; }
  .answer { fill: url(#answer-hatch); stroke: #8a3d0c; }
  .countersubject { fill: url(#countersubject-dots); stroke: #3f7465; }
  .free { fill: #f3f1ea; stroke: #a09c91; }
  .on-subject { fill: #ffffff; }
  .on-answer { fill: #4a1d00; font-weight: bold; paint-order: stroke; stroke: #f0a35e; stroke-width: 34px; }
  .on-countersubject { fill: #17352c; paint-order: stroke; stroke: #d5eadf; stroke-width: 34px; }
  .on-free { fill: #6b6f74; }
  .mark { stroke: #a3123a; stroke-width: 16; stroke-dasharray: 50 30; }
  .lead { stroke: #d9a3b1; stroke-width: 8; }
  .sign { stroke: #a3123a; stroke-width: 20; }
  .fault { fill: #a3123a; } .caution { fill: #ffffff; } .remark { fill: #ffffff; stroke-dasharray: 24 20; }
  .sign-number { font-size: 130px; text-anchor: middle; font-family: Helvetica, Arial, sans-serif; fill: #a3123a; }
  .on-fault { fill: #ffffff; }
";

/// Writes the style sheet and the patterns.
pub(super) fn write(xml: &mut Xml) {
    xml.text("style", &[], SHEET);
    xml.open("defs", &[]);
    open_pattern(xml, "answer-hatch", "60", Some("rotate(45)"));
    xml.empty("rect", &[("width", "60"), ("height", "60"), ("fill", "#f0a35e")]);
    xml.empty("rect", &[("width", "18"), ("height", "60"), ("fill", "#d9752a")]);
    xml.close();
    open_pattern(xml, "countersubject-dots", "44", None);
    xml.empty("rect", &[("width", "44"), ("height", "44"), ("fill", "#d5eadf")]);
    xml.empty("circle", &[("cx", "22"), ("cy", "22"), ("r", "8"), ("fill", "#7fb5a2")]);
    xml.close();
    open_pattern(xml, "codetta-band", "120", Some("rotate(-45)"));
    xml.empty("rect", &[("width", "120"), ("height", "120"), ("fill", "#f6efd6")]);
    xml.empty("rect", &[("width", "30"), ("height", "120"), ("fill", "#eee3bd")]);
    xml.close();
    xml.close();
}

fn open_pattern(xml: &mut Xml, id: &'static str, size: &'static str, turn: Option<&'static str>) {
    let turn = turn.unwrap_or("rotate(0)");
    xml.open(
        "pattern",
        &[
            ("id", id),
            ("width", size),
            ("height", size),
            ("patternUnits", "userSpaceOnUse"),
            ("patternTransform", turn),
        ],
    );
}

/// The class of a role; of a free part, if it has none.
pub(super) const fn class(role: Option<Role>) -> &'static str {
    match role {
        Some(role) => role.name(),
        None => "free",
    }
}

/// The word over an entry.
pub(super) const fn word(role: Role) -> &'static str {
    match role {
        Role::Subject => "Subject",
        Role::Answer => "Answer",
        Role::Countersubject => "Countersubject",
    }
}

/// How wide a text of the given size may be: letters are taken as five eighths as wide as they are
/// high, which the widest of the common faces do not pass.
pub(super) fn breadth(text: &str, size: i64) -> i64 {
    letters(text).saturating_mul(size).saturating_mul(5) / 8
}

fn letters(text: &str) -> i64 {
    i64::try_from(text.chars().count()).unwrap_or(i64::MAX).max(1)
}

/// The size at which a text of the given size fits into a width.
pub(super) fn fitted(text: &str, size: i64, width: i64) -> String {
    format!("font-size:{}px", size.min(8 * width / 5 / letters(text)).max(20))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_text_is_set_smaller() {
        assert_eq!(fitted("Alto", 190, 1_400), "font-size:190px");
        assert_eq!(fitted(&"x".repeat(28), 190, 1_400), "font-size:80px");
        assert_eq!(fitted(&"x".repeat(9_999), 190, 1_400), "font-size:20px");
    }
}
