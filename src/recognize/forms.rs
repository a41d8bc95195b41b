//! Statements of a theme in other forms: upside down, in other note values.

use super::entries::{Field, Found};
use super::roles::Judge;
use super::theme::Theme;
use super::value::{Evidence, Transformed};
use crate::exposition::Form;
use std::ops::Range;

/// The statements in other forms that overlap no straight one, of which these are the voices and notes in
/// order of onset, in its voice.
pub(super) fn find(
    field: &Field<'_>,
    theme: &Theme,
    judge: &Judge<'_>,
    straight: impl Iterator<Item = (usize, Range<usize>)>,
) -> Vec<Transformed> {
    let strands = field.strands();
    let mut taken: Vec<Vec<Range<usize>>> = vec![Vec::new(); strands.count()];
    for (voice, notes) in straight {
        if let Some(taken) = taken.get_mut(voice) {
            taken.push(notes);
        }
    }
    let others = Form::ALL.into_iter().filter(|form| *form != Form::Straight);
    let found = others.flat_map(|form| field.find(theme, form));
    let value = |found: Found| {
        let is_first = taken[found.voice].first().is_none_or(|old| found.likeness.first < old.start);
        let onset = strands.grid.time(found.onset(strands)).ok()?;
        let entry = judge.entry(&found, onset, is_first);
        Some(Transformed { entry, form: found.form, evidence: Evidence::of(&found.likeness) })
    };
    found.filter(|found| is_alone(found, &taken[found.voice])).filter_map(value).collect()
}

/// Whether a statement overlaps none of the straight ones in its voice. These share one note at most, so the
/// first that ends after its beginning tells.
fn is_alone(found: &Found, taken: &[Range<usize>]) -> bool {
    let new = &found.likeness;
    let next = taken.partition_point(|old| old.end <= new.first + 1);
    taken.get(next).is_none_or(|old| old.start + 1 >= new.end)
}
