//! Notes in ticks, and a cursor that walks through a voice.

use crate::line::Line;
use crate::pitch::Pitch;
use crate::time::Grid;

/// A note of a voice, its times in whole ticks of the score's [`Grid`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tone {
    /// The pitch.
    pub pitch: Pitch,
    /// The tick on which it begins.
    pub onset: i64,
    /// The tick on which it ends.
    pub end: i64,
}

impl Tone {
    /// How long it lasts, in ticks.
    pub const fn duration(self) -> i64 {
        self.end - self.onset
    }

    /// Whether another note strikes it again as it ends.
    pub(super) fn is_repeated_by(self, next: Self) -> bool {
        self.end == next.onset && self.pitch == next.pitch
    }
}

/// No note: the voice rests.
pub(super) const NOTHING: u32 = u32::MAX;

/// The index of a note in four bytes: a line has at most [`crate::line::MAX_NOTES`].
pub(super) fn compact(note: Option<usize>) -> u32 {
    note.and_then(|index| u32::try_from(index).ok()).unwrap_or(NOTHING)
}

/// The notes of a line in ticks.
pub(super) fn tones(line: &Line, grid: Grid) -> Vec<Tone> {
    let tone = |note: &crate::line::Note| {
        let onset = grid.ticks(note.onset());
        Tone { pitch: note.pitch(), onset, end: onset + grid.ticks(note.duration()) }
    };
    line.notes().iter().map(tone).collect()
}

/// What a voice does from one of its changes to the next: it sounds a note, or rests before one.
///
/// Four bytes hold twice the index of the note, and one more if it sounds: of all that is known of a
/// score these are the most, six for each note of four voices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct State(u32);

impl State {
    fn new(note: usize, sounds: bool) -> Self {
        // A line has far fewer notes than would not fit.
        Self(u32::try_from(2 * note + usize::from(sounds)).unwrap_or(u32::MAX - 1))
    }

    /// The index of the note that sounds, or of the next after the rest.
    const fn index(self) -> usize {
        (self.0 / 2) as usize
    }

    /// The index of the note, if one sounds.
    pub(super) const fn note(self) -> Option<usize> {
        if self.0 % 2 == 1 { Some(self.index()) } else { None }
    }

    /// The note among those of its voice, if one sounds.
    pub(super) fn tone(self, tones: &[Tone]) -> Option<&Tone> {
        tones.get(self.note()?)
    }

    /// When it begins.
    pub(super) fn onset(self, tones: &[Tone]) -> i64 {
        match self.tone(tones) {
            Some(tone) => tone.onset,
            None => self.index().checked_sub(1).and_then(|before| tones.get(before)).map_or(0, |it| it.end),
        }
    }

    /// When it ends; `i64::MAX` if never.
    pub(super) fn end(self, tones: &[Tone]) -> i64 {
        let next = tones.get(self.index());
        next.map_or(i64::MAX, |next| if self.note().is_some() { next.end } else { next.onset })
    }
}

/// Walks through the notes of one voice as time goes on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cursor<'t> {
    tones: &'t [Tone],
    /// The first note that has not ended.
    next: usize,
}

impl<'t> Cursor<'t> {
    pub(super) const fn new(tones: &'t [Tone]) -> Self {
        Self { tones, next: 0 }
    }

    /// The note that sounds now.
    pub(super) fn sounding(&self, now: i64) -> Option<usize> {
        self.tones.get(self.next).filter(|tone| tone.onset <= now).map(|_| self.next)
    }

    /// What the voice does now.
    pub(super) fn state(&self, now: i64) -> State {
        State::new(self.next, self.sounding(now).is_some())
    }

    /// When the voice next begins or ends a note; `i64::MAX` if never.
    pub(super) fn change(&self, now: i64) -> i64 {
        match self.tones.get(self.next) {
            Some(tone) if tone.onset > now => tone.onset,
            Some(tone) => tone.end,
            None => i64::MAX,
        }
    }

    /// Goes on to the time of a change.
    pub(super) fn advance(&mut self, now: i64) {
        if self.tones.get(self.next).is_some_and(|tone| tone.end <= now) {
            self.next += 1;
        }
    }
}
