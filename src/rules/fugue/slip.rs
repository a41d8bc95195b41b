//! Notes of an entry that differ from what is due, and how much that matters.

use super::fit::Due;
use super::statement::Statement;
use crate::interval::Interval;
use crate::pitch::Pitch;
use crate::rules::{Evidence, Report, Spot};
use crate::texture::Texture;
use std::ops::Range;

/// How many notes at the end of an entry may be inflected to lead on.
const CLOSE: usize = 3;

/// A note that differs from what is due.
#[derive(Clone, Debug)]
pub(super) struct Slip<'t> {
    pub(super) theme: Statement<'t>,
    pub(super) due: Due,
    /// How many notes the theme has.
    pub(super) length: usize,
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
    /// By what the note is changed from what is due.
    fn change(&self) -> (usize, Interval) {
        (self.due.index, self.due.found - self.due.pitch)
    }

    /// Whether it only bends one of the last notes by an accidental, towards what follows.
    fn leads_on(&self) -> bool {
        self.due.is_inflected() && self.due.index + CLOSE >= self.length
    }

    /// The entries, by onset, that have the same in the same place.
    fn recurrences(&self, slips: &[Self]) -> Vec<i64> {
        let alike = |other: &&Self| other.theme.onset != self.theme.onset && other.change() == self.change();
        slips.iter().filter(alike).map(|other| other.theme.onset).collect()
    }

    /// Whether the next note differs in the same way, in the same entries.
    fn goes_on_with(&self, next: &Self, slips: &[Self]) -> bool {
        let follows = next.due.index == self.due.index + 1 && next.theme.onset == self.theme.onset;
        follows
            && next.change().1 == self.change().1
            && next.weighing == self.weighing
            && next.recurrences(slips) == self.recurrences(slips)
    }
}

/// Reports slips, notes in a row that differ alike together: what recurs in other entries once, as the composer's
/// own reading; what leads on, and what the rule itself weighs lighter, one step lighter; the rest in full.
pub(super) fn report_slips(texture: &Texture<'_>, slips: &[Slip<'_>], report: &mut Report<'_>) {
    let mut known = Vec::new();
    for run in slips.chunk_by(|one, next| one.goes_on_with(next, slips)) {
        let Some(first) = run.first().filter(|first| !known.contains(&first.change())) else { continue };
        let others = first.recurrences(slips).len();
        let message = format!("{}{}", clause(texture, run), so_too(others));
        let notes = run.iter().flat_map(|slip| slip.theme.spot_of(texture, slip.due.note).notes().to_vec());
        let spot = Spot::new(first.theme.spot_of(texture, first.due.note).onset(), notes.collect());
        let evidence = Evidence::Instead { found: first.due.found, due: first.due.pitch };
        if others > 0 || first.weighing == Weighing::Choice {
            known.extend(run.iter().map(Slip::change));
            report.add_remark(spot, format_args!("{message}"), evidence);
        } else if first.weighing == Weighing::Lighter || run.iter().all(Slip::leads_on) {
            report.add_lighter(spot, format_args!("{message}"), evidence);
        } else {
            report.add(spot, format_args!("{message}"), evidence);
        }
    }
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

/// How many other entries have the same, as the end of a clause: nothing if none.
pub(super) fn so_too(others: usize) -> String {
    match others {
        0 => String::new(),
        1 => "; another entry has it so, too".to_owned(),
        _ => format!("; {others} other entries have it so, too"),
    }
}
