//! Leading notes that do not rise.

use super::stride::{Stride, strides};
use crate::key::Key;
use crate::meter::Strength;
use crate::pitch::{Pitch, PitchClass};
use crate::rules::local::Local;
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::scale::Degree;
use crate::source::Source;
use crate::texture::{Texture, Tone};
use crate::time::Time;

#[doc = include_str!("hanging_leading_note.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct HangingLeadingNote;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("hanging-leading-note"),
    severity: Severity::Caution,
    summary: "the leading note does not rise as the bass goes from dominant to tonic",
    page: include_str!("hanging_leading_note.md"),
    source: Source::Memory("handbooks of harmony"),
};

/// The degrees of a cadence.
struct Cadence {
    leading: PitchClass,
    tonic: PitchClass,
    dominant: PitchClass,
}

impl Cadence {
    fn of(key: Key) -> Option<Self> {
        let dominant = key.class(Degree::DOMINANT).ok()?;
        Some(Self { leading: key.leading_note().ok()?, tonic: key.tonic(), dominant })
    }

    /// Whether the voices come on a beat to notes of the tonic chord, be its third minor or major, or hold
    /// what they had: with the submediant it is another chord, and no cadence.
    fn arrives(&self, texture: &Texture<'_>, stride: &Stride<'_>) -> bool {
        let tick = stride.to.onset;
        let mut sounding = (0..texture.voices()).filter_map(|voice| texture.sounding(voice, tick));
        let is_in_chord = |note: PitchClass| {
            let up = self.tonic.up_to(note);
            matches!((up.steps(), up.semitones()), (0, 0) | (2, 3 | 4) | (4, 7))
        };
        let belongs = |tone: &Tone| tone.onset < tick || is_in_chord(tone.pitch.class());
        texture.strength(tick) >= Strength::Pulse && sounding.all(belongs)
    }

    /// Since when the lowest part that sounds has stood on the dominant, if it goes on to the tonic as the stride is
    /// made.
    fn is_made(&self, texture: &Texture<'_>, stride: &Stride<'_>) -> Option<i64> {
        let tick = stride.to.onset;
        let sounds = |voice: &usize| texture.sounding(*voice, tick).is_some();
        let bass = (stride.voice + 1..texture.voices()).rev().find(sounds)?;
        let reached = texture.sounding(bass, tick)?.pitch.class();
        self.since(texture, bass, tick).filter(|_| reached == self.tonic)
    }

    /// Since when a voice has stood on the dominant, in whatever octave, that it leaves on a tick.
    fn since(&self, texture: &Texture<'_>, voice: usize, tick: i64) -> Option<i64> {
        let tones = texture.tones(voice);
        let left = tones.partition_point(|tone| tone.end < tick) + 1;
        let stands = |tone: &&Tone| tone.pitch.class() == self.dominant;
        tones.get(..left)?.iter().rev().take_while(stands).last().map(|tone| tone.onset)
    }

    /// Whether another voice has the leading note too, and takes it up to the tonic.
    fn is_shared(&self, texture: &Texture<'_>, stride: &Stride<'_>) -> bool {
        let others = (0..texture.voices()).filter(|voice| *voice != stride.voice);
        let tick = stride.to.onset;
        let mut ways =
            others.filter_map(|voice| texture.sounding(voice, tick - 1).zip(texture.sounding(voice, tick)));
        ways.any(|(from, to)| from.pitch.class() == self.leading && self.resolves(from.pitch, to.pitch))
    }

    /// Whether a voice goes from the leading note to the tonic: up a step, or down to it an octave lower.
    fn resolves(&self, from: Pitch, to: Pitch) -> bool {
        to.class() == self.tonic && matches!((to - from).steps(), 1 | -6)
    }

    /// Whether the stride leaves the leading note as it may: to the tonic, held, or, under another
    /// voice, down to the dominant.
    fn is_right(&self, texture: &Texture<'_>, stride: &Stride<'_>) -> bool {
        let to = stride.to.pitch.class();
        let falls = to == self.dominant && stride.interval().steps() == -2;
        self.resolves(stride.from.pitch, stride.to.pitch)
            || (falls && is_covered(texture, stride))
            || to == self.leading
    }
}

