//! Notes that a voice cannot reach.

use crate::pitch::Pitch;
use crate::rules::passages::times;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
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

/// Notes of a voice beyond one end of its compass, in close succession: their indices, and the
/// farthest of them.
struct Excursion {
    side: &'static str,
    limit: Pitch,
    notes: Vec<usize>,
    farthest: Pitch,
    end: i64,
}

/// On which side of a compass a pitch lies, and the limit there; `None` if within.
fn side(compass: Compass, pitch: Pitch) -> Option<(&'static str, Pitch)> {
    let below = pitch.height() < compass.lowest().height();
    let (side, limit) = if below { ("below", compass.lowest()) } else { ("above", compass.highest()) };
    (!compass.contains(pitch)).then_some((side, limit))
}

/// The excursions of a voice; notes less than so many ticks apart, by the meter of the latter, are one.
fn excursions(compass: Compass, tones: &[Tone], within: impl Fn(i64) -> i64) -> Vec<Excursion> {
    let mut found: Vec<Excursion> = Vec::new();
    for (index, tone) in tones.iter().enumerate() {
        let Some((side, limit)) = side(compass, tone.pitch) else { continue };
        let last = found.last_mut().filter(|it| it.side == side && tone.onset - it.end < within(tone.onset));
        if let Some(last) = last {
            last.notes.push(index);
            last.end = tone.end;
            let beyond = |pitch: Pitch| (pitch.height() - limit.height()).abs();
            if beyond(tone.pitch) > beyond(last.farthest) {
                last.farthest = tone.pitch;
            }
        } else {
            found.push(Excursion { side, limit, notes: vec![index], farthest: tone.pitch, end: tone.end });
        }
    }
    found
}

impl Rule for OutOfCompass {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let bar = |tick| texture.accents().bar_at(tick);
        for (voice, part) in texture.score().parts().iter().enumerate() {
            let Some(compass) = part.voice.reach() else { continue };
            let (name, tones) = (texture.name(voice), texture.tones(voice));
            for Excursion { side, limit, notes, farthest, .. } in excursions(compass, tones, bar) {
                let onset = notes.first().and_then(|&note| tones.get(note)).map_or(0, |tone| tone.onset);
                let times = times(notes.len());
                let spot = Spot::new(onset, notes.into_iter().map(|note| (voice, note)).collect());
                let message = format_args!("{name} goes {side} its compass {compass}{times}");
                let evidence = Evidence::Limit { pitch: farthest, limit };
                if part.voice.compass().is_some() {
                    report.add(spot, message, evidence);
                } else {
                    report.add_lighter(spot, message, evidence);
                }
            }
        }
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
