//! How a line goes on: over rests that do not break it, and over notes struck again.

use super::accent::Accents;
use super::turn::Turn;
use super::{Texture, Tone};
use crate::pitch::Pitch;

/// How many notes before and after one are looked at for the length of a note struck again and again.
const REPEATED: usize = 16;

/// A voice as it is heard beside another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Thread<'t> {
    accents: &'t Accents,
    tones: &'t [Tone],
    other: &'t [Tone],
}

impl<'t> Thread<'t> {
    pub(super) fn new(texture: &'t Texture<'t>, voice: usize, other: usize) -> Self {
        Self { accents: texture.accents(), tones: texture.tones(voice), other: texture.tones(other) }
    }

    pub(super) const fn tones(&self) -> &'t [Tone] {
        self.tones
    }

    /// Whether a note that ends on a tick waits for what begins on another: that comes at once, or after a rest no
    /// longer than a beat, as in detached playing; or both voices rest, so that nothing drives the two notes from
    /// the ear, for no more than a bar (the general pause, the aposiopesis of Burmeister, *Musica poetica*, from
    /// memory; chords struck and left: common practice).
    pub(super) fn waits(&self, end: i64, onset: i64) -> bool {
        let is_shared = || {
            let beat = self.accents.pulse_at(end).1;
            onset - end <= self.accents.bar_at(end) && self.heard_beside(end, onset) <= beat
        };
        self.accents.follows(end, onset) || is_shared()
    }

    /// For how long the other voice sounds between two ticks.
    fn heard_beside(&self, from: i64, to: i64) -> i64 {
        let first = self.other.partition_point(|tone| tone.end <= from);
        let within = self.other[first..].iter().take_while(|tone| tone.onset < to);
        within.map(|tone| tone.end.min(to) - tone.onset.max(from)).sum()
    }

    /// The note after one, if that waits for it.
    fn next(&self, index: usize) -> Option<usize> {
        let (tone, after) = (self.tones.get(index)?, self.tones.get(index.checked_add(1)?)?);
        self.waits(tone.end, after.onset).then_some(index + 1)
    }

    /// The note before one, at most a rest of a beat apart: after a longer one the line begins anew.
    fn before(&self, index: usize) -> Option<usize> {
        let before = index.checked_sub(1)?;
        let (tone, it) = (self.tones.get(before)?, self.tones.get(index)?);
        self.accents.follows(tone.end, it.onset).then_some(before)
    }

    /// The last of the notes that strike the next one again.
    fn next_other(&self, index: usize) -> Option<usize> {
        let repeats = |index: &usize| {
            let next = self.next(*index)?;
            (self.tones[next].pitch == self.tones[*index].pitch).then_some(next)
        };
        std::iter::successors(self.next(index), repeats).take(REPEATED).last()
    }

    /// The turn of a note that is struck again from `first` to `last`. Of what comes after, a note struck again and
    /// again counts once: it lasts, and what it leads to comes no later for the repetition.
    pub(super) fn turn(&self, first: usize, last: usize) -> Turn {
        let before = self.before(first);
        let earlier = before.and_then(|before| self.before(before));
        let mut goes = Some(last);
        let after = [(); 4].map(|()| {
            goes = goes.and_then(|index| self.next_other(index));
            goes
        });
        let pitch = |index: Option<usize>| -> Option<Pitch> { Some(self.tones.get(index?)?.pitch) };
        Turn {
            before: [pitch(before), pitch(earlier)],
            here: self.tones[first].pitch,
            after: after.map(pitch),
        }
    }

    /// Whether a note, struck again from `first` to `last` and perhaps before and after, lasts longer than a
    /// time.
    pub(super) fn is_longer(&self, first: usize, last: usize, time: i64) -> bool {
        let repeats = |pair: &[Tone]| pair[0].is_repeated_by(pair[1]);
        let back = self.tones[first.saturating_sub(REPEATED)..=first].windows(2).rev();
        let forth = self.tones[last..self.tones.len().min(last + REPEATED + 1)].windows(2);
        let first = first - back.take_while(|pair| repeats(pair)).count();
        let last = last + forth.take_while(|pair| repeats(pair)).count();
        self.tones[last].end - self.tones[first].onset > time
    }
}

#[cfg(test)]
mod tests {
    use crate::texture::trial::names;

    // Common practice in detached playing.
    #[test]
    fn note_may_resolve_after_a_rest_of_a_beat() {
        let bass = "B3:1/4 R B3 A3:5/4";
        assert_eq!(names("4/4", &["G4:1/4 R F4 R E4:1", bass])[0], "1/2 F4 resolving tritone");
        assert_eq!(names("4/4", &["G4:1/4 R F4 R:1/2 E4:3/4", bass])[0], "1/2 F4 unexplained dissonance");
    }

    // Burmeister, *Musica poetica*, from memory: the aposiopesis, all voices being silent at once.
    #[test]
    fn note_may_resolve_after_a_rest_that_both_voices_share() {
        let lines = |rest| [format!("A4:1/2 F4:1/4 {rest} E4:1"), format!("C4:1/2 B3:1/4 {rest} C4:1")];
        let found = |rest| {
            let lines = lines(rest);
            names("4/4", &lines.each_ref().map(String::as_str)).pop().unwrap()
        };
        assert_eq!(found("R:1"), "1/2 F4 resolving tritone");
        assert_eq!(found("R:5/4"), "1/2 F4 unexplained dissonance");
    }

    // Common practice: a sigh breaks the line for the eye only.
    #[test]
    fn rest_shorter_than_a_beat_does_not_break_the_line() {
        assert_eq!(names("4/4", &["E5:1/4 R:1/8 D5 C5:1/2", "C4:1"]), ["3/8 D5 passing note"]);
    }

    #[test]
    fn rest_longer_than_a_beat_breaks_the_line() {
        assert_eq!(
            names("4/4", &["E5:1/4 R:3/8 D5:1/8 C5:1/4", "C4:1"]),
            ["5/8 D5 incomplete neighbour note"]
        );
        assert_eq!(names("4/4", &["E5:3/8 R:1/4 D5:1/8 C5:1/4", "C4:1"]), ["5/8 D5 passing note"]);
    }

    #[test]
    fn note_may_resolve_when_the_other_voice_has_ended() {
        assert_eq!(names("4/4", &["R:1/2 C5:1 B4:1/2", "E4:1 D4:1/4 R:3/4"]), ["1 C5 suspension"]);
        let light = ["B4:1/8 F#4 G4:1/4 B4:1/2", "G3:1/4 R:3/4"];
        assert_eq!(names("4/4", &light), ["1/8 F#4 incomplete neighbour note"]);
    }
}
