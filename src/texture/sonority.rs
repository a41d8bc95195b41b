//! Sonorities: what sounds together from one change to the next.

use super::tone::Cursor;
use super::{NOTHING, Texture};
use crate::ensemble::MAX_VOICES;
use crate::pitch::Pitch;

/// What sounds between two changes anywhere in the score.
#[derive(Clone, Copy, Debug)]
pub struct Sonority<'t> {
    texture: &'t Texture<'t>,
    onset: i64,
    end: i64,
    notes: [u32; MAX_VOICES],
}

impl Sonority<'_> {
    /// The tick on which it begins.
    pub const fn onset(&self) -> i64 {
        self.onset
    }

    /// The tick on which it ends.
    pub const fn end(&self) -> i64 {
        self.end
    }

    /// The index of the note that sounds in a voice.
    pub fn note(&self, voice: usize) -> Option<usize> {
        self.notes.get(voice).filter(|&&note| note != NOTHING).map(|&note| note as usize)
    }

    /// The pitch that sounds in a voice.
    pub fn pitch(&self, voice: usize) -> Option<Pitch> {
        self.texture.tones(voice).get(self.note(voice)?).map(|tone| tone.pitch)
    }

    /// Whether a voice begins a note with it.
    pub fn is_attacked(&self, voice: usize) -> bool {
        let note = self.note(voice).and_then(|note| self.texture.tones(voice).get(note));
        note.is_some_and(|tone| tone.onset == self.onset)
    }

    /// The voices that sound, each with its note and pitch, the top part first.
    pub fn sounding(&self) -> impl Iterator<Item = (usize, usize, Pitch)> + '_ {
        let voices = 0..self.texture.voices();
        voices.filter_map(|voice| Some((voice, self.note(voice)?, self.pitch(voice)?)))
    }

    /// The voice that sounds lowest; of two on one pitch the lower part.
    pub fn lowest(&self) -> Option<usize> {
        self.sounding()
            .map(|(voice, _, pitch)| (pitch.height(), std::cmp::Reverse(voice)))
            .min()
            .map(|it| it.1.0)
    }
}

/// Walks through the sonorities of a texture; see [`Texture::sonorities`].
#[derive(Clone, Debug)]
pub struct Sonorities<'t> {
    texture: &'t Texture<'t>,
    cursors: Vec<Cursor<'t>>,
    now: i64,
}

impl<'t> Sonorities<'t> {
    pub(super) fn of(texture: &'t Texture<'t>) -> Self {
        let cursors = (0..texture.voices()).map(|voice| Cursor::new(texture.tones(voice))).collect();
        Self { texture, cursors, now: 0 }
    }
}

impl<'t> Iterator for Sonorities<'t> {
    type Item = Sonority<'t>;

    fn next(&mut self) -> Option<Self::Item> {
        let (onset, mut end) = (self.now, i64::MAX);
        let mut notes = [NOTHING; MAX_VOICES];
        for (cursor, note) in self.cursors.iter().zip(&mut notes) {
            *note = cursor.sounding(onset).map_or(NOTHING, |index| index as u32);
            end = end.min(cursor.change(onset));
        }
        if end == i64::MAX {
            return None;
        }
        self.now = end;
        self.cursors.iter_mut().for_each(|cursor| cursor.advance(end));
        Some(Sonority { texture: self.texture, onset, end, notes })
    }
}
