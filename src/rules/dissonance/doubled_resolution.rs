//! Resolutions that sound against their suspensions.

use super::{evidence, names};
use crate::interval::Interval;
use crate::pitch::{Pitch, PitchClass};
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Dissonance, Figure, Texture, Walk};

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

/// The note to which a suspension falls, within its next notes.
fn resolution(texture: &Texture<'_>, (voice, note): (usize, usize)) -> Option<PitchClass> {
    const ORNAMENT: usize = 4;
    let tones = texture.tones(voice);
    let held = tones.get(note)?.pitch;
    let after = tones.get(note + 1..)?.iter().take(ORNAMENT);
    let mut below = after.filter(|tone| (tone.pitch - held).steps() == -1);
    below.next().map(|tone| tone.pitch.class())
}

/// The voice other than the lowest that holds the note of resolution through the whole dissonance. Where the lowest
/// has that note too it is the root under a ninth, and may be doubled a ninth or more below it (common practice).
fn doubling(texture: &Texture<'_>, dissonance: &Dissonance, walk: &mut Walk<'_>) -> Option<(usize, usize)> {
    let resolution = resolution(texture, dissonance.note)?;
    let sounding = (0..texture.voices()).filter_map(|voice| {
        let (note, tone) = walk.sounding(voice, dissonance.onset)?;
        Some((voice, note, tone))
    });
    let sounding: Vec<_> = sounding.collect();
    let (lowest, _, bass) =
        sounding.iter().min_by_key(|(voice, _, tone)| (tone.pitch.height(), std::cmp::Reverse(*voice)))?;
    let held = texture.tones(dissonance.note.0).get(dissonance.note.1)?.pitch;
    let doubles_root =
        |pitch: Pitch| bass.pitch.class() == resolution && (held - pitch).steps() > Interval::OCTAVE.steps();
    let doubles = |(voice, _, tone): &&(usize, usize, &crate::texture::Tone)| {
        voice != lowest
            && *voice != dissonance.note.0
            && tone.pitch.class() == resolution
            && !doubles_root(tone.pitch)
            && tone.end >= dissonance.end
    };
    sounding.iter().find(doubles).map(|(voice, note, _)| (*voice, *note))
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
        let mut walk = texture.walk();
        for dissonance in texture.dissonances().iter().filter(is_suspension) {
            let Some(double) =
                doubling(texture, dissonance, &mut walk).filter(|it| *it == dissonance.against)
            else {
                continue;
            };
            let [voice, other] = names(texture, dissonance);
            let Some(evidence) = evidence(texture, dissonance) else { continue };
            let message = format_args!("{other} sounds the resolution against the suspension in {voice}");
            report.add(Spot::new(dissonance.onset, vec![dissonance.note, double]), message, evidence);
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

    // Common practice: the root, doubled at the octave, a ninth and more below the suspended note.
    #[test]
    fn allows_a_root_doubled_a_ninth_below() {
        let ninth = |alto: &str| ["R:1/2 D5:1 C5:1/2", alto, "G3:1 C3:1"].map(str::to_owned);
        let marks = |alto| {
            let lines = ninth(alto);
            found(&DoubledResolution, "4/4", &lines.each_ref().map(String::as_str)).len()
        };
        assert_eq!([marks("B3:1 C4:1"), marks("B4:1 C5:1")], [0, 1]);
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
