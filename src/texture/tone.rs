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
    pub(crate) fn is_repeated_by(self, next: Self) -> bool {
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

/// What a voice does from one of its changes to the next: it sounds a note, or rests before one; and whether
/// it is heard below all others.
///
/// Four bytes hold four times the index of the note, and one more if it sounds, two if it is lowest: of all that is
/// known of a score these are the most, six for each note of four voices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct State(u32);

impl State {
    fn new(note: usize, sounds: bool) -> Self {
        // A line has far fewer notes than would not fit.
        Self(u32::try_from(4 * note + usize::from(sounds)).unwrap_or(u32::MAX - 3))
    }

    /// The same, the lowest that is heard or not.
    pub(super) const fn lowest(self, is_lowest: bool) -> Self {
        Self(self.0 | if is_lowest { 2 } else { 0 })
    }

    /// Whether it was said to be the lowest that is heard.
    pub(super) const fn is_lowest(self) -> bool {
        self.0 & 2 != 0
    }

    /// The index of the note that sounds, or of the next after the rest.
    const fn index(self) -> usize {
        (self.0 / 4) as usize
    }

    /// The index of the note, if one sounds.
    pub(super) const fn note(self) -> Option<usize> {
        if self.0 & 1 != 0 { Some(self.index()) } else { None }
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

/// Walks through the notes of one voice as time goes on, from one change to the next.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cursor<'t> {
    tones: &'t [Tone],
    /// The note that sounds, or the next after the rest.
    note: usize,
    sounds: bool,
    /// When that changes; `i64::MAX` if never.
    change: i64,
}

impl<'t> Cursor<'t> {
    pub(super) fn new(tones: &'t [Tone]) -> Self {
        Self { tones, note: 0, sounds: false, change: 0 }.at(0)
    }

    /// The same before a note of the voice, or with it, if it begins by now.
    fn at(self, now: i64) -> Self {
        let (sounds, change) = match self.tones.get(self.note) {
            Some(tone) if tone.onset <= now => (true, tone.end),
            Some(tone) => (false, tone.onset),
            None => (false, i64::MAX),
        };
        Self { sounds, change, ..self }
    }

    /// The note that sounds.
    pub(super) fn sounding(&self) -> Option<usize> {
        self.sounds.then_some(self.note)
    }

    /// What the voice does.
    pub(super) fn state(&self) -> State {
        State::new(self.note, self.sounds)
    }

    /// When the voice next begins or ends a note; `i64::MAX` if never.
    pub(super) const fn change(&self) -> i64 {
        self.change
    }

    /// Goes on to the time of a change in this voice or another.
    pub(super) fn advance(&mut self, now: i64) {
        if self.change == now {
            *self = Self { note: self.note + usize::from(self.sounds), ..*self }.at(now);
        }
    }
}
