//! Notes of an entry that differ from what is due, and how much that matters.

use super::fit::Due;
use super::recurrence::{Recurrences, so_too};
use super::statement::Statement;
use crate::line::Note;
use crate::pitch::Pitch;
use crate::rules::{Evidence, Report, Spot};
use crate::texture::Texture;
use std::collections::BTreeSet;
use std::ops::Range;

/// How many notes at the end of an entry may be inflected to lead on, or those of its last quarter.
const CLOSE: usize = 3;

/// A note that differs from what is due.
#[derive(Clone, Debug)]
pub(super) struct Slip<'t> {
    pub(super) theme: Statement<'t>,
    pub(super) due: Due,
    /// The notes of the theme.
    pub(super) theme_notes: &'t [Note],
    /// Why something else is due, if the theme alone does not say it.
    pub(super) reason: Option<String>,
    /// How the rule itself weighs it.
    pub(super) weighing: Weighing,
}

/// How a note is weighed that differs from what is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Weighing {
    /// As the book says.
    Full,
    /// One step lighter.
    Lighter,
    /// As worth knowing: it is right, but something else is usual.
    Choice,
}

impl Slip<'_> {
    /// Which note is changed from what is due, and by what: steps and semitones.
    fn change(&self) -> Change {
        let by = self.due.found - self.due.pitch;
        (self.due.index, by.steps(), by.semitones())
    }

    /// Whether it only turns the end towards what follows: it bends one of the last notes by an accidental, or
    /// has another last note.
    fn leads_on(&self) -> bool {
        let is_near_the_end = self.due.index + CLOSE >= self.theme_notes.len() || self.is_in_last_quarter();
        self.due.index + 1 == self.theme_notes.len() || self.due.is_inflected() && is_near_the_end
    }

    fn is_in_last_quarter(&self) -> bool {
        let ends = self.theme_notes.first().zip(self.theme_notes.last());
        let note = self.theme_notes.get(self.due.index);
        let place = ends.zip(note).and_then(|((first, last), note)| {
            let length = last.end().checked_sub(first.onset()).ok()?;
            Some(note.onset().checked_sub(first.onset()).ok()? >= length.scaled(3, 4).ok()?)
        });
        place == Some(true)
    }

    /// Whether the next note differs in the same way, in other entries too if this one does.
    fn goes_on_with(&self, next: &Self, changes: &Recurrences<Change>) -> bool {
        let (index, steps, semitones) = self.change();
        let recurs = |slip: &Self| changes.others(&slip.change()) > 0;
        next.theme.onset == self.theme.onset
            && next.change() == (index + 1, steps, semitones)
            && next.weighing == self.weighing
            && recurs(next) == recurs(self)
    }
}

/// The index of a note, and by how many steps and semitones it is changed.
type Change = (usize, i32, i32);

/// Whether notes in a row only go on in another octave from the beginning, or to the end, of the theme: that keeps
/// an entry within its compass.
fn goes_on_in_another_octave(run: &[Slip<'_>]) -> bool {
    let (Some(first), Some(last)) = (run.first(), run.last()) else { return false };
    let is_at_an_end = first.due.index == 0 || last.due.index + 1 == first.theme_notes.len();
    let (_, steps, semitones) = first.change();
    is_at_an_end && steps % 7 == 0 && semitones % 12 == 0
}

/// Reports slips of the exposition, notes in a row that differ alike together: what recurs in other entries of the
/// piece once, as the composer's own reading; what leads on or keeps within the compass, and what the rule itself
/// weighs lighter, one step lighter; the rest in full.
pub(super) fn report_slips(texture: &Texture<'_>, slips: &[Slip<'_>], report: &mut Report<'_>) {
    let changes = Recurrences::of(slips.iter().map(Slip::change));
    let mut told = BTreeSet::new();
    let end = texture.outline().map_or(i64::MAX, |outline| texture.grid().ticks(outline.end));
    let exposed = &slips[..slips.partition_point(|slip| slip.theme.onset < end)];
    for run in exposed.chunk_by(|one, next| one.goes_on_with(next, &changes)) {
        let others = run.iter().map(|slip| changes.others(&slip.change())).min().unwrap_or(0);
        let is_known = others > 0 && run.first().is_some_and(|first| told.contains(&first.change()));
        if !is_known {
            told.extend(run.iter().map(Slip::change));
            report_run(texture, run, others, report);
        }
    }
}

/// Reports notes in a row that so many other entries have, too.
fn report_run(texture: &Texture<'_>, run: &[Slip<'_>], others: usize, report: &mut Report<'_>) {
    let Some(first) = run.first() else { return };
    let message = format!("{}{}", clause(texture, run), so_too(others));
    let notes = run.iter().flat_map(|slip| slip.theme.spot_of(texture, slip.due.note).notes().to_vec());
    let spot = Spot::new(first.theme.spot_of(texture, first.due.note).onset(), notes.collect());
    let evidence = Evidence::Instead { found: first.due.found, due: first.due.pitch };
    if others > 0 || first.weighing == Weighing::Choice {
        report.add_remark(spot, format_args!("{message}"), evidence);
    } else if is_lighter(run) {
        report.add_lighter(spot, format_args!("{message}"), evidence);
    } else {
        report.add(spot, format_args!("{message}"), evidence);
    }
}

fn is_lighter(run: &[Slip<'_>]) -> bool {
    let is_mild = |slip: &Slip<'_>| slip.weighing == Weighing::Lighter || slip.leads_on();
    run.iter().all(is_mild) || goes_on_in_another_octave(run)
}

/// What is said of notes in a row.
fn clause(texture: &Texture<'_>, run: &[Slip<'_>]) -> String {
    let Some(first) = run.first() else { return String::new() };
    let (voice, role) = (texture.name(first.theme.voice()), first.theme.entry.role.name());
    let (found, due) = (row(run.iter().map(|it| it.due.found)), row(run.iter().map(|it| it.due.pitch)));
    let notes = numbered(&(first.due.index..first.due.index + run.len()));
    let reason = first.reason.as_ref().map_or(String::new(), |reason| format!(": {reason}"));
    let verb = if run.len() == 1 { "is" } else { "are" };
    match first.weighing {
        Weighing::Choice => {
            format!("{voice} has {found} as {notes} of the {role}, where {due} {verb} usual{reason}")
        }
        _ => format!("{voice} has {found} as {notes} of the {role} instead of {due}{reason}"),
    }
}

fn row(pitches: impl Iterator<Item = Pitch>) -> String {
    pitches.map(|pitch| pitch.to_string()).collect::<Vec<_>>().join(" ")
}

/// `note 4` or `notes 4 to 6`, counted from 1.
pub(super) fn numbered(notes: &Range<usize>) -> String {
    match notes.len() {
        1 => format!("note {}", notes.end),
        _ => format!("notes {} to {}", notes.start + 1, notes.end),
    }
}
