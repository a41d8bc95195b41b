//! Notes that a voice cannot reach.

use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::Texture;

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

impl Rule for OutOfCompass {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        for (voice, part) in texture.score().parts().iter().enumerate() {
            let Some(compass) = part.voice.reach() else { continue };
            let is_given = part.voice.compass().is_some();
            let outside = |pitch| !compass.contains(pitch);
            for (index, tone) in
                texture.tones(voice).iter().enumerate().filter(|(_, tone)| outside(tone.pitch))
            {
                let below = tone.pitch.height() < compass.lowest().height();
                let (limit, side) =
                    if below { (compass.lowest(), "below") } else { (compass.highest(), "above") };
                let spot = Spot::new(tone.onset, vec![(voice, index)]);
                let message = format_args!("{} goes {side} its compass {compass}", texture.name(voice));
                let evidence = Evidence::Limit { pitch: tone.pitch, limit };
                if is_given {
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
