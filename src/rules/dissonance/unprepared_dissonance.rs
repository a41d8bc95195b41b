//! Dissonances on the beat that were not there before.

use super::{around, evidence, names};
use crate::meter::Strength;
use crate::rules::{Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Dissonance, Figure, Texture, Tone, Weight};

#[doc = include_str!("unprepared_dissonance.md")]
#[derive(Clone, Copy, Debug)]
pub struct UnpreparedDissonance {
    /// The lightest place that is judged: a pulse by default.
    pub from: Strength,
    /// Whether those alone are judged that are reached or left by leap: no by default. Passing and neighbour notes,
    /// échappées, cambiatas, six-fours and tense intervals that resolve are not.
    pub only_leaps: bool,
}

impl Default for UnpreparedDissonance {
    fn default() -> Self {
        Self { from: Strength::Pulse, only_leaps: false }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("unprepared-dissonance"),
    severity: Severity::Caution,
    summary: "an ornamental dissonance is struck on the beat without preparation",
    page: include_str!("unprepared_dissonance.md"),
    source: Source::Handbook("Grove 3, \"Strict Counterpoint\", Second and Fourth Order"),
};

/// Whether strict writing wants a preparation that the figure lacks. Light figures need none, a six-four
/// where a third voice makes it one; what has no name at all is the matter of another rule.
fn lacks_preparation(texture: &Texture<'_>, dissonance: &Dissonance) -> bool {
    let figure = dissonance.figure;
    let is_light = match figure {
        Figure::Passing(Weight::Light) | Figure::Neighbour(Weight::Light) | Figure::Anticipation => true,
        Figure::SixFour => voices_at(texture, dissonance.onset) > 2,
        _ => false,
    };
    figure.is_explained() && !figure.is_prepared() && !is_light
}

/// Whether the dissonant note is struck as the dissonance begins, not held over from before.
fn is_struck(texture: &Texture<'_>, dissonance: &Dissonance) -> bool {
    let (voice, note) = dissonance.note;
    texture.tones(voice).get(note).is_some_and(|tone| tone.onset == dissonance.onset)
}

/// How many voices sound on a tick.
fn voices_at(texture: &Texture<'_>, tick: i64) -> usize {
    (0..texture.voices()).filter(|&voice| texture.sounding(voice, tick).is_some()).count()
}

/// Whether a dissonant note is reached or left otherwise than by step, a rest included.
fn leaps(texture: &Texture<'_>, dissonance: &Dissonance) -> bool {
    let is_step = |pair: &[Tone]| match pair {
        [one, other] => one.end == other.onset && (other.pitch - one.pitch).steps().abs() <= 1,
        _ => false,
    };
    let by_step = around(texture, dissonance).is_some_and(|around| around.windows(2).all(is_step));
    let is_bound = dissonance.figure.is_stepwise()
        || matches!(
            dissonance.figure,
            Figure::Tritone
                | Figure::Altered
                | Figure::Echappee
                | Figure::Cambiata
                | Figure::SixFour
                | Figure::HeldSixFour
                | Figure::SixFourThree
        );
    !by_step && !is_bound
}

impl Rule for UnpreparedDissonance {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::near()
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let judged = |it: &&Dissonance| {
            let is_meant = !self.only_leaps || leaps(texture, it);
            it.strength >= self.from && lacks_preparation(texture, it) && is_meant
        };
        for dissonance in texture.dissonances().iter().filter(judged) {
            let mut names = names(texture, dissonance);
            if !is_struck(texture, dissonance) {
                names.reverse();
            }
            let [voice, other] = names;
            let Some(evidence) = evidence(texture, dissonance) else { continue };
            let figure = dissonance.figure;
            let message = format_args!("{voice} strikes a dissonance against {other} on the beat ({figure})");
            report.add(dissonance, message, evidence);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::UnpreparedDissonance;
    use crate::rules::trial::found;

    #[test]
    fn finds_a_six_four_in_two_parts_alone() {
        let rule = UnpreparedDissonance::default();
        let marks = found(&rule, "4/4", &["A4:1/2 F4 A4:1", "F4:1/2 C4 F4:1"]);
        assert_eq!(
            marks,
            ["bar 1, beat 3: Caution [(1, 1), (0, 1)] \
              alto strikes a dissonance against soprano on the beat (arpeggiated six-four)"]
        );
        assert!(found(&rule, "4/4", &["C5:1 C5:1", "A4:1/2 F4 A4:1", "F4:1/2 C4 F4:1"]).is_empty());
    }

    #[test]
    fn finds_accented_passing_note_and_appoggiatura() {
        let rule = UnpreparedDissonance::default();
        assert_eq!(
            found(&rule, "4/4", &["E5:1/2 D5:1/4 C5", "C4:1"]),
            ["bar 1, beat 3: Caution [(0, 1), (1, 0)] \
                 soprano strikes a dissonance against alto on the beat (accented passing note)"]
        );
        assert!(found(&rule, "4/4", &["G4:1/2 D5:1/4 C5", "C4:1"])[0].ends_with("(appoggiatura)"));
    }

    #[test]
    fn finds_leaps_alone_if_it_is_set_so() {
        let rule = UnpreparedDissonance { only_leaps: true, ..UnpreparedDissonance::default() };
        assert!(found(&rule, "4/4", &["E5:1/2 D5:1/4 C5", "C4:1"]).is_empty());
        assert_eq!(found(&rule, "4/4", &["G4:1/2 D5:1/4 C5", "C4:1"]).len(), 1);
    }

    // Common practice: detached notes pass as others do.
    #[test]
    fn allows_detached_passing_notes_if_leaps_alone_are_meant() {
        let rule = UnpreparedDissonance { only_leaps: true, ..UnpreparedDissonance::default() };
        assert!(found(&rule, "4/4", &["E5:1/4 R D5:1/4 R C5:1", "C4:2"]).is_empty());
    }

    #[test]
    fn allows_suspension() {
        assert!(found(&UnpreparedDissonance::default(), "4/4", &["R:1/2 C5:1 B4:1/2", "E4:1 D4"]).is_empty());
    }

    // Common practice: the seventh is held, dissonant from the first; what is struck is the root above it.
    #[test]
    fn says_that_the_voice_strikes_which_is_not_held() {
        let lines = ["F#4:1/2 A4:1/2", "F#3:1/4 G3:1/2 F3:1/4", "A3:1/2 C#3:1/2"];
        let marks = found(&UnpreparedDissonance::default(), "4/4", &lines);
        assert!(
            marks.contains(
                &"bar 1, beat 3: Caution [(1, 1), (0, 1)] \
              soprano strikes a dissonance against alto on the beat (unprepared chord seventh)"
                    .to_owned()
            ),
            "{marks:?}"
        );
    }

    #[test]
    fn allows_light_passing_note() {
        assert!(found(&UnpreparedDissonance::default(), "4/4", &["E5:1/4 D5 C5:1/2", "C4:1"]).is_empty());
        assert!(
            found(&UnpreparedDissonance::default(), "4/4", &["E5:1/4 E5:1/8 D5 C5:1/2", "C4:1"]).is_empty()
        );
    }
}