/// How long a dominant that begins on a tick stands at least to make a cadence: a beat, or a quarter note. A quaver
/// on its way is no harmony that the ear waits to be resolved.
fn stand(texture: &Texture<'_>, tick: i64) -> i64 {
    let quarter = Time::new(1, 4).map_or(1, |time| texture.grid().ticks(time));
    texture.accents().pulse_at(tick).1.min(quarter)
}

/// Whether another voice sounds above the note that is reached, wherever it stands in the score.
fn is_covered(texture: &Texture<'_>, stride: &Stride<'_>) -> bool {
    let others = (0..texture.voices()).filter(|voice| *voice != stride.voice);
    let mut sounding = others.filter_map(|voice| texture.sounding(voice, stride.to.onset));
    sounding.any(|tone| tone.pitch.height() > stride.to.pitch.height())
}

impl Rule for HangingLeadingNote {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(cadences) = Local::of(texture, Cadence::of) else { return };
        for stride in strides(texture).filter(|it| !texture.is_companion(it.voice)) {
            let cadence = cadences.at(stride.from.onset);
            if stride.from.pitch.class() != cadence.leading || cadence.is_right(texture, &stride) {
                continue;
            }
            let made = cadence.is_made(texture, &stride).filter(|_| cadence.arrives(texture, &stride));
            let (Some(since), voice) = (made, texture.name(stride.voice)) else { continue };
            let relief = if stride.to.onset - since < stand(texture, since) {
                "over a passing dominant"
            } else if cadence.is_shared(texture, &stride) {
                "at the cadence, where another voice resolves it"
            } else {
                let message = format_args!("{voice} leaves the leading note hanging at the cadence");
                report.add(stride.spot(), message, stride.evidence());
                continue;
            };
            let message = format_args!("{voice} leaves the leading note hanging {relief}");
            report.add_lighter(stride.spot(), message, stride.evidence());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::HangingLeadingNote;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found, found_by_name, found_in, found_in_fugue};

    #[test]
    fn finds_leading_note_that_leaps_away_over_the_cadence() {
        assert_eq!(
            found(&HangingLeadingNote, "4/4", &["B4:1/2 E5", "G3:1/2 C3"]),
            [
                "bar 1, beat 3: Caution [(0, 0), (0, 1)] soprano leaves the leading note hanging at the cadence"
            ]
        );
        let minor = found_in(&HangingLeadingNote, "A minor", "4/4", &["G#4:1/2 E4", "E3:1/2 A3"]);
        assert_eq!(minor.len(), 1);
    }

    #[test]
    fn finds_the_leading_note_of_the_answer_while_it_sounds() {
        let lines = ["R:1 A4:1/4 F#4 B4 G4", "C4:1/4 D4 E4 C4 D4:1/2 G3", "R:1 D3:1/2 G3"];
        assert!(found(&HangingLeadingNote, "4/4", &lines).is_empty());
        assert_eq!(
            found_in_fugue(&HangingLeadingNote, &lines, &[(Subject, 1, 0..4), (Answer, 0, 0..4)]),
            [
                "bar 2, beat 3: Caution [(0, 1), (0, 2)] soprano leaves the leading note hanging at the cadence"
            ]
        );
    }

    #[test]
    fn allows_rising_to_the_tonic() {
        assert!(found(&HangingLeadingNote, "4/4", &["B4:1/2 C5", "G3:1/2 C3"]).is_empty());
    }

    /// A sequence in thirds and sixths runs past B over G.
    #[test]
    fn finds_a_dominant_in_passing_as_a_lighter_matter() {
        let running = ["D4:1/8 C4 F4 B4 E5 D5", "B3:1/8 A3 D4 G3 C4 B3"];
        let told = "soprano leaves the leading note hanging over a passing dominant";
        assert_eq!(
            found(&HangingLeadingNote, "4/4", &running),
            [format!("bar 1, beat 3: Remark [(0, 3), (0, 4)] {told}")]
        );
        let standing = ["D4:1/8 C4 B4:1/4 E5:1/8 D5", "B3:1/8 A3 G3:1/4 C4:1/8 B3"];
        assert!(found(&HangingLeadingNote, "4/4", &standing)[0].contains("Caution"));
    }

    /// In a tutti in unison the violins fall a seventh.
    #[test]
    fn allows_the_tonic_an_octave_lower() {
        assert!(found(&HangingLeadingNote, "4/4", &["B4:1/2 C4", "G3:1/2 C3"]).is_empty());
        assert_eq!(found(&HangingLeadingNote, "4/4", &["B4:1/2 C6", "G3:1/2 C3"]).len(), 1);
    }

