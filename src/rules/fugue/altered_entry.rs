//! Entries with another rhythm, a note less or a note more than the theme.

use super::recurrence::{Recurrences, so_too};
use super::slip::numbered;
use super::statement::{Statement, themes};
use crate::exposition::Alignment;
use crate::line::Note;
use crate::rules::{Evidence, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::Texture;
use crate::time::Time;
use std::ops::Range;

#[doc = include_str!("altered_entry.md")]
#[derive(Clone, Copy, Debug, Default)]
pub struct AlteredEntry;

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("altered-entry"),
    severity: Severity::Caution,
    summary: "an entry has another rhythm than its theme, or a note more or less",
    page: include_str!("altered_entry.md"),
    source: Source::Handbook("Prout, Fugue, §57"),
};

/// A place where entry and theme go apart: notes of the theme that begin nowhere in the entry, and
/// notes of the entry that begin nowhere in the theme, between two that meet.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Departure {
    missing: Range<usize>,
    added: Range<usize>,
}

/// An entry beside its theme.
struct Comparison<'t> {
    theme: &'t [Note],
    /// The notes of the voice from the beginning of the entry for as long as the theme lasts, whatever
    /// the outline counts to the entry.
    stated: &'t [Note],
    /// When the theme begins.
    start: Time,
}

impl<'t> Comparison<'t> {
    fn of(texture: &Texture<'t>, entry: &Statement<'_>, theme: &'t [Note]) -> Option<Self> {
        let line = &texture.score().parts().get(entry.voice())?.line;
        let notes = line.notes().get(entry.entry.notes.start..)?;
        let start = Alignment::of_notes(theme, entry.notes).start();
        let last = start.checked_add(theme.last()?.onset()).ok()?;
        let stated = notes.get(..notes.partition_point(|note| note.onset() <= last))?;
        Some(Self { theme, stated, start })
    }

    /// The tick at which a note of the theme is due.
    fn due(&self, texture: &Texture<'_>, note: usize) -> Option<i64> {
        let onset = self.start.checked_add(self.theme.get(note)?.onset()).ok()?;
        Some(texture.grid().ticks(onset))
    }

    fn clause(&self, texture: &Texture<'_>, entry: &Statement<'_>, it: &Departure) -> String {
        let (voice, role) = (texture.name(entry.voice()), entry.entry.role.name());
        if it.added.is_empty() {
            return format!("{voice} leaves out {} of the {role}", numbered(&it.missing));
        }
        if it.missing.is_empty() {
            let put_in = self.stated.get(it.added.clone()).unwrap_or(&[]).iter();
            let put_in: Vec<String> = put_in.map(|note| note.pitch().to_string()).collect();
            return format!(
                "{voice} puts {} into the {role} after note {}",
                put_in.join(" "),
                it.missing.start
            );
        }
        format!("{voice} has another rhythm than the subject at {} of the {role}", numbered(&it.missing))
    }

    /// Where it lies: at the first note that is moved or put in, or where the first is missing.
    fn spot(&self, texture: &Texture<'_>, entry: &Statement<'_>, it: &Departure) -> Option<Spot> {
        let is_less = it.added.is_empty();
        let notes = if is_less { it.added.start.saturating_sub(1)..it.added.start } else { it.added.clone() };
        let first = texture.grid().ticks(self.stated.get(notes.start)?.onset());
        let onset = if is_less { self.due(texture, it.missing.start)? } else { first };
        Some(Spot::new(onset, notes.map(|note| (entry.voice(), entry.entry.notes.start + note)).collect()))
    }
}

/// Where an entry departs from its theme; nothing if it hardly has its rhythm.
fn departures(theme: &[Note], stated: &[Note]) -> Vec<Departure> {
    let alignment = Alignment::of_notes(theme, stated);
    let partners = alignment.partners();
    let meeting: Vec<(usize, usize)> =
        partners.iter().enumerate().filter_map(|(index, partner)| Some((index, (*partner)?))).collect();
    if meeting.len() * 5 < theme.len() * 3 {
        return Vec::new();
    }
    let ends = meeting.iter().skip(1).copied().chain([(theme.len(), stated.len())]);
    let between = meeting.iter().zip(ends).map(|(&(index, note), (next_index, next_note))| Departure {
        missing: index + 1..next_index,
        added: note + 1..next_note,
    });
    between.filter(|it| !it.missing.is_empty() || !it.added.is_empty()).collect()
}

impl Departure {
    /// What makes two departures the same: the place, and how many notes are put there.
    fn shape(&self) -> (usize, usize, usize) {
        (self.missing.start, self.missing.end, self.added.len())
    }
}

