//! Numbers and note values of the format.

use super::written::Note;
use crate::time::{Time, TimeError};

/// Digits of a number that are read: more would leave the range of times.
const MAX_DIGITS: usize = 12;
/// Dots of a note that are read.
const MAX_DOTS: u8 = 4;

/// A decimal number as numerator and denominator.
pub(super) fn decimal(text: &str) -> Option<(i64, i64)> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => (-1, digits),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
    let fraction = fraction.trim_end_matches('0');
    let is_empty = whole.is_empty() && fraction.is_empty();
    if (is_empty && !digits.starts_with(".0")) || whole.len() + fraction.len() > MAX_DIGITS {
        return None;
    }
    let add = |number: i64, byte: u8| byte.is_ascii_digit().then(|| 10 * number + i64::from(byte - b'0'));
    let number = whole.bytes().chain(fraction.bytes()).try_fold(0, add)?;
    Some((sign * number, 10_i64.pow(u32::try_from(fraction.len()).ok()?)))
}

/// A number of divisions in whole notes.
pub(super) fn whole_notes(number: (i64, i64), divisions: (i64, i64)) -> Result<Time, TimeError> {
    Time::new(number.0, number.1)?.scaled(divisions.1, 4 * divisions.0)
}

/// Whether a number of divisions is a time: what [`whole_notes`] says, without a division.
pub(super) fn are_whole_notes(number: (i64, i64), divisions: (i64, i64), time: Time) -> bool {
    // No number has more than MAX_DIGITS digits, so that the products are below 10^37.
    let [numerator, unit, divisions, per] = [number.0, number.1, divisions.0, divisions.1].map(i128::from);
    i128::from(time.numerator()) * unit * 4 * divisions == i128::from(time.denominator()) * numerator * per
}

/// What the note value says: type, dots, and how many are in the time of how many.
pub(super) fn value(note: &Note<'_>) -> Option<Time> {
    let plain = note.value?;
    let dots = note.dots.min(MAX_DOTS);
    let dotted = if dots == 0 { plain } else { plain.scaled((1 << (dots + 1)) - 1, 1 << dots).ok()? };
    match note.tuplet {
        None => Some(dotted),
        Some((actual, normal)) if actual > 0 && normal > 0 => {
            dotted.scaled(normal.into(), actual.into()).ok()
        }
        Some(_) => None,
    }
}

/// The value that a type names.
pub(super) fn note_type(name: &str) -> Option<Time> {
    let (numerator, denominator) = match name {
        "maxima" => (8, 1),
        "long" => (4, 1),
        "breve" => (2, 1),
        "whole" => (1, 1),
        "half" => (1, 2),
        "quarter" => (1, 4),
        "eighth" => (1, 8),
        "16th" => (1, 16),
        "32nd" => (1, 32),
        "64th" => (1, 64),
        "128th" => (1, 128),
        "256th" => (1, 256),
        "512th" => (1, 512),
        "1024th" => (1, 1024),
        _ => return None,
    };
    Time::new(numerator, denominator).ok()
}

#[cfg(test)]
mod tests {
    use super::super::elements::Elements;
    use super::super::written::note;
    use super::*;

    #[test]
    fn decimals_are_exact() {
        let rows = [
            ("480", Some((480, 1))),
            ("-2", Some((-2, 1))),
            ("+1.0", Some((1, 1))),
            ("0.5", Some((5, 10))),
            ("-.25", Some((-25, 100))),
            ("0", Some((0, 1))),
            ("", None),
            ("-", None),
            (".", None),
            ("1e9", None),
            ("1.2.3", None),
            ("9999999999999", None),
        ];
        for (text, number) in rows {
            assert_eq!(decimal(text), number, "{text:?}");
        }
    }

    #[test]
    fn divisions_are_compared_as_they_are_counted() {
        let time = |text: &str| text.parse::<Time>().unwrap();
        let rows = [
            ((480, 1), (480, 1), "1/4"),
            ((1, 1), (15, 10), "1/6"),
            ((5, 10), (1, 1), "1/8"),
            ((0, 1), (1, 1), "0"),
        ];
        for (number, divisions, text) in rows {
            assert_eq!(whole_notes(number, divisions), Ok(time(text)));
            assert!(are_whole_notes(number, divisions, time(text)), "{number:?} by {divisions:?}");
            assert!(!are_whole_notes(number, divisions, time("1/7")), "{number:?} by {divisions:?}");
        }
        let most = 10_i64.pow(12) - 1;
        assert!(!are_whole_notes((most, 1), (1, most), time("1000000")));
    }

    #[test]
    fn note_values_have_dots_and_tuplets() {
        let rows = [
            ("<note><type>quarter</type></note>", Some("1/4")),
            ("<note><type>half</type><dot/><dot/></note>", Some("7/8")),
            (
                "<note><type>eighth</type><time-modification><actual-notes>3</actual-notes>\
                 <normal-notes>2</normal-notes></time-modification></note>",
                Some("1/12"),
            ),
            ("<note><type>crotchet</type></note>", None),
            ("<note/>", None),
        ];
        for (xml, time) in rows {
            let mut elements = Elements::of(xml).unwrap();
            elements.root().unwrap();
            let read = value(&note(&mut elements).unwrap());
            assert_eq!(read.map(|time| time.to_string()).as_deref(), time, "{xml}");
        }
    }
}
