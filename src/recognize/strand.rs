//! The notes of all voices as whole numbers: ticks of one grid and steps of the staff.

use crate::score::Score;
use crate::time::Grid;

/// A note of a voice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Tone {
    /// Ticks from the beginning.
    pub(super) on: i64,
    /// When it ends.
    pub(super) off: i64,
    /// Its step on the staff.
    pub(super) step: i32,
}

/// The voices of a score in ticks.
#[derive(Debug)]
pub(super) struct Strands {
    pub(super) grid: Grid,
    voices: Vec<Vec<Tone>>,
}

impl Strands {
    /// The voices of a score. It cannot fail: a score guarantees its grid.
    pub(super) fn of(score: &Score) -> Self {
        let grid = score.grid().unwrap_or(Grid::WHOLE);
        let tone = |note: &crate::line::Note| Tone {
            on: grid.ticks(note.onset()),
            off: grid.ticks(note.end()),
            step: note.pitch().staff_step(),
        };
        let voices = score.parts().iter().map(|part| part.line.notes().iter().map(tone).collect()).collect();
        Self { grid, voices }
    }

    /// How many voices there are.
    pub(super) fn count(&self) -> usize {
        self.voices.len()
    }

    /// The notes of a voice.
    pub(super) fn voice(&self, voice: usize) -> &[Tone] {
        self.voices.get(voice).map_or(&[], Vec::as_slice)
    }

    /// When a voice is first heard.
    pub(super) fn opening(&self, voice: usize) -> Option<i64> {
        self.voice(voice).first().map(|tone| tone.on)
    }

    /// How many notes there are in all.
    pub(super) fn notes(&self) -> usize {
        self.voices.iter().map(Vec::len).sum()
    }
}