/// An entry beside its theme, with all its departures.
type Compared<'s, 't> = (&'s Statement<'t>, Comparison<'t>, Vec<Departure>);

/// Reports a departure, if so many other entries have it, as the composer's own reading.
fn report_departure(
    texture: &Texture<'_>,
    (entry, comparison, _): &Compared<'_, '_>,
    it: &Departure,
    others: usize,
    report: &mut Report<'_>,
) {
    let Some(spot) = comparison.spot(texture, entry, it) else { return };
    let ends = (it.missing.start.saturating_sub(1), it.missing.end);
    let from = comparison.due(texture, ends.0).unwrap_or(spot.onset());
    let until = comparison.due(texture, ends.1).unwrap_or(entry.end);
    let message = format!("{}{}", comparison.clause(texture, entry, it), so_too(others));
    let evidence = Evidence::of_stretch(texture, until - from);
    if others > 0 {
        report.add_remark(spot, format_args!("{message}"), evidence);
    } else {
        report.add(spot, format_args!("{message}"), evidence);
    }
}

impl Rule for AlteredEntry {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let Some(outline) = texture.outline() else { return };
        let (theme, themes) = (outline.subject.line().notes(), themes(texture));
        let compared = themes.iter().skip(1).filter_map(|entry| {
            let comparison = Comparison::of(texture, entry, theme)?;
            let departures = departures(theme, comparison.stated);
            Some((entry, comparison, departures))
        });
        let compared: Vec<Compared<'_, '_>> = compared.collect();
        let all = compared.iter().flat_map(|entry| &entry.2);
        let mut shapes = Recurrences::of(all.map(Departure::shape));
        for entry in &compared {
            for departure in &entry.2 {
                if let Some(others) = shapes.tell(&departure.shape()) {
                    report_departure(texture, entry, departure, others, report);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::AlteredEntry;
    use crate::exposition::Role::{Answer, Subject};
    use crate::rules::trial::found_in_fugue;

    /// What the rule finds if the answer to C D E D E C, in quarter notes, is this.
    fn answered(answer: &str) -> Vec<String> {
        let answer = format!("R:5/4 {answer} D5:1/4");
        let notes = answer.split(' ').count() - 2;
        let lines = [answer.as_str(), "C4:1/4 D4 E4 D4 E4 C4 D4 G3 B3 D4 E4"];
        found_in_fugue(&AlteredEntry, &lines, &[(Subject, 1, 0..6), (Answer, 0, 0..notes)])
    }

    #[test]
    fn finds_other_durations() {
        assert_eq!(
            answered("G4:1/4 A4 B4:3/8 A4:1/8 B4:1/4 G4"),
            [
                "bar 3, beat 3/2: Caution [(0, 3)] soprano has another rhythm than the subject at note 4 of the answer"
            ]
        );
    }

    #[test]
    fn finds_a_note_left_out() {
        assert_eq!(
            answered("G4:1/4 A4 B4:1/2 B4:1/4 G4"),
            ["bar 3, beat 1: Caution [(0, 2)] soprano leaves out note 4 of the answer"]
        );
    }

    #[test]
    fn finds_a_note_put_in() {
        assert_eq!(
            answered("G4:1/4 A4 B4:1/8 C5 A4:1/4 B4 G4"),
            ["bar 2, beat 9/2: Caution [(0, 3)] soprano puts C5 into the answer after note 3"]
        );
    }

    /// Each was once marked by itself.
    #[test]
    fn finds_what_recurs_in_another_entry_once_as_a_remark() {
        let lines = [
            "R:5/4 G4:1/4 A4 B4:1/2 B4:1/4 G4 D5:1/4",
            "C4:1/4 D4 E4 D4 E4 C4 D4 G3 B3 D4 E4",
            "R:11/4 C3:1/4 D3 E3:1/2 E3:1/4 C3",
        ];
        let marks = [(Subject, 1, 0..6), (Answer, 0, 0..5), (Subject, 2, 0..5)];
        assert_eq!(
            found_in_fugue(&AlteredEntry, &lines, &marks),
            [
                "bar 3, beat 1: Remark [(0, 2)] soprano leaves out note 4 of the answer; another entry has it so, too"
            ]
        );
    }

    #[test]
    fn allows_other_lengths_of_the_ends_and_rests() {
        assert!(answered("G4:1/4 A4 B4 A4 B4 G4:1/2").is_empty());
        assert!(answered("R:1/8 G4:1/8 A4:1/4 B4 A4 B4 G4").is_empty());
        assert!(answered("G4:1/4 A4:1/8 R B4:1/4 A4 B4 G4").is_empty());
    }
}
