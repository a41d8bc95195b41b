//! Irregular divisions: triplets, quintuplets and their kin.
//!
//! A time that is no fraction of two needs a cell divided by another number. Cells are searched
//! from the whole bar down. A cell is taken where going on would cut a note with such times, if it
//! is simple enough: it divides into as many equal parts as the division's number says, or twice
//! as many if both ends of the note are such times. So three quarters over a half bar are one
//! triplet, while a long note that begins inside a triplet of eighths is tied over the beat.

use super::cell::Cell;
use super::split::Span;

/// So many notes in the time of so many.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) struct Ratio {
    /// Notes played.
    pub(in super::super) actual: i64,
    /// Notes of the plain division.
    pub(in super::super) normal: i64,
}

/// A cell with its irregular division.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Tuplet {
    pub(super) start: i64,
    pub(super) end: i64,
    pub(super) ratio: Ratio,
}

/// The cells of a bar that need an irregular division for these spans, in order.
pub(super) fn tuplets(bar: Cell<'_>, spans: &[Span], per_whole: i64) -> Vec<Tuplet> {
    let mut found = Vec::new();
    search(bar, spans, per_whole, &mut found);
    found
}

fn search(cell: Cell<'_>, spans: &[Span], per_whole: i64, found: &mut Vec<Tuplet>) {
    let spans: Vec<Span> = spans.iter().copied().filter(|s| s.0 < cell.end && cell.start < s.1).collect();
    let irregular = |at: i64| cell.start < at && at < cell.end && at % odd(per_whole) != 0;
    if !spans.iter().any(|span| irregular(span.0) || irregular(span.1)) {
        return;
    }
    let children = cell.children();
    let crosses = |span: &&Span| children.iter().any(|child| span.0 < child.start && child.start < span.1);
    let ends = |span: &Span| i64::from(irregular(span.0)) + i64::from(irregular(span.1));
    let allowed = match spans.iter().filter(crosses).map(ends).max().unwrap_or(0) {
        _ if children.is_empty() => i64::MAX,
        ends => ends,
    };
    match ratio(cell, &spans, per_whole) {
        Some((ratio, parts)) if parts <= allowed.saturating_mul(ratio.actual) => {
            found.push(Tuplet { start: cell.start, end: cell.end, ratio });
        }
        _ => children.iter().for_each(|child| search(*child, &spans, per_whole, found)),
    }
}

/// The division under which all times in the cell have note values, and the equal parts into
/// which these times divide the cell.
fn ratio(cell: Cell<'_>, spans: &[Span], per_whole: i64) -> Option<(Ratio, i64)> {
    let inside =
        spans.iter().flat_map(|span| [span.0, span.1]).filter(|&at| cell.start < at && at < cell.end);
    let part = inside.fold(cell.length(), |part, at| gcd(part, at - cell.start));
    let common = gcd(part, per_whole);
    let actual = odd(per_whole / common);
    let numerator = odd(part / common);
    let normal =
        std::iter::successors(Some(numerator), |n| Some(n * 2)).take_while(|&n| n < actual).last()?;
    Some((Ratio { actual, normal }, cell.length() / part))
}

const fn odd(number: i64) -> i64 {
    number >> number.trailing_zeros()
}

const fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Spans that follow one another, in parts of `per_whole`.
    fn found(meter: &str, per_whole: i64, lengths: &[i64]) -> Vec<(i64, i64, i64, i64)> {
        let meter: crate::meter::Meter = meter.parse().unwrap();
        let fine = per_whole * 1024;
        let mut now = 0;
        let mut spans = Vec::new();
        for length in lengths {
            spans.push((now * 1024, (now + length) * 1024));
            now += length;
        }
        tuplets(Cell::bar(&meter, fine / i64::from(meter.lower())), &spans, fine)
            .into_iter()
            .map(|t| (t.start / 1024, t.end / 1024, t.ratio.actual, t.ratio.normal))
            .collect()
    }

    #[test]
    fn triplet_of_eighths_fills_its_beat() {
        assert_eq!(found("2/4", 12, &[1, 1, 1, 3]), [(0, 3, 3, 2)]);
    }

    #[test]
    fn triplet_of_quarters_fills_the_half_bar() {
        assert_eq!(found("4/4", 12, &[2, 2, 2, 6]), [(0, 6, 3, 2)]);
    }

    #[test]
    fn quintuplet_is_five_for_four() {
        assert_eq!(found("2/4", 20, &[1, 1, 1, 1, 1, 5]), [(0, 5, 5, 4)]);
    }

    #[test]
    fn five_in_a_compound_beat_are_five_for_three() {
        assert_eq!(found("6/8", 40, &[3, 3, 3, 3, 3, 15]), [(0, 15, 5, 3)]);
    }

    #[test]
    fn long_note_out_of_a_triplet_is_cut_at_the_beat() {
        assert_eq!(found("4/4", 12, &[1, 1, 5, 5]), [(0, 3, 3, 2), (6, 9, 3, 2)]);
    }

    #[test]
    fn plain_bar_has_none() {
        assert!(found("4/4", 8, &[1, 3, 4]).is_empty());
    }
}
