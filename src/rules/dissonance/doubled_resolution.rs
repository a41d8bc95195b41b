//! Resolutions that sound against their suspensions.

use super::{evidence, names};
use crate::interval::Interval;
use crate::pitch::{Pitch, PitchClass};
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Dissonance, Figure, HeardChord, Texture, Tone, is_melodic_step};

#[doc = include_str!("doubled_resolution.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct DoubledResolution;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("doubled-resolution"),
    severity: Severity::Caution,
    summary: "another voice sounds the note of resolution against a suspension",
    page: include_str!("doubled_resolution.md"),
    source: Source::Memory("handbooks of harmony"),
};

/// A suspended note, to what it falls, and the note against it.
struct Suspended<'t> {
    texture: &'t Texture<'t>,
    held: &'t Tone,
    /// When it is left, however often it was struck again.
    left: i64,
    resolution: &'t Tone,
    /// The voice of the other note, the note before it, the note itself, the note after it.
    other: (usize, [Option<&'t Tone>; 3]),
}

impl<'t> Suspended<'t> {
    fn of(texture: &'t Texture<'t>, it: &Dissonance) -> Option<Self> {
        /// Within how many notes a suspension resolves.
        const ORNAMENT: usize = 4;
        let (voice, note) = it.note;
        let held = texture.tones(voice).get(note)?;
        let after = texture.tones(voice).get(note + 1..)?;
        let repeated = after.iter().take_while(|tone| tone.pitch == held.pitch).count();
        let resolution =
            after[repeated..].iter().take(ORNAMENT).find(|tone| (tone.pitch - held.pitch).steps() == -1)?;
        let left = repeated.checked_sub(1).map_or(held.end, |last| after[last].end);
        let at = |note: Option<usize>| texture.tones(it.against.0).get(note?);
        let against = it.against.1;
        let notes = [at(against.checked_sub(1)), at(Some(against)), at(Some(against + 1))];
        Some(Self { texture, held, left, resolution, other: (it.against.0, notes) })
    }

    /// Whether the other note is that of the resolution, and is there until the suspended note is left.
    fn is_doubled(&self) -> bool {
        let [_, note, _] = self.other.1;
        note.is_some_and(|it| it.pitch.class() == self.resolution.pitch.class() && it.end >= self.left)
    }

    /// Whether the other note goes by step through the dissonance as the suspended one falls.
    fn is_passing(&self) -> bool {
        let [before, note, after] = self.other.1;
        let turn = before.zip(note).zip(after).filter(|it| it.0.1.end == self.left);
        turn.is_some_and(|((before, here), after)| {
            let [one, other] = [here.pitch - before.pitch, after.pitch - here.pitch];
            is_melodic_step(one) && is_melodic_step(other) && one.steps() == other.steps()
        })
    }

    /// What sounds on a tick, the lowest first.
    fn heard(&self, tick: i64) -> Vec<(usize, Pitch)> {
        let voices = 0..self.texture.voices();
        let mut heard: Vec<_> =
            voices.filter_map(|voice| Some((voice, self.texture.sounding(voice, tick)?.pitch))).collect();
        heard.sort_by_key(|(voice, pitch)| (pitch.height(), std::cmp::Reverse(*voice)));
        heard
    }

    /// The root of the chord that holds two notes on a tick.
    fn root(&self, tick: i64, two: [PitchClass; 2]) -> Option<PitchClass> {
        let heard: Vec<PitchClass> = self.heard(tick).iter().map(|(_, pitch)| pitch.class()).collect();
        HeardChord::of(&heard, two).map(HeardChord::root)
    }

    /// Whether it is no suspension but the root of a chord against its seventh, the third sounding.
    fn is_root(&self, onset: i64) -> bool {
        let (held, seventh) = (self.held.pitch.class(), self.resolution.pitch.class());
        self.root(onset, [held, seventh]) == Some(held)
    }

    /// Whether the other note may be doubled: the lowest, or the root on which the suspension comes to rest, a ninth
    /// or more below it.
    fn is_ninth(&self, onset: i64) -> bool {
        let (voice, [_, note, _]) = self.other;
        let root = self.resolution.pitch.class();
        let is_deep = note.is_some_and(|it| (self.held.pitch - it.pitch).steps() > Interval::OCTAVE.steps());
        self.heard(onset).first().is_some_and(|lowest| lowest.0 == voice)
            || (is_deep && self.root(self.resolution.onset, [root; 2]) == Some(root))
    }

    fn is_wrong(&self, onset: i64) -> bool {
        self.is_doubled() && !self.is_passing() && !self.is_root(onset) && !self.is_ninth(onset)
    }
}

impl Rule for DoubledResolution {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let is_suspension = |it: &&Dissonance| it.is_on_beat() && matches!(it.figure, Figure::Suspension(_));
        let is_wrong =
            |it: &&Dissonance| Suspended::of(texture, it).is_some_and(|that| that.is_wrong(it.onset));
        for dissonance in texture.dissonances().iter().filter(is_suspension).filter(is_wrong) {
            let [voice, other] = names(texture, dissonance);
            let Some(evidence) = evidence(texture, dissonance) else { continue };
            let message = format_args!("{other} sounds the resolution against the suspension in {voice}");
            report.add(dissonance, message, evidence);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DoubledResolution;
    use crate::rules::trial::found;

    #[test]
    fn finds_the_third_against_a_suspended_fourth() {
        assert_eq!(
            found(&DoubledResolution, "4/4", &["R:1/2 C5:1 B4:1/2", "C4:1 B3:1", "E3:1 G3:1"]),
            ["bar 2, beat 1: Caution [(0, 0), (1, 1)] \
                 alto sounds the resolution against the suspension in soprano"]
        );
    }

    #[test]
    fn allows_the_ninth_over_its_root() {
        assert!(
            found(&DoubledResolution, "4/4", &["R:1/2 D5:1 C5:1/2", "D4:1 G4:1", "G3:1 C3:1"]).is_empty()
        );
    }

    // Fux, *Gradus*, fourth species, from memory: the ninth falls to the octave. The third is not doubled so.
    #[test]
    fn allows_a_root_doubled_a_ninth_below() {
        let marks = |alto, bass| {
            found(&DoubledResolution, "4/4", &["R:1/2 D5:1 C5:1/2", alto, "G4:1 E4:1", bass]).len()
        };
        assert_eq!(marks("B3:1 C4:1", "G3:1 G3:1"), 0);
        assert_eq!(marks("B4:1 C5:1", "G3:1 G3:1"), 1);
        assert_eq!(marks("B3:1 C4:1", "F3:1 A3:1"), 1);
    }

    // Common practice: G is the root of the seventh F, though it moves on to it.
    #[test]
    fn allows_the_seventh_over_its_root() {
        let lines = |third| ["D5:1/2 F5 E5:1/2", third, "R:1/4 G4:1/2 F4:1/4 G4:1/2"];
        assert!(found(&DoubledResolution, "4/4", &lines("B3:1 C4:1/2")).is_empty());
    }

    // Common practice: the tenor passes through C while D is held.
    #[test]
    fn allows_a_note_that_passes() {
        let lines = |tenor| ["R:1/4 D5:1/2 C5:1/4", tenor, "F3:1/2 A3"];
        assert!(found(&DoubledResolution, "4/4", &lines("B3:1/2 C4:1/4 D4")).is_empty());
        assert_eq!(found(&DoubledResolution, "4/4", &lines("B3:1/2 C4:1/4 C4")).len(), 1);
    }

    #[test]
    fn allows_other_notes_and_a_passing_touch() {
        assert!(
            found(&DoubledResolution, "4/4", &["R:1/2 C5:1 B4:1/2", "C4:1 D4:1", "E3:1 G3:1"]).is_empty()
        );
        let touched = ["R:1/2 C5:1 B4:1/2", "C4:1 B3:1/8 C4 D4:3/4", "E3:1 G3:1"];
        assert!(found(&DoubledResolution, "4/4", &touched).is_empty());
    }
}
