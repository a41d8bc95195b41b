//! What must be heard again after a change: the music near by, and all of it for the rules that look all over
//! the piece.

use super::candidate::Subject;
use crate::rules::{Finding, NEAR_NOTES, Reach, Rule, RuleBook, Severity};
use crate::texture::{Texture, Tone};
use crate::time::Time;
use std::ops::Range;

/// How many bars may be judged as one near by: a rule that judges more of them there looks over as much as the
/// piece, and all others need not hear that much because of it.
const LONGEST: i64 = 8;

/// A rule, and the weight that a book gives to its findings.
pub(super) type Weighed<'a> = (&'a dyn Rule, Severity);

/// The rules of a book, and how far each looks in a piece.
pub(super) struct Scope<'a> {
    texture: &'a Texture<'a>,
    pub(super) rules: Vec<Weighed<'a>>,
    reaches: Vec<Reach>,
}

/// A rule that is asked after a change, by its place in the book, and from when to when it may find something else
/// than before; `None` if that is anywhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Asked {
    pub(super) rule: usize,
    pub(super) within: Option<Range<Time>>,
}

/// The rules that are asked after a change, and what they must hear. What looks at entries alone is not asked: it
/// finds what it has found unless one of them changes.
#[derive(Debug, Default)]
pub(super) struct Questions {
    /// Those that look at what is near by, and in which bars all of that is.
    pub(super) near: Vec<Asked>,
    pub(super) bars: Range<i64>,
    /// Those that look all over the piece, or over so much of it here.
    pub(super) far: Vec<Asked>,
    /// Both, where a change is first tried: those that look near by are asked for what is near alone.
    pub(super) tried: Vec<Asked>,
}

impl<'a> Scope<'a> {
    /// The rules of a book in a piece.
    pub(super) fn of(texture: &'a Texture<'a>, book: &'a RuleBook) -> Self {
        let rules: Vec<Weighed<'_>> = book.rules().collect();
        let reaches = rules.iter().map(|(rule, _)| rule.reach(texture)).collect();
        Self { texture, rules, reaches }
    }

    /// The rule of a finding.
    pub(super) fn rule(&self, finding: &Finding) -> Option<&'a dyn Rule> {
        self.rules.iter().map(|(rule, _)| *rule).find(|rule| rule.info().id == finding.rule)
    }

    /// Every rule, wherever it finds something.
    pub(super) fn everything(&self) -> Vec<Asked> {
        (0..self.rules.len()).map(|rule| Asked { rule, within: None }).collect()
    }

    /// Whether a stretch lasts for more than so many bars.
    fn lasts(&self, it: &Range<i64>, bars: i64) -> bool {
        it.end - it.start > bars * self.texture.accents().bar_at(it.start)
    }

    /// Whether what a finding is about is judged as one with music before or after some notes.
    pub(super) fn lasts_beyond(&self, notes: &[Subject], finding: &Finding) -> bool {
        let grid = self.texture.grid();
        let now = grid.ticks(finding.place.onset);
        let first = notes.iter().map(|it| grid.ticks(it.note.onset())).min().unwrap_or(now);
        let last = notes.iter().map(|it| grid.ticks(it.note.end())).max().unwrap_or(now);
        let own =
            self.rules.iter().zip(&self.reaches).filter(|((rule, _), _)| rule.info().id == finding.rule);
        let mut joined = own.flat_map(|(_, reach)| stretches(reach)).filter(|it| it.contains(&now));
        joined.any(|it| it.start < first || last < it.end)
    }

    /// What is asked if notes change in a stretch of ticks.
    pub(super) fn questions(&self, changed: Range<i64>) -> Questions {
        let judged = self.near(changed);
        let (mut around, mut questions) = (judged.clone(), Questions::default());
        for (rule, reach) in self.reaches.iter().enumerate() {
            let over = |it: &&Range<i64>| it.start < judged.end && judged.start < it.end;
            let joined = || stretches(reach).iter().filter(over);
            match reach {
                Reach::Entries => {}
                Reach::Near(_) if !joined().any(|it| self.lasts(it, LONGEST)) => {
                    // Shorter ones than a bar are near by as a whole.
                    around = united(around, joined().filter(|it| self.lasts(it, 1)));
                    let within = united(judged.clone(), joined());
                    let within = self.texture.time(within.start)..self.texture.time(within.end);
                    questions.near.push(Asked { rule, within: None });
                    questions.tried.push(Asked { rule, within: Some(within) });
                }
                Reach::Near(_) | Reach::Piece => {
                    questions.far.push(Asked { rule, within: None });
                    questions.tried.push(Asked { rule, within: None });
                }
            }
        }
        let ticks = self.near(around);
        questions.bars = self.texture.place(ticks.start).bar..self.texture.place(ticks.end).bar;
        questions
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

/// What a rule that looks near by judges as one.
fn stretches(reach: &Reach) -> &[Range<i64>] {
    match reach {
        Reach::Near(stretches) => stretches,
        Reach::Entries | Reach::Piece => &[],
    }
}

/// A stretch with others, and what is between.
fn united<'r>(one: Range<i64>, others: impl Iterator<Item = &'r Range<i64>>) -> Range<i64> {
    others.fold(one, |all, it| all.start.min(it.start)..all.end.max(it.end))
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