    /// Of two altos one has the third of the chord.
    #[test]
    fn finds_a_leading_note_that_another_voice_resolves_as_a_lighter_matter() {
        let shared = ["D5:1/2 G5", "B4:1/2 E5", "B3:1/2 C4", "G3:1/2 C3"];
        let end = "alto leaves the leading note hanging at the cadence, where another voice resolves it";
        let marks = found(&HangingLeadingNote, "4/4", &shared);
        assert!(marks.len() == 1 && marks[0].contains("Remark") && marks[0].ends_with(end), "{marks:?}");
        let alone = ["D5:1/2 G5", "B4:1/2 E5", "D4:1/2 C4", "G3:1/2 C3"];
        assert!(found(&HangingLeadingNote, "4/4", &alone)[0].contains("Caution"));
    }

    /// The third oboe fills the chord of a chorale, as the sopranos rise.
    #[test]
    fn allows_an_instrument_that_goes_with_a_choir_to_fill_the_chord() {
        let choir = [("Soprano", "D5:1/2 G5"), ("Alto", "G4:1/2 G4"), ("Bass", "G3:1/2 C3")];
        let oboe = ("Oboe", "B4:1/2 E5");
        assert!(found_by_name(&HangingLeadingNote, &[&[oboe], &choir[..]].concat()).is_empty());
        assert_eq!(found_by_name(&HangingLeadingNote, &[choir[0], oboe, choir[2]]).len(), 1);
    }

    /// A chorale's half close, and the upbeat of the next line.
    #[test]
    fn allows_a_phrase_to_end_on_the_dominant() {
        let lines = |soprano: &'static str| {
            [
                soprano,
                "G4:1/4 G4 D4:1/2 G4:1/4 F4",
                "E4:1/4 C4 G4:1/2 C4:1/4 D4",
                "C3:1/4 E3 G3:1/2 C3:1/4 D3",
            ]
        };
        assert!(found(&HangingLeadingNote, "4/4", &lines("C5:1/4 C5 B4:1/2 E5:1/4 D5")).is_empty());
        assert_eq!(found(&HangingLeadingNote, "4/4", &lines("C5:1/4 C5 D5 B4 E5 D5")).len(), 1);
    }

    #[test]
    fn allows_an_inner_voice_to_fall_to_the_dominant() {
        let lines = ["D5:1/2 C5", "B4:1/2 G4", "G3:1/2 C3"];
        assert!(found(&HangingLeadingNote, "4/4", &lines).is_empty());
        let crossed = ["B4:1/2 G4", "D5:1/2 C5", "G3:1/2 C3"];
        assert!(found(&HangingLeadingNote, "4/4", &crossed).is_empty());
        let uncovered = ["R:1", "B4:1/2 G4", "G3:1/2 C3"];
        assert_eq!(found(&HangingLeadingNote, "4/4", &uncovered).len(), 1);
    }

    #[test]
    fn allows_the_seventh_degree_away_from_the_cadence() {
        assert!(found(&HangingLeadingNote, "4/4", &["B4:1/2 G4", "E3:1/2 E3"]).is_empty());
    }

    /// Quavers that run over a bass from G to C, and the chord of A minor over C, are no cadence.
    #[test]
    fn allows_what_is_no_cadence() {
        let leaping = ["C5:1/4 B4 G4 A4", "C4:1/4 G3 C4 D4"];
        assert_eq!(found(&HangingLeadingNote, "4/4", &leaping).len(), 1);
        let in_octaves = ["C5:1/4 B4 G4 A4", "C4:1/4 G3:1/8 G2 C3:1/4 D3"];
        assert_eq!(found(&HangingLeadingNote, "4/4", &in_octaves).len(), 1);
        let passing = ["B4:1/8 A4 G4 F4", "G3:1/8 C4 C4 D4"];
        assert!(found(&HangingLeadingNote, "4/4", &passing).is_empty());
        let submediant = ["B4:1/2 A4", "G4:1/2 A4", "D4:1/2 E4", "G3:1/2 C3"];
        assert!(found(&HangingLeadingNote, "4/4", &submediant).is_empty());
        let alone = ["B4:1/2 A4", "G4:1/2 G4", "D4:1/2 E4", "G3:1/2 C3"];
        assert!(found(&HangingLeadingNote, "4/4", &alone).is_empty());
    }
}
