//! Notes of an entry that differ from what is due, and how much that matters.

use super::fit::Due;
use super::statement::Statement;
use crate::interval::Interval;
use crate::rules::{Evidence, Report};
use crate::texture::Texture;

/// How many notes at the end of an entry may be inflected to lead on.
const CLOSE: usize = 3;

/// A note that differs from what is due.
#[derive(Clone, Debug)]
pub(super) struct Slip<'t> {
    pub(super) theme: Statement<'t>,
    pub(super) due: Due,
    /// How many notes the theme has.
    pub(super) length: usize,
    /// What is said of it.
    pub(super) message: String,
    /// How the rule itself weighs it.
    pub(super) weighing: Weighing,
}

impl Slip<'_> {
    /// What was put for what is due.
    fn change(&self) -> (usize, Interval) {
        (self.due.index, self.due.found - self.due.pitch)
    }

    /// Whether it only bends one of the last notes by an accidental, towards what follows.
    fn leads_on(&self) -> bool {
        self.due.is_inflected() && self.due.index + CLOSE >= self.length
    }

    /// Whether another entry has the same in the same place.
    fn recurs(&self, slips: &[Self]) -> bool {
        slips.iter().any(|other| other.theme.onset != self.theme.onset && other.change() == self.change())
    }
}

/// How a wrong note is weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Weighing {
    /// As the book says.
    Full,
    /// One step lighter.
    Lighter,
}

/// Reports slips: what recurs in another entry once, as the composer's own reading; what leads on, and
/// what the rule itself weighs lighter, one step lighter; the rest in full.
pub(super) fn report_slips(texture: &Texture<'_>, slips: &[Slip<'_>], report: &mut Report<'_>) {
    let mut known = Vec::new();
    for slip in slips {
        let Due { note, found, pitch, .. } = slip.due;
        let (spot, message) = (slip.theme.spot_of(texture, note), &slip.message);
        let evidence = Evidence::Instead { found, due: pitch };
        if slip.recurs(slips) {
            if !known.contains(&slip.change()) {
                known.push(slip.change());
                let message = format_args!("{message}; another entry has it so, too");
                report.add_remark(spot, message, evidence);
            }
        } else if slip.weighing == Weighing::Lighter || slip.leads_on() {
            report.add_lighter(spot, format_args!("{message}"), evidence);
        } else {
            report.add(spot, format_args!("{message}"), evidence);
        }
    }
}
