//! A first voice that rests under the answer.

use super::statement::{Statement, statements};
use crate::exposition::{Form, Role};
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::Texture;

#[doc = include_str!("silent_first_voice.md")]
#[derive(Clone, Copy, Debug)]
pub struct SilentFirstVoice {
    /// The longest rest that is a breath, in beats of the meter: 2 by default.
    pub beats: u8,
}

impl Default for SilentFirstVoice {
    fn default() -> Self {
        Self { beats: 2 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("silent-first-voice"),
    severity: Severity::Caution,
    summary: "the first voice falls silent under the answer",
    page: include_str!("silent_first_voice.md"),
    source: Source::Handbook("Prout, Fugue, §10"),
};

/// The silences of a voice within a stretch of ticks, each with the note before it.
fn silences(texture: &Texture<'_>, voice: usize, from: i64, to: i64) -> Vec<(usize, i64, i64)> {
    let tones = texture.tones(voice);
    let gap = |index: usize| {
        let begins = tones.get(index)?.end.max(from);
        let ends = tones.get(index + 1).map_or(to, |next| next.onset.min(to));
        (begins < ends).then_some((index, begins, ends))
    };
    (0..tones.len()).filter_map(gap).collect()
}

fn report_answer(
    texture: &Texture<'_>,
    voice: usize,
    answer: &Statement<'_>,
    beats: u8,
    report: &mut Report<'_>,
) {
    for (note, from, to) in silences(texture, voice, answer.onset, answer.end) {
        let breath = texture.accents().pulse_at(from).1 * i64::from(beats);
        let is_throughout = (from, to) == (answer.onset, answer.end);
        if to - from > breath || is_throughout {
            let message = format_args!("{} falls silent under the answer", texture.name(voice));
            report.add(
                Spot::new(from, vec![(voice, note)]),
                message,
                Evidence::of_stretch(texture, to - from),
            );
        }
    }
}

impl Rule for SilentFirstVoice {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let statements = statements(texture);
        let first = statements.iter().find(|it| it.entry.role == Role::Subject && it.form == Form::Straight);
        let Some(voice) = first.map(Statement::voice) else { return };
        let answers = |it: &&Statement<'_>| it.entry.role == Role::Answer || it.form != Form::Straight;
        if let Some(answer) = statements.iter().filter(answers).find(|it| it.voice() != voice) {
            report_answer(texture, voice, answer, self.beats, report);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::SilentFirstVoice;
    use crate::exposition::Form;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::{found_in_forms, found_in_fugue};

    /// What the rule finds if the first voice goes on thus.
    fn going_on(line: &str) -> Vec<String> {
        let subject = format!("C4:1/4 D4 E4 C4 {line}");
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        found_in_fugue(&SilentFirstVoice::default(), &["R:1 G4:1/4 A4 B4 G4", &subject], &marks)
    }

    #[test]
    fn finds_a_voice_that_stops_or_waits() {
        let expected = ["bar 2, beat 1: Caution [(1, 3)] alto falls silent under the answer"];
        assert_eq!(going_on(""), expected);
        assert_eq!(going_on("R:3/4 G3:1/4"), expected);
    }

    /// The first straight answer was once taken for the answer, though another came before it upside down.
    #[test]
    fn finds_silence_under_an_answer_in_another_form() {
        let lines = ["R:1 G4:1/4 F4 E4 G4 R:1", "C4:1/4 D4 E4 C4 R:1 F4:1/4 D4 E4 F4", "R:2 G3:1/4 A3 B3 G3"];
        let marks = [(Subject, 1, 0..4), (Answer, 2, 0..4)];
        let others = [(Form::Inverted, 0, 0..4)];
        let rule = SilentFirstVoice::default();
        let expected = ["bar 2, beat 1: Caution [(1, 3)] alto falls silent under the answer"];
        assert_eq!(found_in_forms(&rule, &lines, &marks, &others), expected);
        assert!(found_in_fugue(&rule, &lines, &marks).is_empty());
    }

    /// An answer of two beats, all of which the voice rests, was once excused by a breath.
    #[test]
    fn finds_silence_throughout_a_short_answer() {
        let lines = ["R:1/2 G4:1/8 A4 B4 G4", "C4:1/8 D4 E4 C4 R:1/2 D4:1/4 E4"];
        let marks = [(Subject, 1, 0..4), (Answer, 0, 0..4)];
        let found = found_in_fugue(&SilentFirstVoice::default(), &lines, &marks);
        assert_eq!(found, ["bar 1, beat 3: Caution [(1, 3)] alto falls silent under the answer"]);
    }

    #[test]
    fn allows_a_breath() {
        assert!(going_on("R:1/4 F4:1/4 D4 E4").is_empty());
        assert!(going_on("B3:1/2 R:1/2").is_empty());
    }

    #[test]
    fn allows_silence_after_the_answer() {
        assert!(going_on("B3:1/2 D4 R:4 C4:1").is_empty());
    }
}
