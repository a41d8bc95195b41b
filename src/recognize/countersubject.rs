//! The countersubject: what the voice that had the theme sets against the answer, if it returns.

use super::entries::Found;
use super::likeness::{Comparison, Spot};
use super::strand::{Strands, Tone};
use super::theme::Theme;
use std::ops::Range;

/// An appearance of the countersubject.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Appearance {
    pub(super) voice: usize,
    pub(super) notes: Range<usize>,
    /// The index of the entry against which it stands.
    pub(super) against: usize,
}

/// The appearances of the countersubject in order; none if it never returns though it could.
pub(super) fn find(themes: &[Found], theme: &Theme, strands: &Strands) -> Vec<Appearance> {
    let [leader, answer, ..] = themes else { return Vec::new() };
    let Some((first, pattern, delay)) = first_heard(leader, answer, theme, strands) else {
        return Vec::new();
    };
    let mut appearances = vec![first];
    let mut comparison = Comparison::default();
    for (against, entry) in themes.iter().enumerate().skip(2) {
        let start = entry.likeness.start + delay;
        let voices = (0..strands.count()).filter(|&voice| voice != entry.voice);
        let likenesses = voices.filter_map(|voice| {
            let tones = strands.voice(voice);
            let first = tones.binary_search_by_key(&start, |tone| tone.on).ok()?;
            Some((voice, comparison.freely_at(Spot { first, start }, &pattern, tones)?))
        });
        if let Some((voice, likeness)) = likenesses.max_by_key(|(_, likeness)| likeness.score()) {
            appearances.push(Appearance { voice, notes: likeness.first..likeness.end, against });
        }
    }
    let had_occasion = themes.len() > 2;
    if had_occasion && appearances.len() < 2 { Vec::new() } else { appearances }
}

/// What the leading voice plays from the answer's entry to its end, with its delay after the answer.
fn first_heard(
    leader: &Found,
    answer: &Found,
    theme: &Theme,
    strands: &Strands,
) -> Option<(Appearance, Theme, i64)> {
    let tones = strands.voice(leader.voice);
    let (from, to) = (answer.likeness.start, answer.likeness.start + theme.span());
    let first = tones.partition_point(|tone| tone.on < from).max(leader.likeness.end);
    let end = tones.partition_point(|tone: &Tone| tone.on < to);
    let heard = tones.get(first..end).filter(|heard| heard.len() > 1)?;
    let appearance = Appearance { voice: leader.voice, notes: first..end, against: 1 };
    Some((appearance, Theme::of(heard)?, heard.first()?.on - from))
}
