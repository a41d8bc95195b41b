//! Which voice is heard as the bass.

use super::Texture;
use super::sonority::Sonority;
use std::cmp::Reverse;

/// From when on which voice is heard lowest; `u8::MAX` in silence, or where another lies lower on paper.
#[derive(Clone, Copy, Debug)]
pub(super) struct BassSpan {
    pub(super) onset: i64,
    pub(super) voice: u8,
}

/// How many voices that are sung make a choir.
pub(super) const CHOIR: usize = 3;

/// The semitones of an octave.
const OCTAVE: i32 = 12;

/// How high a voice lies; of two on one pitch the lower part is the bass.
type Height = (i32, Reverse<usize>);

impl Texture<'_> {
    /// The voice that is heard lowest, wherever it changes. Cost: the sonorities times the voices.
    ///
    /// A note is heard on through a rest of no more than a beat before the next (detached playing: common practice).
    /// The lowest part of a choir is heard an octave deeper, for instruments of sixteen feet go with it: a tenor that
    /// dips below it does not become the bass (C. P. E. Bach, preface to the chorales of 1765, from memory).
    pub(super) fn find_bass(&self) -> Vec<BassSpan> {
        let (mut bass, mut last): (Vec<BassSpan>, _) = (Vec::new(), vec![None; self.voices()]);
        let deepened = self.lowest_of_choir();
        for sonority in self.sonorities() {
            let lowest = self.lowest_heard(&sonority, &mut last, deepened);
            let voice = lowest.and_then(|voice| u8::try_from(voice).ok()).unwrap_or(u8::MAX);
            if bass.last().is_none_or(|last| last.voice != voice) {
                bass.push(BassSpan { onset: sonority.onset(), voice });
            }
        }
        bass
    }

    /// The lowest part of a choir, if there is one.
    fn lowest_of_choir(&self) -> Option<usize> {
        let sung = || self.score().parts().iter().enumerate().filter(|(_, part)| part.voice.is_sung());
        sung().next_back().map(|it| it.0).filter(|_| sung().count() >= CHOIR)
    }

    /// The voice that is heard lowest, on paper and an octave deeper, if it is one and the same. Remembers the last
    /// note of each voice.
    fn lowest_heard(
        &self,
        sonority: &Sonority<'_>,
        last: &mut [Option<usize>],
        deepened: Option<usize>,
    ) -> Option<usize> {
        const SILENCE: Height = (i32::MAX, Reverse(usize::MAX));
        let [mut lowest, mut deepest] = [SILENCE; 2];
        for (voice, last) in last.iter_mut().enumerate() {
            let Some(height) = self.heard_height(sonority, voice, last) else { continue };
            let depth = if deepened == Some(voice) { OCTAVE } else { 0 };
            lowest = lowest.min((height, Reverse(voice)));
            deepest = deepest.min((height - depth, Reverse(voice)));
        }
        Some(lowest.1.0).filter(|&voice| lowest != SILENCE && deepest.1.0 == voice)
    }

    /// How high the note lies that is heard in a voice: one that sounds, or that is heard on.
    fn heard_height(&self, sonority: &Sonority<'_>, voice: usize, last: &mut Option<usize>) -> Option<i32> {
        let sounding = sonority.note(voice);
        *last = sounding.or(*last);
        let note = (*last).filter(|&note| sounding.is_some() || self.is_heard_on(voice, note))?;
        self.tones(voice).get(note).map(|tone| tone.pitch.height())
    }

    /// Whether a note is heard on through the rest after it.
    fn is_heard_on(&self, voice: usize, note: usize) -> bool {
        let tones = self.tones(voice);
        let two = tones.get(note).zip(tones.get(note + 1));
        two.is_some_and(|(it, next)| self.accents().follows(it.end, next.onset))
    }
}

#[cfg(test)]
mod tests {
    use crate::texture::trial::names;

    // Common practice in detached playing: C is heard on, and G with the C above it is no six-four.
    #[test]
    fn bass_is_heard_on_through_a_rest_of_a_beat() {
        let found = |bass| names("4/4", &["E5:1/4 C5:1/4 E5:1/2", "G4:1/2 C5:1/2", bass]);
        assert!(found("C4:1/4 R:1/4 C4:1/2").is_empty());
        assert_eq!(found("C4:1/4 R:3/4"), ["1/4 C5 unexplained dissonance"]);
    }

    // C. P. E. Bach, preface to the chorales of 1765, from memory: the tenor crosses the bass of a choir.
    #[test]
    fn tenor_below_the_bass_of_a_choir_is_not_its_bass() {
        let tenor = "C4:1/4 F3:1/4 Bb3:1/2";
        let choir = ["A4:1/4 D5 D5:1/2", "E4:1/4 D4 D4:1/2", tenor, "A3:1/4 Bb3 G3:1/2"];
        assert!(names("4/4", &choir).is_empty());
        // Two voices are no choir: there the fourth is one.
        assert_eq!(names("4/4", &choir[2..]).len(), 1);
    }
}
