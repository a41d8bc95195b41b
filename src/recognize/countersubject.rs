//! The countersubject: what the voice that had the theme sets against the answer, if it returns.
//!
//! What that voice plays from the answer's entry to its end is a pattern. Against each later entry the
//! voice is found that takes most of it up again, at one distance or a step beside it: the notes are
//! adapted where the answer was tonal. The notes at either end that most returns leave out are not
//! the countersubject: it may begin after the answer (Prout, *Fugue*, §169) and end before it.

use super::entries::Found;
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

/// What a voice has in common with the pattern.
struct Return {
    voice: usize,
    against: usize,
    /// For each note of the pattern the note that stands for it, if it is right.
    right: Vec<Option<usize>>,
}

/// The appearances of the countersubject in order; none if it never returns though it could.
pub(super) fn find(themes: &[Found], theme: &Theme, strands: &Strands) -> Vec<Appearance> {
    let [leader, answer, later @ ..] = themes else { return Vec::new() };
    let Some(heard) = first_heard(leader, answer, theme, strands) else { return Vec::new() };
    let tones = strands.voice(leader.voice);
    let Some(pattern) = tones.get(heard.clone()) else { return Vec::new() };
    let returns: Vec<Return> = later
        .iter()
        .enumerate()
        .filter_map(|(index, entry)| {
            let moved = entry.likeness.start - answer.likeness.start;
            let voices = (0..strands.count()).filter(|&voice| voice != entry.voice);
            let returns = voices.map(|voice| Return {
                voice,
                against: index + 2,
                right: right(pattern, moved, strands.voice(voice)),
            });
            returns.max_by_key(Return::count).filter(|best| 2 * best.count() >= pattern.len())
        })
        .collect();
    let body = body(pattern.len(), &returns);
    let returned = returns.iter().filter_map(|found| found.appearance(&body));
    let first = heard.start + body.start..heard.start + body.end;
    let mut appearances = vec![Appearance { voice: leader.voice, notes: first, against: 1 }];
    appearances.extend(returned);
    if !later.is_empty() && appearances.len() < 2 { Vec::new() } else { appearances }
}

impl Return {
    fn count(&self) -> usize {
        self.right.iter().flatten().count()
    }

    /// The appearance, if three fifths of the body are there and no more notes stand between them than it has:
    /// more are another line, which meets a few of its notes by chance.
    fn appearance(&self, body: &Range<usize>) -> Option<Appearance> {
        let right = self.right.get(body.clone())?;
        let (first, last) = (right.iter().flatten().next()?, right.iter().flatten().next_back()?);
        let enough = 5 * right.iter().flatten().count() >= 3 * right.len();
        let notes = *first..last + 1;
        let adorned = notes.len() <= 2 * right.len();
        (enough && adorned).then_some(Appearance { voice: self.voice, notes, against: self.against })
    }
}

/// What the leading voice plays from the answer's entry to its end.
fn first_heard(leader: &Found, answer: &Found, theme: &Theme, strands: &Strands) -> Option<Range<usize>> {
    let tones = strands.voice(leader.voice);
    let (from, to) = (answer.likeness.start, answer.likeness.start + theme.span());
    let first = tones.partition_point(|tone| tone.on < from).max(leader.likeness.end);
    let end = tones.partition_point(|tone| tone.on < to);
    (first + 1 < end).then_some(first..end)
}

/// For each note of a pattern the note of a voice at its onset, if it is right: at the most frequent
/// distance or a step beside it.
fn right(pattern: &[Tone], moved: i64, tones: &[Tone]) -> Vec<Option<usize>> {
    let partner = |tone: &Tone| {
        let index = tones.binary_search_by_key(&(tone.on + moved), |other| other.on).ok()?;
        Some((index, tones[index].step - tone.step))
    };
    let partners: Vec<Option<(usize, i32)>> = pattern.iter().map(partner).collect();
    let distances: Vec<i32> = partners.iter().flatten().map(|(_, distance)| *distance).collect();
    let frequency = |one: &&i32| distances.iter().filter(|other| other == one).count();
    let common = distances.iter().max_by_key(frequency).copied().unwrap_or(0);
    let near = |partner: Option<(usize, i32)>| partner.filter(|(_, distance)| (distance - common).abs() <= 1);
    partners.into_iter().map(|partner| near(partner).map(|(index, _)| index)).collect()
}

/// The pattern from the first note to the last that at least half of the returns have.
fn body(notes: usize, returns: &[Return]) -> Range<usize> {
    let kept = |note: &usize| {
        2 * returns.iter().filter(|found| found.right[*note].is_some()).count() >= returns.len()
    };
    let first = (0..notes).find(kept).unwrap_or(0);
    let last = (0..notes).rev().find(kept).unwrap_or(notes.saturating_sub(1));
    first..last + 1
}
