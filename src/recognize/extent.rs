//! How far the exposition reaches: until every voice has stated the theme, as it is or in another form.
//!
//! The statements follow one another, with links between that are no longer than so many themes. If the
//! straight ones alone make no such row in which each voice has its turn, those in other forms belong to it: an
//! answer may come upside down, in longer or in shorter notes (Prout, *Fugue*, §210, of counter-expositions;
//! common practice of whole fugues by contrary motion).

use super::strand::Strands;
use crate::exposition::{Entry, PATIENCE};

/// Where a statement lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Span {
    pub(super) onset: i64,
    pub(super) end: i64,
    voice: usize,
}

impl Span {
    pub(super) fn of(entry: &Entry, strands: &Strands) -> Self {
        let notes = strands.voice(entry.voice).get(entry.notes.clone()).unwrap_or(&[]);
        let onset = strands.grid.ticks(entry.onset);
        Self { onset, end: notes.last().map_or(onset, |last| last.off), voice: entry.voice }
    }
}

/// The statements of an exposition.
pub(super) struct Extent {
    /// Up to its end, in order.
    pub(super) spans: Vec<Span>,
    pub(super) end: i64,
}

/// How many statements follow one another from the first on, a theme being so long.
fn row(spans: &[Span], length: i64) -> &[Span] {
    let mut end = i64::MAX;
    let near = |span: &&Span| {
        let follows = end == i64::MAX || span.onset - end <= PATIENCE * length;
        end = if end == i64::MAX { span.end } else { end.max(span.end) };
        follows
    };
    &spans[..spans.iter().take_while(near).count()]
}

fn in_order(straight: &[Span], others: &[Span]) -> Vec<Span> {
    let mut all = [straight, others].concat();
    all.sort_unstable();
    all
}

/// The first statement of each voice.
fn firsts(spans: &[Span], voices: usize) -> Vec<Span> {
    let mut heard = vec![false; voices];
    spans.iter().filter(|span| !std::mem::replace(&mut heard[span.voice], true)).copied().collect()
}

/// Whether every voice that has notes has its turn in the row of straight statements.
pub(super) fn is_whole(straight: &[Span], length: i64, strands: &Strands) -> bool {
    let sounding = (0..strands.count()).filter(|voice| !strands.voice(*voice).is_empty()).count();
    firsts(row(straight, length), strands.count()).len() == sounding
}

impl Extent {
    /// Of straight statements and of those in other forms: the latter count as far as they belong to the row. A
    /// voice that has none there is waited for until its first straight one.
    pub(super) fn of(straight: &[Span], others: &[Span], length: i64, voices: usize) -> Self {
        let all = in_order(straight, others);
        let reached = row(&all, length).last().map_or(0, |last| last.onset);
        let near: Vec<Span> = others.iter().copied().filter(|span| span.onset <= reached).collect();
        let mut spans = in_order(straight, &near);
        let end = firsts(&spans, voices).iter().map(|span| span.end).max().unwrap_or(0);
        spans.retain(|span| span.onset < end);
        Self { spans, end }
    }

    /// Whether a statement is one of them. Cost: logarithmic.
    pub(super) fn holds(&self, span: &Span) -> bool {
        self.spans.binary_search(span).is_ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn span(voice: usize, onset: i64) -> Span {
        Span { onset, end: onset + 4, voice }
    }

    #[test]
    fn voice_that_enters_in_another_form_is_not_waited_for() {
        let straight = [span(0, 0), span(1, 4), span(2, 90)];
        let extent = Extent::of(&straight, &[span(2, 10)], 4, 3);
        assert_eq!((extent.spans, extent.end), (vec![span(0, 0), span(1, 4), span(2, 10)], 14));
    }

    #[test]
    fn voice_that_has_no_entry_in_its_turn_is_waited_for() {
        let straight = [span(0, 0), span(1, 4), span(0, 50), span(2, 90)];
        let extent = Extent::of(&straight, &[span(2, 120)], 4, 3);
        assert_eq!((extent.spans, extent.end), (straight.to_vec(), 94));
    }

    #[test]
    fn row_has_links_of_three_themes_at_most() {
        assert_eq!(row(&[span(0, 0), span(1, 16), span(2, 33)], 4), [span(0, 0), span(1, 16)]);
    }
}
