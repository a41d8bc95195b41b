//! Countersubjects that are too like the theme.

use super::statement::{Statement, countersubjects, theme_of, themes};
use crate::pitch::Pitch;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity};
use crate::source::Source;
use crate::texture::{Moment, Motion, Texture};

#[doc = include_str!("shadowing_countersubject.md")]
#[derive(Clone, Copy, Debug)]
pub struct ShadowingCountersubject {
    /// The share of its notes that may begin together with one of the theme, or of its moves that may
    /// go parallel, in hundredths: 75 by default.
    pub percent: u8,
    /// How many notes make a rhythm: 6 by default.
    pub notes: usize,
}

impl Default for ShadowingCountersubject {
    fn default() -> Self {
        Self { percent: 75, notes: 6 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("shadowing-countersubject"),
    severity: Severity::Caution,
    summary: "the countersubject has the rhythm of the theme or runs parallel with it",
    page: include_str!("shadowing_countersubject.md"),
    source: Source::Handbook("Prout, Fugue, §§161-163"),
};

/// How many notes of each begin while both sound, and how many of these together.
fn attacks(theme: &Statement<'_>, against: &Statement<'_>) -> ([usize; 2], usize) {
    let from = theme.entry.onset.max(against.entry.onset);
    let to = theme.notes.last().map(|it| it.end()).min(against.notes.last().map(|it| it.end()));
    let within = |it: &Statement<'_>| -> Vec<_> {
        let onsets = it.notes.iter().map(|note| note.onset());
        onsets.filter(|onset| *onset >= from && Some(*onset) < to).collect()
    };
    let [one, other] = [theme, against].map(within);
    let together = one.iter().filter(|onset| other.contains(onset)).count();
    ([one.len(), other.len()], together)
}

impl ShadowingCountersubject {
    fn is_most(self, part: usize, whole: usize) -> bool {
        whole >= self.notes && part * 100 >= whole * usize::from(self.percent)
    }

    fn has_the_rhythm(self, theme: &Statement<'_>, against: &Statement<'_>) -> bool {
        let (each, together) = attacks(theme, against);
        each.iter().all(|&notes| self.is_most(together, notes))
    }

    fn runs_parallel(self, texture: &Texture<'_>, theme: &Statement<'_>, against: &Statement<'_>) -> bool {
        let Some(pair) = texture.pair(theme.voice(), against.voice()) else { return false };
        let (from, to) = (theme.onset.max(against.onset), theme.end.min(against.end));
        let is_joint = |it: &Moment<'_>| (from..to).contains(&it.onset()) && it.attacked() == [true; 2];
        let joint: Vec<[Pitch; 2]> = pair.moments().filter(is_joint).filter_map(|it| it.pitches()).collect();
        let motion = |(a, b): (&[Pitch; 2], &[Pitch; 2])| Motion::of([a[0], b[0]], [a[1], b[1]]);
        let motions = joint.iter().zip(joint.iter().skip(1)).filter_map(motion);
        let together: Vec<Motion> = motions.filter(|motion| *motion != Motion::Oblique).collect();
        let parallel = together.iter().filter(|motion| **motion == Motion::Parallel).count();
        self.is_most(parallel, together.len())
    }
}

impl Rule for ShadowingCountersubject {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let (themes, countersubjects) = (themes(texture), countersubjects(texture));
        let Some(first) = countersubjects.first() else { return };
        let Some(theme) = theme_of(&themes, first) else { return };
        let (voice, other) = (texture.name(first.voice()), texture.name(theme.voice()));
        let fault = if self.has_the_rhythm(theme, first) {
            format!("has the rhythm of the {} in {other}", theme.entry.role.name())
        } else if self.runs_parallel(texture, theme, first) {
            format!("runs parallel with the {} in {other}", theme.entry.role.name())
        } else {
            return;
        };
        let evidence = Evidence::of_stretch(texture, theme.overlap(first));
        report.add(first.spot(), format_args!("the countersubject in {voice} {fault}"), evidence);
    }
}

#[cfg(test)]
mod tests {
    use super::ShadowingCountersubject;
    use crate::exposition::Role::{Answer, Countersubject, Subject};
    use crate::rules::trial::found_in_fugue;

    fn countered(countersubject: &str) -> Vec<String> {
        let notes = countersubject.split_whitespace().count();
        let lower = format!("C4:1/4 D4 E4:1/8 F4 E4 D4 E4:1/4 C4 {countersubject}");
        let marks = [(Subject, 1, 0..8), (Answer, 0, 0..8), (Countersubject, 1, 8..8 + notes)];
        let upper = "R:3/2 G4:1/4 A4 B4:1/8 C5 B4 A4 B4:1/4 G4";
        found_in_fugue(&ShadowingCountersubject::default(), &[upper, &lower], &marks)
    }

    #[test]
    fn finds_the_same_rhythm() {
        assert_eq!(
            countered("E4:1/4 F4 G4:1/8 A4 G4 F4 G4:1/4 E4"),
            [
                "bar 2, beat 3: Caution [(1, 8)] the countersubject in alto has the rhythm of the answer in soprano"
            ]
        );
    }

    #[test]
    fn finds_parallel_motion_in_a_longer_line() {
        let line = "E4:1/8 D4 F4 E4 G4 A4 G4 F4 G4:1/16 F4 E4 F4 E4 F4 E4 F4";
        let rule = ShadowingCountersubject { notes: 4, ..ShadowingCountersubject::default() };
        let lower = format!("C4:1/4 D4 E4:1/8 F4 E4 D4 E4:1/4 C4 {line}");
        let marks = [(Subject, 1, 0..8), (Answer, 0, 0..8), (Countersubject, 1, 8..24)];
        let upper = "R:3/2 G4:1/4 A4 B4:1/8 C5 B4 A4 B4:1/4 G4";
        let found = found_in_fugue(&rule, &[upper, &lower], &marks);
        assert_eq!(found.len(), 1);
        assert!(found[0].ends_with("runs parallel with the answer in soprano"), "{found:?}");
    }

    #[test]
    fn allows_long_against_short() {
        assert!(countered("E4:1/8 F4 E4 D4 G4:1/2 G4:1/8 F4 E4 D4").is_empty());
    }

    #[test]
    fn allows_few_notes() {
        assert!(countered("E4:1/4 F4 G4:1/2").is_empty());
    }
}
