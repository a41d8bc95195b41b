//! A voice that may lead, and how the others follow it.

use super::copy::{Copy, copy};
use super::follower::Follower;
use super::{FEWEST_NOTES, HEAD, UNEXPECTED};
use crate::exposition::Form;
use crate::recognize::MAX_NOTES;
use crate::recognize::habits::{Habits, PER_BIT};
use crate::recognize::strand::{Strands, Tone};
use crate::recognize::theme::Theme;

/// The fewest notes that the leading voice has to itself.
const FEWEST_ALONE: usize = 3;
/// So many of a voice's phrases are tried for the one that takes up the theme. Few voices have more
/// to say before it; each doubles the chance to be deceived, which [`PHRASE`] makes up for.
const PHRASES: usize = 8;
/// How much surer, in bits, a copy must be that does not begin its voice.
const PHRASE: u32 = 8;
/// How much surer a copy in another form must be: there are five of them, and the ear expects none.
const TRANSFORMED: u32 = 8;
/// The fewest moves to another pitch: repeated notes alone are no theme.
const FEWEST_MOVES: usize = 2;
/// A voice with so many times fewer notes than the leader is none: notation split it off another.
const FRAGMENT: usize = 10;

/// Where a voice begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Begin {
    pub(super) onset: i64,
    pub(super) voice: usize,
    /// The index of the first note.
    pub(super) first: usize,
}

impl Begin {
    /// The voices that have notes from a time on, in order of the first of them.
    pub(super) fn all(start: i64, strands: &Strands) -> Vec<Self> {
        let begin = |voice: usize| {
            let first = strands.voice(voice).partition_point(|tone| tone.on < start);
            strands.voice(voice).get(first).map(|tone| Self { onset: tone.on, voice, first })
        };
        let mut all: Vec<Self> = (0..strands.count()).filter_map(begin).collect();
        all.sort_unstable();
        all
    }
}

/// Where in a voice the theme is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// Where it begins, or after a rest.
    Phrase,
    /// Also in the midst of its line.
    Anywhere,
}

/// A voice that may lead.
pub(super) struct Lead<'a> {
    pub(super) begin: Begin,
    /// Its notes.
    pub(super) tones: &'a [Tone],
    themes: Themes,
    all: &'a [Begin],
    strands: &'a Strands,
}

impl<'a> Lead<'a> {
    pub(super) fn of(begin: Begin, all: &'a [Begin], strands: &'a Strands, habits: &Habits) -> Option<Self> {
        let tones = strands.voice(begin.voice).get(begin.first..)?;
        let themes = Themes::of(&tones[..tones.len().min(MAX_NOTES)], habits)?;
        Some(Self { begin, tones, themes, all, strands })
    }

    fn others(&self) -> impl Iterator<Item = &Begin> {
        self.all.iter().filter(|other| other.voice != self.begin.voice)
    }

    /// Whether every voice begins the score, and this one before the others.
    pub(super) fn is_first(&self) -> bool {
        self.all.iter().all(|it| it.first == 0) && self.others().all(|other| other.onset > self.begin.onset)
    }

    /// Whether it has the first notes to itself, so that it has the theme whatever the others begin with.
    pub(super) fn is_alone(&self) -> bool {
        let begins = self.tones.get(FEWEST_ALONE - 1).map_or(i64::MAX, |tone| tone.on);
        self.others().all(|other| other.onset > begins)
    }

    /// How many voices there are, but for fragments.
    pub(super) fn voices(&self) -> usize {
        let is_voice = |it: &&Begin| self.strands.voice(it.voice).len() * FRAGMENT >= self.tones.len();
        self.all.iter().filter(is_voice).count()
    }

