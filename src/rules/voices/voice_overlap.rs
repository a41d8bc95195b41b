//! Voices that overlap.

use crate::interval::Interval;
use crate::pitch::Pitch;
use crate::rules::passages::{Span, passages, span, times};
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Pair, Step, Texture, overlap};

#[doc = include_str!("voice_overlap.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct VoiceOverlap {
    /// Which parts are judged: all by default.
    pub between: Singers,
}

/// Which parts a rule of singing judges.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Singers {
    /// Any two neighbours.
    #[default]
    AllParts,
    /// Neighbours that bear the names of singers.
    SungParts,
}

impl VoiceOverlap {
    fn is_judged(self, pair: Pair<'_>) -> bool {
        self.between == Singers::AllParts || pair.is_sung()
    }

    /// The passages in which neighbours overlap.
    fn passages<'t>(self, texture: &'t Texture<'_>) -> impl Iterator<Item = Vec<Overlap<'t>>> {
        let neighbours = texture.pairs().filter(|pair| pair.lower() == pair.upper() + 1);
        let judged = neighbours.filter(move |pair| self.is_judged(*pair));
        judged.flat_map(|pair| passages(overlaps(pair), |tick| texture.accents().bar_at(tick)))
    }
}

/// A voice that passes beyond what its neighbour leaves.
struct Overlap<'t> {
    step: Step<'t>,
    /// How far, in semitones.
    size: i32,
}

impl Span for Overlap<'_> {
    fn onset(&self) -> i64 {
        self.step.after().onset()
    }

    fn end(&self) -> i64 {
        self.step.after().end()
    }
}

/// Whether the ear can take one voice for the other: not where both go on in unison, nor where a phrase has ended.
fn is_heard(step: &Step<'_>) -> bool {
    let is_one = step.intervals() == [Interval::UNISON; 2];
    !is_one && !step.after().pair().texture().ends_phrase(step.after().onset())
}

fn overlaps(pair: Pair<'_>) -> Vec<Overlap<'_>> {
    let size = |step: &Step<'_>| {
        let ([a, c], [b, d]) = (step.upper().map(Pitch::height), step.lower().map(Pitch::height));
        (b - c).max(d - a)
    };
    let found = pair.steps().filter(|step| overlap(step.upper(), step.lower()) && is_heard(step));
    found.map(|step| Overlap { step, size: size(&step) }).collect()
}

/// Tells of a passage where a voice passes furthest.
fn report_passage(overlaps: &[Overlap<'_>], report: &mut Report<'_>) {
    let Some(Overlap { step, .. }) = overlaps.iter().rev().max_by_key(|it| it.size) else { return };
    let [upper, lower] = step.after().pair().names();
    let falls = step.upper()[1].height() < step.lower()[0].height();
    let (mover, other) = if falls { (upper, lower) } else { (lower, upper) };
    let (side, times) = (if falls { "below" } else { "above" }, times(overlaps.len()));
    let message = format_args!("{mover} passes {side} the note that {other} leaves{times}");
    report.add(step, message, Evidence::of_step(step));
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("voice-overlap"),
    severity: Severity::Remark,
    summary: "a voice passes beyond the note that its neighbour has just left",
    page: include_str!("voice_overlap.md"),
    source: Source::Memory("common practice of vocal writing"),
};

impl Rule for VoiceOverlap {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        Reach::Near(self.passages(texture).map(|passage| span(&passage)).collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        self.passages(texture).for_each(|passage| report_passage(&passage, report));
    }
}

#[cfg(test)]
mod tests {
    use super::{Singers, VoiceOverlap};
    use crate::rules::trial::found;

    #[test]
    fn finds_voices_that_pass_what_the_other_left() {
        assert_eq!(
            found(&VoiceOverlap::default(), "4/4", &["C5:1/2 F4", "G4:1/2 D4"]),
            ["bar 1, beat 3: Remark [(0, 0), (1, 0), (0, 1), (1, 1)] \
                 soprano passes below the note that alto leaves"]
        );
        assert!(
            found(&VoiceOverlap::default(), "4/4", &["C5:1/2 G5", "G4:1/2 D5"])[0]
                .ends_with("alto passes above the note that soprano leaves")
        );
    }

    #[test]
    fn allows_parts_that_nobody_sings_where_singers_alone_are_judged() {
        let rule = VoiceOverlap { between: Singers::SungParts };
        assert_eq!(found(&rule, "4/4", &["C5:1/2 F4", "G4:1/2 D4"]).len(), 1);
        let rests = ["R:1"; 4];
        let lines = [&rests[..], &["C5:1/2 F4", "G4:1/2 D4"]].concat();
        assert!(found(&rule, "4/4", &lines).is_empty());
        assert_eq!(found(&VoiceOverlap::default(), "4/4", &lines).len(), 1);
    }

    #[test]
    fn finds_overlaps_in_close_succession_once_where_they_are_largest() {
        let lines = ["C5:1/4 F4 A4 C4 C4:1", "G4:1/4 D4 F4 A3 G3:1"];
        assert_eq!(
            found(&VoiceOverlap::default(), "4/4", &lines),
            ["bar 1, beat 4: Remark [(0, 2), (1, 2), (0, 3), (1, 3)] \
              soprano passes below the note that alto leaves, twice in close succession"]
        );
    }

    #[test]
    fn allows_reaching_the_very_note() {
        assert!(found(&VoiceOverlap::default(), "4/4", &["C5:1/2 G4", "G4:1/2 D4"]).is_empty());
    }

    /// Tenor and bass of a chorus have one line for two notes: that is the matter of `parallel-perfects`.
    #[test]
    fn allows_two_voices_to_go_on_in_unison() {
        assert!(found(&VoiceOverlap::default(), "4/4", &["F#3:1/2 E3", "F#3:1/2 E3"]).is_empty());
        assert_eq!(found(&VoiceOverlap::default(), "4/4", &["F#3:1/2 E3", "F#3:1/2 B2"]).len(), 1);
    }

    #[test]
    fn allows_a_new_phrase_to_begin_as_it_likes() {
        let lines =
            ["C5:1/4 D5 C5:1/2 F5:1/4 E5", "A4:1/4 A4 A4:1/2 D5:1/4 C5", "F4:1/4 D4 F4:1/2 D4:1/4 C4"];
        assert!(found(&VoiceOverlap::default(), "4/4", &lines).is_empty());
    }

    #[test]
    fn allows_crossing_which_is_another_matter() {
        assert!(found(&VoiceOverlap::default(), "4/4", &["C5:1/2 F4", "G4:1/2 A4"]).is_empty());
    }

    #[test]
    fn allows_voices_that_are_no_neighbours() {
        assert!(found(&VoiceOverlap::default(), "4/4", &["C5:1/2 F4", "R:1", "G4:1/2 D4"]).is_empty());
    }
}
