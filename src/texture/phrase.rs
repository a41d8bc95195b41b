//! Where phrases end.

use super::{Texture, Tone, Walk};

/// How many voices make a chord to rest on.
const CHORD: usize = 3;

/// How many beats the last chord of a phrase lasts at least.
const BEATS: i64 = 2;

/// How many times as long as what moves around it the chord is at least.
const REPOSE: i64 = 2;

impl Texture<'_> {
    /// Whether a phrase ends on a tick, as the notes themselves show it: all voices that sound, three or
    /// more, come to rest together on a chord of two beats or more and leave it together, and it is at least twice
    /// as long as any pause in their motion from a bar before the tick to a bar after. What begins then follows
    /// nothing: between the lines of a chorale singers breathe, and no ear hears a leap or a progression there.
    ///
    /// A rest upon a single beat is not seen: its notes are those of any other chord. Nor is one where the chords are
    /// long throughout. Source: common practice. Cost: at the first call the sonorities times the voices, after it
    /// logarithmic in the phrases.
    ///
    /// ```
    /// use soggetto::{Score, texture::Texture};
    /// let lines = ["C5:1/4 D5 E5:1/2 G5:1/4 F5", "G4:1/4 G4 G4:1/2 D5:1/4 D5", "E4:1/4 G4 C4:1/2 B4:1/4 A4"];
    /// let score = Score::excerpt("C major", "4/4", &lines)?;
    /// let texture = Texture::of(&score);
    /// let quarter = texture.grid().ticks("1/4".parse()?);
    /// assert!(texture.ends_phrase(4 * quarter) && !texture.ends_phrase(2 * quarter));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn ends_phrase(&self, tick: i64) -> bool {
        self.phrase_ends().binary_search(&tick).is_ok()
    }

    /// All ticks on which a phrase ends, in order.
    pub(super) fn find_phrase_ends(&self) -> Vec<i64> {
        let mut walk = self.walk();
        let ticks = self.sonorities().map(|sonority| sonority.onset());
        ticks.filter(|tick| self.is_end(*tick, &mut walk)).collect()
    }

    fn is_end(&self, tick: i64, walk: &mut Walk<'_>) -> bool {
        let Some(struck) = self.chord_left(tick, walk) else { return false };
        let (accents, length) = (self.accents(), tick - struck);
        length >= BEATS * accents.pulse_at(struck).1
            && self.moves(
                (tick - accents.bar_at(struck)).min(struck - length / REPOSE),
                struck,
                length / REPOSE,
            )
            && self.moves(tick, tick + accents.bar_at(tick), length / REPOSE)
    }

    /// When the chord was complete that all voices leave on a tick; `None` if one holds on, or it is no chord.
    fn chord_left(&self, tick: i64, walk: &mut Walk<'_>) -> Option<i64> {
        let (mut voices, mut struck) = (0, i64::MIN);
        for (_, tone) in (0..self.voices()).filter_map(|voice| walk.sounding(voice, tick - 1)) {
            if tone.end != tick {
                return None;
            }
            (voices, struck) = (voices + 1, struck.max(tone.onset));
        }
        (voices >= CHORD).then_some(struck)
    }

    /// Whether voices begin notes from a tick to a tick, two at least, and never pause longer than so.
    fn moves(&self, from: i64, to: i64, longest: i64) -> bool {
        let within = |tones: &[Tone]| {
            let [start, end] = [from, to + 1].map(|tick| tones.partition_point(|tone| tone.onset < tick));
            tones.get(start..end).unwrap_or(&[]).iter().map(|tone| tone.onset).collect::<Vec<_>>()
        };
        let mut onsets: Vec<i64> = (0..self.voices()).flat_map(|voice| within(self.tones(voice))).collect();
        onsets.sort_unstable();
        onsets.dedup();
        onsets.len() > 1 && onsets.windows(2).all(|pair| pair[1] - pair[0] <= longest)
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

    /// Madrigals declaim in a half note and two quarters: that is their motion, and no rest.
    #[test]
    fn long_chords_that_come_again_end_none() {
        let lines = [
            "C5:1/4 D5 E5:1/2 F5:1/4 E5 E5:1/2",
            "G4:1/4 G4 G4:1/2 A4:1/4 G4 G4:1/2",
            "C4:1/4 B3 C4:1/2 F3:1/4 C4 C4:1/2 ",
        ];
        assert_eq!(ends(&lines), [4]);
        let more = lines.map(|line| format!("{line} C4:1/4 C4 C4:1/2 C4:1"));
        assert!(ends(&more.each_ref().map(String::as_str)).is_empty());
    }

    #[test]
    fn the_end_of_the_music_is_no_end_of_a_phrase_within_it() {
        assert!(ends(&["C5:1/4 D5 E5:1/2", "G4:1/4 G4 G4:1/2", "C4:1/4 B3 C4:1/2"]).is_empty());
    }
}
