//! What must be heard again after a change: the music near by, and all of it for the rules that look all over
//! the piece.

use super::candidate::Subject;
use crate::rules::{Finding, NEAR_NOTES, Reach, Rule, RuleBook, RuleId, Severity};
use crate::texture::{Texture, Tone};
use std::ops::Range;

/// How many bars may be judged as one near by: a rule that judges longer ones looks over as much as the piece, and
/// all others need not hear that much because of it.
const LONGEST: i64 = 8;

/// A rule, and the weight that a book gives to its findings.
pub(super) type Weighed<'a> = (&'a dyn Rule, Severity);

/// The rules of a book, by how far they look in a piece.
pub(super) struct Scope<'a> {
    texture: &'a Texture<'a>,
    pub(super) all: Vec<Weighed<'a>>,
    /// Those that look at what is near by, and those that look all over the piece. What looks at entries alone
    /// is in neither: it finds what it has found unless one of them changes.
    pub(super) near: Vec<Weighed<'a>>,
    pub(super) far: Vec<Weighed<'a>>,
    /// What is judged as one by which rule.
    joined: Vec<(RuleId, Range<i64>)>,
    /// The same if it lasts longer than a bar: shorter ones are near by as a whole.
    stretches: Vec<Range<i64>>,
}

impl<'a> Scope<'a> {
    /// The rules of a book in a piece.
    pub(super) fn of(texture: &'a Texture<'a>, book: &'a RuleBook) -> Self {
        let all: Vec<Weighed<'_>> = book.rules().collect();
        let (mut near, mut far) = (Vec::new(), Vec::new());
        let (mut joined, mut stretches) = (Vec::new(), Vec::new());
        let lasts =
            |it: &Range<i64>, bars: i64| it.end - it.start > bars * texture.accents().bar_at(it.start);
        for &(rule, severity) in &all {
            match rule.reach(texture) {
                Reach::Entries => {}
                Reach::Piece => far.push((rule, severity)),
                Reach::Near(own) => {
                    if own.iter().any(|it| lasts(it, LONGEST)) {
                        far.push((rule, severity));
                    } else {
                        near.push((rule, severity));
                        stretches.extend(own.iter().filter(|it| lasts(it, 1)).cloned());
                    }
                    joined.extend(own.into_iter().map(|it| (rule.info().id, it)));
                }
            }
        }
        Self { texture, all, near, far, joined, stretches }
    }

    /// Whether what a finding is about is judged as one with music before or after some notes.
    pub(super) fn lasts_beyond(&self, notes: &[Subject], finding: &Finding) -> bool {
        let grid = self.texture.grid();
        let now = grid.ticks(finding.place.onset);
        let first = notes.iter().map(|it| grid.ticks(it.note.onset())).min().unwrap_or(now);
        let last = notes.iter().map(|it| grid.ticks(it.note.end())).max().unwrap_or(now);
        let mut own = self.joined.iter().filter(|(rule, it)| *rule == finding.rule && it.contains(&now));
        own.any(|(_, it)| it.start < first || last < it.end)
    }

    /// What the rules that look near by must hear if notes change in a stretch of ticks: what is near all
    /// that they may judge anew.
    pub(super) fn around(&self, changed: Range<i64>) -> Range<i64> {
        let judged = self.near(changed);
        let joined = self.stretches.iter().filter(|it| it.start < judged.end && judged.start < it.end);
        self.near(joined.fold(judged.clone(), |all, it| all.start.min(it.start)..all.end.max(it.end)))
    }

    /// What is near a stretch of ticks, in whole bars: see [`Reach`].
    fn near(&self, stretch: Range<i64>) -> Range<i64> {
        let accents = self.texture.accents();
        let bar = accents.bar_at(stretch.start);
        let (mut from, mut to) = (accents.bar_line(stretch.start) - 1, accents.bar_line(stretch.end - 1));
        to += 2 * accents.bar_at(to) - 1;
        for voice in 0..self.texture.voices() {
            let tones = self.texture.tones(voice);
            from = from.min(before(tones, stretch.start, bar));
            to = to.max(after(tones, stretch.end, bar));
        }
        let last = accents.bar_line(to);
        accents.bar_line(from.max(0)).max(0)..last + accents.bar_at(last)
    }
}

/// When the first of the notes begins that are near before a tick; if a rest parts them from those before,
/// a bar of it.
fn before(tones: &[Tone], tick: i64, bar: i64) -> i64 {
    let sounding = tones.partition_point(|tone| tone.end <= tick);
    let mut first = tones.get(sounding).map_or(tick, |tone| tone.onset.min(tick));
    for tone in tones[..sounding].iter().rev().take(NEAR_NOTES) {
        if first - tone.end > bar {
            return first - bar;
        }
        first = tone.onset;
    }
    first
}

/// When the last of the notes ends that are near after a tick; if a rest parts them from those after, a bar
/// of it.
fn after(tones: &[Tone], tick: i64, bar: i64) -> i64 {
    let begun = tones.partition_point(|tone| tone.onset < tick);
    let mut last = begun.checked_sub(1).map_or(tick, |sounding| tones[sounding].end.max(tick));
    for tone in tones[begun..].iter().take(NEAR_NOTES) {
        if tone.onset - last > bar {
            return last + bar;
        }
        last = tone.end;
    }
    last
}
