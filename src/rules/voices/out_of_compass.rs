//! Notes that a voice cannot reach.

use crate::pitch::Pitch;
use crate::rules::passages::{Span, passages, span, times};
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Texture, Tone};
use crate::voice::Compass;

#[doc = include_str!("out_of_compass.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct OutOfCompass;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("out-of-compass"),
    severity: Severity::Fault,
    summary: "a note lies beyond the compass of its voice",
    page: include_str!("out_of_compass.md"),
    source: Source::CommonPractice,
};

/// An end of a compass.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    Lowest,
    Highest,
}

impl End {
    const ALL: [Self; 2] = [Self::Lowest, Self::Highest];

    const fn side(self) -> &'static str {
        match self {
            Self::Lowest => "below",
            Self::Highest => "above",
        }
    }

    const fn limit(self, compass: Compass) -> Pitch {
        match self {
            Self::Lowest => compass.lowest(),
            Self::Highest => compass.highest(),
        }
    }

    /// By how many semitones a pitch lies beyond this end.
    fn beyond(self, compass: Compass, pitch: Pitch) -> i32 {
        let above = pitch.height() - self.limit(compass).height();
        if self == Self::Lowest { -above } else { above }
    }
}

/// A note beyond an end of the compass.
struct Stray<'t> {
    note: usize,
    tone: &'t Tone,
    beyond: i32,
}

impl Span for Stray<'_> {
    fn onset(&self) -> i64 {
        self.tone.onset
    }

    fn end(&self) -> i64 {
        self.tone.end
    }
}

fn strays(tones: &[Tone], end: End, compass: Compass) -> Vec<Stray<'_>> {
    let notes = tones.iter().enumerate();
    let all = notes.map(|(note, tone)| Stray { note, tone, beyond: end.beyond(compass, tone.pitch) });
    all.filter(|stray| stray.beyond > 0).collect()
}

/// The passages beyond each end of the compass of a voice.
fn passages_of<'t>(texture: &'t Texture<'_>, voice: usize) -> impl Iterator<Item = (End, Vec<Stray<'t>>)> {
    let compass = texture.score().parts().get(voice).and_then(|part| part.voice.reach());
    let ends =
        End::ALL.into_iter().filter_map(move |end| Some((end, strays(texture.tones(voice), end, compass?))));
    ends.flat_map(|(end, strays)| {
        passages(strays, |tick| texture.accents().bar_at(tick)).into_iter().map(move |passage| (end, passage))
    })
}

impl Rule for OutOfCompass {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        let voices = 0..texture.voices();
        let all = voices.flat_map(|voice| passages_of(texture, voice)).map(|(_, passage)| span(&passage));
        Reach::Near(all.collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for (voice, part) in texture.score().parts().iter().enumerate() {
            let Some(compass) = part.voice.reach() else { continue };
            for (end, passage) in passages_of(texture, voice) {
                report_passage(texture, voice, (end, compass), &passage, report);
            }
        }
    }
}

/// Tells of a passage by its farthest note; one step lighter if the name of the part alone tells its compass.
fn report_passage(
    texture: &Texture<'_>,
    voice: usize,
    (end, compass): (End, Compass),
    strays: &[Stray<'_>],
    report: &mut Report<'_>,
) {
    let farthest = strays.iter().rev().max_by_key(|stray| stray.beyond);
    let (Some(first), Some(farthest)) = (strays.first(), farthest) else { return };
    let spot = Spot::new(first.onset(), strays.iter().map(|stray| (voice, stray.note)).collect());
    let (name, side, times) = (texture.name(voice), end.side(), times(strays.len()));
    let message = format_args!("{name} goes {side} its compass {compass}{times}");
    let evidence = Evidence::Limit { pitch: farthest.tone.pitch, limit: end.limit(compass) };
    let is_given = texture.score().parts().get(voice).is_some_and(|part| part.voice.compass().is_some());
    if is_given {
        report.add(spot, message, evidence);
    } else {
        report.add_lighter(spot, message, evidence);
    }
}

#[cfg(test)]
mod tests {
    use super::OutOfCompass;
    use crate::rules::trial::found;
    use crate::score::{Part, Score};
    use crate::texture::Texture;
    use crate::time::Time;
    use crate::voice::Voice;

    #[test]
    fn finds_notes_above_and_below() {
        assert_eq!(
            found(&OutOfCompass, "4/4", &["C5:1/2 Bb5", "F3:1/2 G3"]),
            [
                "bar 1, beat 1: Fault [(1, 0)] alto goes below its compass G3-E5",
                "bar 1, beat 3: Fault [(0, 1)] soprano goes above its compass C4-A5"
            ]
        );
    }

    /// A fugue for the keyboard names its voices, too, and nobody sings them.
    #[test]
    fn finds_notes_beyond_what_the_name_implies_one_step_lighter() {
        let line = "C6:1/2 F6".parse().unwrap();
        let part = Part { voice: Voice::new("Soprano"), line };
        let key = "C major".parse().unwrap();
        let score = Score::new(key, "4/4".parse().unwrap(), Time::ZERO, vec![part]).unwrap();
        let marks = Texture::of(&score).marks(&OutOfCompass);
        let marks: Vec<String> =
            marks.iter().map(|mark| format!("{} {}", mark.severity, mark.message)).collect();
        assert_eq!(marks, ["Caution Soprano goes above its compass C4-E6"]);
    }

    #[test]
    fn finds_notes_in_close_succession_once() {
        assert_eq!(
            found(&OutOfCompass, "4/4", &["Bb5:1/4 A5 C6 A5 A5:1 A5:1 Bb5:1"]),
            [
                "bar 1, beat 1: Fault [(0, 0), (0, 2)] soprano goes above its compass C4-A5, twice in close succession",
                "bar 4, beat 1: Fault [(0, 6)] soprano goes above its compass C4-A5"
            ]
        );
    }

    #[test]
    fn allows_the_outermost_notes_however_spelled() {
        assert!(
            found(&OutOfCompass, "4/4", &["C4:1/2 A5", "Fx3:1/2 Fb5".replace("Fx", "F##").as_str()])
                .is_empty()
        );
    }

    #[test]
    fn allows_all_notes_to_a_voice_of_unknown_compass() {
        assert!(found(&OutOfCompass, "4/4", &["C5:1", "C5:1", "C4:1", "C3:1", "C0:1"]).is_empty());
    }
}
