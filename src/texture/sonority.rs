//! Sonorities: what sounds together from one change to the next.

use super::Texture;
use super::tone::{Cursor, NOTHING, compact};
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
            *note = compact(cursor.sounding());
            end = end.min(cursor.change());
        }
        if end == i64::MAX {
            return None;
        }
        self.now = end;
        self.cursors.iter_mut().for_each(|cursor| cursor.advance(end));
        Some(Sonority { texture: self.texture, onset, end, notes })
    }
}

#[cfg(test)]
mod tests {
    use crate::score::Score;
    use crate::texture::Texture;

    #[test]
    fn sonorities_change_where_a_voice_begins_or_ends_a_note() {
        let score = Score::excerpt("C major", "4/4", &["C5:1/2 R:1/4 D5:1/4", "R:1/4 E4:3/4"]).unwrap();
        let texture = Texture::of(&score);
        let rows: Vec<String> = texture
            .sonorities()
            .map(|it| {
                let notes: Vec<String> = it
                    .sounding()
                    .map(|(voice, _, pitch)| {
                        format!("{pitch}{}", if it.is_attacked(voice) { "!" } else { "" })
                    })
                    .collect();
                format!("{}-{} {} {:?}", it.onset(), it.end(), notes.join(" "), it.lowest())
            })
            .collect();
        assert_eq!(rows, ["0-2 C5! Some(0)", "2-4 C5 E4! Some(1)", "4-6 E4 Some(1)", "6-8 D5! E4 Some(1)"]);
    }

    #[test]
    fn lowest_goes_by_sounding_height_and_of_two_alike_is_the_lower_part() {
        let lowest = |lines: &[&str]| {
            let score = Score::excerpt("C major", "4/4", lines).unwrap();
            Texture::of(&score).sonorities().next().and_then(|it| it.lowest())
        };
        assert_eq!(lowest(&["B#3:1", "C4:1"]), Some(1));
        assert_eq!(lowest(&["Cb4:1", "B#3:1"]), Some(0));
        assert_eq!(lowest(&["R:1"]), None);
    }

    #[test]
    fn silence_between_is_a_sonority_and_silence_after_is_none() {
        let score = Score::excerpt("C major", "4/4", &["C5:1/4 R C5 R"]).unwrap();
        assert_eq!(Texture::of(&score).sonorities().count(), 3);
    }
}
