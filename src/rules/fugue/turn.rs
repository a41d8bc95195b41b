//! When a voice missed its turn that has no entry.

use super::companion::Companion;
use super::statement::Statement;
use crate::exposition::{Outline, Role};
use crate::line::Note;
use crate::texture::Texture;

/// The entries of a round in order, and those that are missed put in where they were due.
///
/// Subject and answer take turns, and they do so at distances that come back: from subject to answer
/// one, from answer to subject, where a link may lie between, another (Prout, *Fugue*, §§180, 188). So
/// a voice that has no entry is missed first where a turn is passed over, two subjects or two answers
/// following each other with room for a theme between them; then after the last entry.
pub(super) struct Round<'t, 's> {
    texture: &'t Texture<'s>,
    /// The place of the subject in the bar, in ticks from the bar line.
    offset: i64,
    /// How long the subject is.
    length: i64,
    /// From its first note to its last, on which the next entry can begin.
    stride: i64,
    companion: Option<Companion<'t>>,
    turns: Vec<Turn>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Turn {
    onset: i64,
    end: i64,
    role: Role,
}

/// What follows upon a role.
const fn other(role: Role) -> Role {
    match role {
        Role::Subject => Role::Answer,
        Role::Answer | Role::Countersubject => Role::Subject,
    }
}

impl<'t, 's> Round<'t, 's> {
    pub(super) fn of(texture: &'t Texture<'s>, outline: &Outline, themes: &[Statement<'_>]) -> Self {
        let ticks = |time| texture.grid().ticks(time);
        let notes = outline.subject.line().notes();
        let onset = |note: Option<&Note>| note.map_or(0, |note| ticks(note.onset()));
        let turn = |it: &Statement<'_>| Turn { onset: it.onset, end: it.end, role: it.entry.role };
        Self {
            texture,
            offset: ticks(outline.subject.offset()),
            length: ticks(outline.subject.length()),
            stride: (onset(notes.last()) - onset(notes.first())).max(1),
            companion: Companion::of(texture, themes),
            turns: themes.iter().map(turn).collect(),
        }
    }

    /// When a voice that has no entry missed its turn, if so many such voices are left; the round then
    /// counts it as one of its entries. What the voice does meanwhile tells, if it does so before any entry.
    pub(super) fn miss(&mut self, voice: Option<usize>, left: usize) -> i64 {
        let Some(last) = self.turns.len().checked_sub(1) else { return 0 };
        let before = self.passed_over(left).unwrap_or(last);
        let (turn, onset) = (self.turns[before], self.missed_after(before, voice));
        let missed = Turn { onset, end: onset + turn.end - turn.onset, role: other(turn.role) };
        self.turns.insert(before + 1, missed);
        onset
    }

    /// The entry after which a turn is passed over: two entries of one role follow each other at a
    /// distance nearer to that of two themes than of one; or, if two voices are missed, two of different
    /// roles at one nearer to three. Of several, the first of the widest.
    fn passed_over(&self, left: usize) -> Option<usize> {
        let pairs = self.turns.iter().zip(self.turns.iter().skip(1)).enumerate();
        let gaps = pairs.filter_map(|(index, (one, next))| {
            let (is_alike, width) = (one.role == next.role, next.onset - one.onset);
            let halves = if is_alike { 3 } else { 5 };
            (2 * width >= halves * self.stride && (is_alike || left > 1)).then_some((is_alike, width, index))
        });
        gaps.rev().max_by_key(|(is_alike, width, _)| (*is_alike, *width)).map(|it| it.2)
    }

    /// When a voice missed its turn after an entry: where the countersubject goes alone, at most a link, no longer than
    /// the subject, after it was due; else by what the voice does meanwhile.
    fn missed_after(&self, before: usize, voice: Option<usize>) -> i64 {
        let known = self.due_after(before);
        let due = known.unwrap_or_else(|| self.next_place(self.turns[before].end));
        let ticks = self.turns[before].onset + self.stride / 2 + 1..due + self.length + 1;
        let alone = self.companion.as_ref().and_then(|it| it.theme_within(self.texture, &ticks));
        if let Some(turn) = alone.filter(|&turn| self.fits(before, turn)) {
            return turn;
        }
        let first = voice.and_then(|voice| self.texture.tones(voice).first());
        first.and_then(|first| self.missed_before(before, first.onset, known, due)).unwrap_or(due)
    }

    /// When a voice missed its turn that is first heard later. It comes in about when it was due, or all is over by
    /// then: when it comes in. It goes on soon after the end of a theme in the place that both neighbours tell: there.
    /// It goes on as after a theme that begins where the bar is as at the beginning of the subject: there. There is room
    /// for a theme before the next entry: when it comes in. Else, since the last note of a theme is free: when it was
    /// due, if it goes on soon after that theme, or at the last such place. Otherwise when it was due, or, if nothing
    /// tells when that was, when it comes in.
    fn missed_before(&self, before: usize, onset: i64, known: Option<i64>, due: i64) -> Option<i64> {
        let latest = onset - self.stride;
        let is_lawful = |stated: &i64| {
            let is_one_link_late = stated - due <= self.length;
            *stated < latest && is_one_link_late && self.fits(before, *stated)
        };
        let soon = known.filter(|due| (-self.stride / 8..=self.stride / 2).contains(&(latest - due)));
        let between = soon.filter(|_| before + 1 < self.turns.len());
        let exact = Some(onset - self.length).filter(|&it| self.next_place(it) == it).filter(is_lawful);
        if self.is_in_time(before, onset, due) || self.is_over(due) {
            return exact.filter(|exact| (exact - due).abs() < (onset - due).abs()).or(Some(onset));
        }
        let roomy = Some(onset).filter(|&onset| self.has_room(before, onset));
        let last = Some(self.last_place(latest)).filter(is_lawful);
        let comes_in = Some(onset).filter(|&onset| self.fits(before, onset));
        between.or(exact).or(roomy).or(soon).or(last).or(known).or(comes_in)
    }

    /// Whether a voice comes in about when it was due: less than half a theme early or late; or, where the bar is as at
    /// the beginning of the subject, less than a theme late, or as soon as the last theme has been heard.
    fn is_in_time(&self, before: usize, onset: i64, due: i64) -> bool {
        let late = onset - due;
        let is_place = self.next_place(onset) == onset;
        let is_last = before + 1 == self.turns.len();
        let is_heard = is_place && is_last && onset - self.turns[before].onset >= self.stride;
        let longest = if is_place { 2 * self.stride } else { self.stride };
        (is_heard || -self.stride < 2 * late) && 2 * late < longest
    }

    /// When an entry is due after another: at the distance that such entries have elsewhere in the round,
    /// counted from the one before or from the one after; after the last, once that has ended.
    fn due_after(&self, before: usize) -> Option<i64> {
        let (turn, next) = (self.turns[before], self.turns.get(before + 1));
        let role = other(turn.role);
        let from_before = self.distance(before, turn.role, role).map(|by| turn.onset + by);
        let to_next = next.and_then(|next| Some(next.onset - self.distance(before, role, next.role)?));
        from_before.into_iter().chain(to_next).find(|&due| self.fits(before, due))
    }

    /// Whether a voice that comes in after an entry could have had the theme up to the next: that ends, but for its
    /// last note, before the next begins.
    fn has_room(&self, before: usize, onset: i64) -> bool {
        let next = self.turns.get(before + 1).is_some_and(|next| next.onset - onset >= self.stride);
        next && onset - self.turns[before].onset >= self.stride
    }

    /// Whether an entry can stand after another: at least half a theme away from both its neighbours.
    fn fits(&self, before: usize, onset: i64) -> bool {
        let next = self.turns.get(before + 1).is_none_or(|next| 2 * (next.onset - onset) >= self.stride);
        next && 2 * (onset - self.turns[before].onset) >= self.stride
    }

    /// How long after an entry of a role one of another comes elsewhere in the round: the last time.
    fn distance(&self, gap: usize, from: Role, to: Role) -> Option<i64> {
        let pairs = self.turns.iter().zip(self.turns.iter().skip(1)).enumerate();
        let alike = |(index, (one, next)): &(usize, (&Turn, &Turn))| {
            *index != gap && (one.role, next.role) == (from, to)
        };
        pairs.rev().find(alike).map(|(_, (one, next))| next.onset - one.onset)
    }

    /// The first place from a tick on that weighs like that of the subject.
    fn next_place(&self, from: i64) -> i64 {
        from + (self.place(from) - from).rem_euclid(self.period(from))
    }

    /// The last such place up to a tick.
    fn last_place(&self, to: i64) -> i64 {
        to - (to - self.place(to)).rem_euclid(self.period(to))
    }

    /// The place of the subject in the bar of a tick.
    fn place(&self, tick: i64) -> i64 {
        self.texture.accents().bar_line(tick) + self.offset
    }

    /// From one place to the next: in a bar of an even number of beats there are two.
    fn period(&self, tick: i64) -> i64 {
        let meter = self.texture.score().meters().at(self.texture.time(tick));
        let halves = if meter.pulses().count().is_multiple_of(2) { 2 } else { 1 };
        (self.texture.accents().bar_at(tick) / halves).max(1)
    }

    /// Whether no voice sounds any more.
    fn is_over(&self, tick: i64) -> bool {
        let mut voices = 0..self.texture.voices();
        voices.all(|voice| self.texture.tones(voice).last().is_none_or(|last| last.end <= tick))
    }
}
