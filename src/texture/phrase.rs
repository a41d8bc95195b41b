//! Where phrases end.

use super::{Texture, Tone};

/// How many voices make a chord to rest on.
const CHORD: usize = 3;

/// How many beats the last chord of a phrase lasts at least.
const BEATS: i64 = 2;

/// How many times as long as what moves before and after it the chord is at least.
const REPOSE: i64 = 2;

impl Texture<'_> {
    /// Whether a phrase ends on a tick, as the notes themselves show it: all voices that sound, three or
    /// more, come to rest together on a chord of two beats or more, which is at least twice as long as what moves
    /// before and after it, and leave it together. What begins then follows nothing: between the lines of a
    /// chorale singers breathe, and no ear hears a leap or a progression there.
    ///
    /// A rest upon a single beat is not seen: its notes are those of any other chord. Source: common practice.
    /// Cost: logarithmic in the notes, for each voice.
    ///
    /// ```
    /// use soggetto::{Score, texture::Texture};
    /// let lines = ["C5:1/4 D5 E5:1/2 | G5:1/4", "G4:1/4 G4 G4:1/2 | D5:1/4", "E4:1/4 G4 C4:1/2 | B4:1/4"];
    /// let score = Score::excerpt("C major", "4/4", &lines)?;
    /// let texture = Texture::of(&score);
    /// assert!(texture.ends_phrase(4) && !texture.ends_phrase(2));
    /// # Ok::<(), soggetto::Error>(())
    /// ```
    pub fn ends_phrase(&self, tick: i64) -> bool {
        let Some(struck) = self.chord_left(tick) else { return false };
        let length = tick - struck;
        let is_calm = |from: i64, to: i64| (to - from) * REPOSE > length;
        length >= BEATS * self.accents().pulse_at(struck).1
            && self.last_before(struck).is_some_and(|before| !is_calm(before, struck))
            && self.first_after(tick).is_some_and(|after| !is_calm(tick, after))
    }

    /// When the chord was complete that all voices leave on a tick; `None` if one holds on, or it is no chord.
    fn chord_left(&self, tick: i64) -> Option<i64> {
        let (mut voices, mut struck) = (0, i64::MIN);
        for tone in (0..self.voices()).filter_map(|voice| self.sounding(voice, tick - 1)) {
            if tone.end != tick {
                return None;
            }
            (voices, struck) = (voices + 1, struck.max(tone.onset));
        }
        (voices >= CHORD).then_some(struck)
    }

    /// The last tick before another on which a voice begins a note.
    fn last_before(&self, tick: i64) -> Option<i64> {
        let last =
            |tones: &[Tone]| tones[..tones.partition_point(|it| it.onset < tick)].last().map(|it| it.onset);
        (0..self.voices()).filter_map(|voice| last(self.tones(voice))).max()
    }

    /// The first tick after another on which a voice begins a note.
    fn first_after(&self, tick: i64) -> Option<i64> {
        let first =
            |tones: &[Tone]| tones.get(tones.partition_point(|it| it.onset <= tick)).map(|it| it.onset);
        (0..self.voices()).filter_map(|voice| first(self.tones(voice))).min()
    }
}

#[cfg(test)]
mod tests {
    use crate::score::Score;
    use crate::texture::Texture;

    /// The ends of phrases, in quarter notes.
    fn ends(lines: &[&str]) -> Vec<i64> {
        let score = Score::excerpt("C major", "4/4", lines).unwrap();
        let texture = Texture::of(&score);
        let quarter = texture.grid().ticks("1/4".parse().unwrap());
        (0..20).filter(|beat| texture.ends_phrase(beat * quarter)).collect()
    }

    #[test]
    fn all_voices_that_rest_on_a_long_chord_end_a_phrase() {
        let lines =
            ["C5:1/4 D5 E5:1/2 F5:1/4 E5", "G4:1/4 G4 G4:1/2 A4:1/4 G4", "C4:1/4 B3 C4:1/2 F3:1/4 C4"];
        assert_eq!(ends(&lines), [4]);
        let ornate = ["C5:1/4 D5 E5:1/2 F5:1/4 E5", "G4:1/2 A4:1/8 G4:3/8 A4:1/4 G4", lines[2]];
        assert!(ends(&ornate).is_empty());
        let suspended =
            ["C5:1/4 D5 E5:3/4 F5:1/4 E5", "G4:1/2 F4:1/4 E4:1/2 A4:1/4 G4", "C4:1/4 B3 C4:3/4 F3:1/4 C4"];
        assert_eq!(ends(&suspended), [5]);
    }

    #[test]
    fn a_voice_that_holds_on_or_equal_notes_end_none() {
        let held = ["C5:1/4 D5 E5:1/2 F5:1/4 E5", "G4:1/4 G4 G4:1 A4:1/4", "C4:1/4 B3 C4:1/2 F3:1/4 C4"];
        assert!(ends(&held).is_empty());
        assert!(ends(&["C5:1/2 D5 E5 F5", "G4:1/2 G4 G4 A4", "C4:1/2 B3 C4 F3"]).is_empty());
        assert!(ends(&["C5:1/4 D5 E5:1/2 F5:1/4 E5", "C4:1/4 B3 C4:1/2 F3:1/4 C4"]).is_empty());
    }

    #[test]
    fn the_end_of_the_music_is_no_end_of_a_phrase_within_it() {
        assert!(ends(&["C5:1/4 D5 E5:1/2", "G4:1/4 G4 G4:1/2", "C4:1/4 B3 C4:1/2"]).is_empty());
    }
}
