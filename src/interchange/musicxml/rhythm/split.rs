//! Where a note of plain division must be tied.

use super::cell::Cell;
use super::value::NoteValue;

/// A stretch of time in ticks, from and to.
pub(super) type Span = (i64, i64);

/// Notes may run over boundaries that rests must show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sound {
    /// A note.
    Note,
    /// A rest.
    Rest,
}

/// Cuts a span inside a cell into spans of which each has a note value.
///
/// Returns `None` if a part of it has no value: it begins or ends off the divisions by two.
pub(super) fn split(cell: Cell<'_>, span: Span, sound: Sound, per_whole: i64) -> Option<Vec<Span>> {
    let children = cell.children();
    if let Some(child) = children.iter().find(|child| child.start <= span.0 && span.1 <= child.end) {
        return match NoteValue::of(span.1 - span.0, per_whole) {
            Some(_) if (child.start, child.end) == span => Some(vec![span]),
            _ => split(*child, span, sound, per_whole),
        };
    }
    let whole = NoteValue::of(span.1 - span.0, per_whole).is_some();
    if whole && may_stay(cell, &children, span, sound, per_whole) {
        return Some(vec![span]);
    }
    let cut = cut(&children, span, sound, per_whole)?;
    let mut spans = split(cell, (span.0, cut), sound, per_whole)?;
    spans.extend(split(cell, (cut, span.1), sound, per_whole)?);
    Some(spans)
}

/// Whether a span that crosses boundaries of the cell's children may still be one note.
fn may_stay(cell: Cell<'_>, children: &[Cell<'_>], span: Span, sound: Sound, per_whole: i64) -> bool {
    if (cell.start, cell.end) == span {
        return true;
    }
    let starts = children.iter().any(|child| child.start == span.0);
    let ends = children.iter().any(|child| child.end == span.1);
    let fills_children = starts && ends;
    let runs_on = starts && cell.is_simple();
    sound == Sound::Note
        && (fills_children || runs_on || is_syncopation(cell, span) || is_reversed_dot(cell, span, per_whole))
}

/// Short, long, short: half the cell, in the middle of it.
fn is_syncopation(cell: Cell<'_>, span: Span) -> bool {
    let before = span.0 - cell.start;
    cell.is_binary() && before == cell.end - span.1 && before * 4 == cell.length()
}

/// A short note and a dotted one in the time of a half note or less, as a dotted one and a short one turned round.
fn is_reversed_dot(cell: Cell<'_>, span: Span, per_whole: i64) -> bool {
    let is_short = cell.length() * 2 <= per_whole;
    is_short && cell.is_binary() && span.1 == cell.end && (span.0 - cell.start) * 4 == cell.length()
}

/// The boundary at which a span is cut: the first one inside it, or, if it begins on a boundary,
/// the last one up to which it has a note value.
fn cut(children: &[Cell<'_>], span: Span, sound: Sound, per_whole: i64) -> Option<i64> {
    let mut inner = children.iter().map(|child| child.start).filter(|&at| span.0 < at && at < span.1);
    let starts = children.iter().any(|child| child.start == span.0);
    if !starts || sound == Sound::Rest {
        return inner.next();
    }
    let boundaries: Vec<i64> = inner.collect();
    let writable = boundaries.iter().rev().find(|&&at| NoteValue::of(at - span.0, per_whole).is_some());
    writable.or(boundaries.first()).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Splits a span given in 32nds; the result in 32nds.
    fn parts(meter: &str, span: Span, sound: Sound) -> Vec<Span> {
        let meter: crate::meter::Meter = meter.parse().unwrap();
        let cell = Cell::bar(&meter, 32 / i64::from(meter.lower()) * 32);
        let spans = split(cell, (span.0 * 32, span.1 * 32), sound, 1024).unwrap();
        spans.into_iter().map(|(from, to)| (from / 32, to / 32)).collect()
    }

    fn note(meter: &str, span: Span) -> Vec<Span> {
        parts(meter, span, Sound::Note)
    }

    fn rest(meter: &str, span: Span) -> Vec<Span> {
        parts(meter, span, Sound::Rest)
    }

    #[test]
    fn note_from_the_downbeat_stays_whole_if_it_has_a_value() {
        assert_eq!(note("4/4", (0, 24)), [(0, 24)]);
        assert_eq!(note("4/4", (0, 28)), [(0, 28)]);
        assert_eq!(note("4/4", (0, 20)), [(0, 16), (16, 20)]);
        assert_eq!(note("3/4", (0, 12)), [(0, 12)]);
    }

    #[test]
    fn note_over_the_middle_of_the_bar_is_tied() {
        assert_eq!(note("4/4", (12, 20)), [(12, 16), (16, 20)]);
        assert_eq!(note("4/4", (8, 32)), [(8, 16), (16, 32)]);
        assert_eq!(note("6/8", (8, 16)), [(8, 12), (12, 16)]);
    }

    #[test]
    fn plain_syncopation_stays_whole() {
        assert_eq!(note("4/4", (8, 24)), [(8, 24)]);
        assert_eq!(note("4/4", (4, 12)), [(4, 12)]);
        assert_eq!(note("2/4", (4, 12)), [(4, 12)]);
    }

    /// Once written with a tie in the middle of the beat.
    #[test]
    fn short_note_and_a_dotted_one_stay_whole_within_a_half_note() {
        assert_eq!(note("4/4", (2, 8)), [(2, 8)]);
        assert_eq!(note("4/4", (4, 16)), [(4, 16)]);
        assert_eq!(note("2/4", (4, 16)), [(4, 16)]);
        assert_eq!(note("3/4", (20, 24)), [(20, 24)]);
        assert_eq!(note("4/4", (12, 24)), [(12, 16), (16, 24)]);
        assert_eq!(note("6/8", (6, 12)), [(6, 8), (8, 12)]);
    }

    #[test]
    fn beats_of_three_may_be_joined() {
        assert_eq!(note("3/4", (8, 24)), [(8, 24)]);
        assert_eq!(note("3/4", (4, 24)), [(4, 8), (8, 24)]);
        assert_eq!(note("3/4", (8, 20)), [(8, 20)]);
        assert_eq!(note("9/8", (0, 24)), [(0, 24)]);
        assert_eq!(note("9/8", (0, 36)), [(0, 24), (24, 36)]);
    }

    #[test]
    fn compound_beats_stay_visible() {
        assert_eq!(note("6/8", (0, 16)), [(0, 12), (12, 16)]);
        assert_eq!(note("6/8", (4, 12)), [(4, 12)]);
        assert_eq!(note("12/8", (0, 48)), [(0, 48)]);
    }

    #[test]
    fn rests_show_every_beat() {
        assert_eq!(rest("3/4", (8, 24)), [(8, 16), (16, 24)]);
        assert_eq!(rest("4/4", (8, 32)), [(8, 16), (16, 32)]);
        assert_eq!(rest("4/4", (0, 6)), [(0, 4), (4, 6)]);
        assert_eq!(rest("6/8", (0, 12)), [(0, 12)]);
    }

    #[test]
    fn span_off_the_divisions_by_two_has_no_value() {
        let meter = "2/4".parse().unwrap();
        assert_eq!(split(Cell::bar(&meter, 3), (0, 1), Sound::Note, 12), None);
    }
}