    /// The voices that follow, in order of onset.
    pub(super) fn followers(&self, place: Place) -> Vec<Follower> {
        let later = self.others().filter(|other| other.onset > self.begin.onset);
        let follow = |other: &Begin| self.follow(&self.strands.voice(other.voice)[other.first..], place);
        let mut followers: Vec<Follower> = later.filter_map(follow).collect();
        followers.sort_by_key(|follower| follower.onset);
        let head = self.tones.get(FEWEST_NOTES - 1).map_or(0, |tone| tone.on - self.begin.onset);
        let all = followers.clone();
        followers.retain(|one| !all.iter().any(|other| other.drowns(one, head)));
        followers
    }

    /// The first copy of its notes that a later voice makes: where that begins, after a rest, or, if it is sure
    /// there, in the midst of its line, for it may have accompanied the leader. By contrary motion or on a wrong level
    /// it would be twice unexpected there.
    fn follow(&self, tones: &[Tone], place: Place) -> Option<Follower> {
        let mut phrases = 0;
        (0..tones.len().min(MAX_NOTES)).find_map(|first| {
            let begins = first.checked_sub(1).is_none_or(|before| tones[before].off < tones[first].on);
            phrases += usize::from(begins);
            let needed = match (first, begins && phrases <= PHRASES) {
                (0, _) => Needed { bits: 0, notes: FEWEST_NOTES },
                (_, true) => Needed { bits: PHRASE, notes: FEWEST_NOTES },
                _ if place == Place::Anywhere => Needed { bits: UNEXPECTED, notes: HEAD },
                _ => return None,
            };
            let alone = self.tones.partition_point(|tone| tone.on < tones[first].on);
            let copy = || best_copy(&self.themes, alone, &tones[first..], needed);
            let copy = (alone >= FEWEST_ALONE).then(copy).flatten();
            copy.filter(|copy| begins || !copy.is_unusual())
        })
    }
}

/// What the leader plays, in all forms.
struct Themes([(Form, Theme); Form::ALL.len()]);

impl Themes {
    fn of(led: &[Tone], habits: &Habits) -> Option<Self> {
        let theme = Theme::of(led, habits)?;
        Some(Self(Form::ALL.map(|form| (form, theme.in_form(form, habits)))))
    }

    /// The step on which the leading voice begins, and its theme in every form.
    fn first_step(&self) -> Option<i32> {
        Some(self.0.first()?.1.points().first()?.step)
    }
}

/// What a copy must have to be believed.
#[derive(Clone, Copy)]
struct Needed {
    bits: u32,
    notes: usize,
}

/// The surest copy from a note on, in any form; a straight one is believed if it tells half as much as
/// another.
fn best_copy(themes: &Themes, alone: usize, tones: &[Tone], needed: Needed) -> Option<Follower> {
    let onset = tones.first()?.on;
    let begins = tones.first()?.step - themes.first_step()?;
    let copies = themes.0.iter().flat_map(|(form, theme)| {
        let (doubt, bits) =
            if *form == Form::Straight { (1, needed.bits) } else { (2, needed.bits + TRANSFORMED) };
        let starts = [Some(onset), second_start(theme, tones)];
        let copies = starts.into_iter().flatten().filter_map(|start| copy(theme, *form, tones, start));
        let enough = move |copy: &Copy| {
            let notes = copy.notes >= needed.notes && copy.notes >= alone.min(HEAD) / 2;
            let moves = theme.points()[..copy.notes].windows(2).filter(|pair| pair[0].step != pair[1].step);
            notes && moves.count() >= FEWEST_MOVES && copy.bits >= bits * PER_BIT
        };
        copies.filter(enough).map(move |copy| (copy.bits / doubt, *form, copy))
    });
    let (_, form, best) = copies.reduce(|best, next| if next.0 > best.0 { next } else { best })?;
    let Copy { notes: copied, distance, altered, broken, goes_on, flawed, bits } = best;
    let contrary = form.is_inverted();
    Some(Follower { onset, begins, distance, altered, contrary, copied, broken, goes_on, flawed, bits })
}

/// When the theme begins if the second note is on time.
fn second_start(theme: &Theme, tones: &[Tone]) -> Option<i64> {
    Some(tones.get(1)?.on - theme.points().get(1)?.at)
}
