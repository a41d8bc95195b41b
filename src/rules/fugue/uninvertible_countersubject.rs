//! Countersubjects that cannot stand on the other side of the theme.

use super::statement::{Statement, countersubjects, theme_of, themes};
use crate::interval::Interval;
use crate::line::{Line, Note};
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::score::{Part, Score};
use crate::source::Source;
use crate::texture::{Dissonance, Figure, Texture};
use crate::voice::Voice;

#[doc = include_str!("uninvertible_countersubject.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct UninvertibleCountersubject;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("uninvertible-countersubject"),
    severity: Severity::Caution,
    summary: "a fifth between theme and countersubject becomes a bare fourth when they change places",
    page: include_str!("uninvertible_countersubject.md"),
    source: Source::Handbook("Prout, Fugue, §194"),
};

/// Theme and countersubject with the lower one set above, in octaves.
fn inverted(texture: &Texture<'_>, upper: &Statement<'_>, lower: &Statement<'_>) -> Option<Score> {
    let meetings = texture.meetings(upper.entry, lower.entry);
    let widest = meetings.iter().map(|row| row.interval().semitones()).max()?;
    let octaves = (widest + 11).div_euclid(12);
    let up = Interval::from_steps(7 * octaves, 12 * octaves).ok()?;
    let part = |statement: &Statement<'_>, by: Interval| {
        let moved = statement
            .notes
            .iter()
            .map(|note| Some(Note::new(note.pitch().moved(by).ok()?, note.onset(), note.duration())));
        let notes: Vec<Note> = moved.collect::<Option<_>>()?;
        let end = notes.last()?.end();
        Some(Part { voice: Voice::new(""), line: Line::from_notes(notes, end).ok()? })
    };
    let parts = vec![part(lower, up)?, part(upper, Interval::UNISON)?];
    texture.score().with_parts(parts).ok()
}

/// A fourth on the beat that no figure explains.
fn is_bare_fourth(dissonance: &Dissonance) -> bool {
    let interval = dissonance.interval;
    let is_fourth = interval.steps().rem_euclid(7) == 3 && interval.semitones().rem_euclid(12) == 5;
    is_fourth && dissonance.is_on_beat() && !is_excused(dissonance.figure)
}

/// Whether a figure makes a fourth good in two parts: a passing or neighbour note, or what is prepared and resolves.
/// An appoggiatura is struck as bare as a chord note, and a six-four is one of a fuller chord.
fn is_excused(figure: Figure) -> bool {
    figure.is_stepwise() || (figure.is_prepared() && figure.is_explained())
}

fn report_pairing(
    texture: &Texture<'_>,
    theme: &Statement<'_>,
    against: &Statement<'_>,
    report: &mut Report<'_>,
) {
    let theme_above = theme.voice() < against.voice();
    let (upper, lower) = if theme_above { (theme, against) } else { (against, theme) };
    let Some(inverted) = inverted(texture, upper, lower) else { return };
    let inversion = Texture::of(&inverted);
    for fourth in inversion.dissonances().iter().filter(|it| is_bare_fourth(it)) {
        let at = |(part, note): (usize, usize)| {
            let it = if part == 0 { lower } else { upper };
            Some((it, it.notes.get(note)?, note))
        };
        let (Some(one), Some(other)) = (at(fourth.note), at(fourth.against)) else { continue };
        let onset = texture.grid().ticks(inversion.time(fourth.onset));
        let notes = [one, other].map(|(it, _, note)| (it.voice(), it.entry.notes.start + note));
        let message = format_args!(
            "the fifth between {} and the countersubject in {} becomes a bare fourth by inversion",
            texture.name(theme.voice()),
            texture.name(against.voice())
        );
        report.add(
            Spot::new(onset, notes.to_vec()),
            message,
            Evidence::of_vertical(one.1.pitch(), other.1.pitch()),
        );
    }
}

impl Rule for UninvertibleCountersubject {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let (themes, countersubjects) = (themes(texture), countersubjects(texture));
        let Some(first) = countersubjects.first() else { return };
        if let Some(theme) = theme_of(&themes, first) {
            report_pairing(texture, theme, first, report);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::UninvertibleCountersubject;
    use crate::exposition::Role::{Answer, Countersubject, Subject};
    use crate::rules::trial::found_in_fugue;

    /// What the rule finds in a countersubject to an answer, five quarters each.
    fn countered(answer: &str, countersubject: &str) -> Vec<String> {
        let notes = countersubject.split_whitespace().count();
        let lower = format!("C4:1/4 E4 C4 F4 E4 {countersubject}");
        let marks = [(Subject, 1, 0..5), (Answer, 0, 0..5), (Countersubject, 1, 5..5 + notes)];
        found_in_fugue(&UninvertibleCountersubject, &[&format!("R:5/4 {answer}"), &lower], &marks)
    }

    const LEAPING: &str = "G4:1/4 B4 G4 C5 B4";

    #[test]
    fn finds_a_leaping_fifth_on_the_beat() {
        assert_eq!(
            countered(LEAPING, "E4:1/4 G4 C4 E4 G4"),
            [
                "bar 2, beat 4: Caution [(1, 7), (0, 2)] the fifth between soprano and the countersubject in alto \
                 becomes a bare fourth by inversion"
            ]
        );
    }

    /// Prout, *Fugue*, §194 has auxiliary and passing notes and suspensions: what is leapt to is none.
    #[test]
    fn finds_a_fifth_that_inverts_into_an_appoggiatura() {
        assert_eq!(countered("G4:1/4 B4 G4 F4 E4", "E4:1/4 G4 C4 D4 E4").len(), 1);
    }

    #[test]
    fn allows_sixths_and_thirds() {
        assert!(countered(LEAPING, "E4:1/4 G4 E4 E4 G4").is_empty());
    }

    /// Prout, *Fugue*, §194: a fifth whose inversion is heard as a passing note is tolerable.
    #[test]
    fn allows_a_fifth_that_inverts_into_a_passing_note() {
        assert!(countered("G4:1/4 A4 B4 A4 G4", "E4:1/4 D4 G4 F4 E4").is_empty());
    }

    #[test]
    fn allows_a_fifth_off_the_beat() {
        assert!(countered(LEAPING, "E4:1/4 G4 E4:1/8 C4 E4:1/4 G4").is_empty());
    }
}
