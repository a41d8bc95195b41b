//! Recognition: the outline of a fugue found in a score that nobody annotated.
//!
//! [`recognize`] hears which voice leads with the subject and which voices follow, decides where the
//! subject ends, and looks for every further entry in any key. What it returns is a
//! [`Recognition`]: the [`Outline`] that rules and reports read, how sure each entry is
//! ([`Evidence`]), and statements of the theme in other forms ([`Transformed`]).
//!
//! ```
//! use soggetto::{Score, exposition::Role, recognize::recognize};
//! let score = Score::excerpt("C major", "4/4", &[
//!     "R:5/4 G4:1/4 B4 D5 C5 B4:1/2 A4:1/4",
//!     "C4:1/4 E4 G4 F4 E4:1/2 D4:1/4 F4 E4 D4:1/2",
//! ])?;
//! let outline = recognize(&score).ok_or("a fugue")?.outline;
//! assert_eq!(outline.subject.line().to_string(), "C4:1/4 E4:1/4 G4:1/4 F4:1/4 E4:1/2");
//! assert_eq!((outline.entries[1].role, outline.entries[1].voice), (Role::Answer, 0));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What counts as an entry
//! Three quarters of the theme's notes must be there and right, of a short theme all but one; a false
//! entry of the head alone is none. The first and the last note may be longer or shorter. The notes
//! may lie at one distance from the subject's, or partly a step below it, as in a tonal answer, and go on
//! in another octave. A trill that one statement writes out and another holds, and a note that is struck
//! again or tied, are heard through, as far as there are few of them.
//!
//! What a note tells is counted in bits from the score itself: an interval or a duration that lines
//! often have tells little, a rare one much. Where a voice begins a few bits are enough; after a rest,
//! and still more in the midst of a line, an entry must be surer than the number of such places makes
//! it likely by chance. So a plain theme in running notes asks for exact entries, and four whole notes
//! among quavers are found wherever they are.
//!
//! # In which key
//! The key is that in which the notes of the subject and of the exposition, its first note and the last
//! bass note would be least unusual. The signature of the file counts for much, its mode for little.
//!
//! # What counts as a fugue
//! A voice begins, and at least half of the voices take up its notes, one of them at the fifth or
//! fourth; if some voices do not follow, the answer must be certain. A voice may follow after a rest,
//! having played something else before, and in other values or by contrary motion. An answer by
//! contrary motion is among [`Recognition::transformed`]. A point of imitation in vocal music that
//! fulfils this is fugal writing, and its entries are returned. If several subjects begin at once, the
//! first that is answered is the subject; the others are heard as countersubjects if they return.
//!
//! A fugue may follow an introduction if its first voice begins alone after silence.
//!
//! # What is no fugue
//! Voices that begin together, repeated notes, a round or two voices that imitate each other at the octave, and two
//! voices in canon. Where three voices or more have the theme one after another at the octave and then go on otherwise,
//! the second is heard as an answer gone astray.

mod countersubject;
mod ending;
mod entries;
mod extent;
mod forms;
mod habits;
mod keys;
mod likeness;
mod memory;
mod opening;
mod pairing;
mod roles;
mod strand;
mod theme;
mod value;

pub(crate) use memory::Memory;
pub use value::{Evidence, Recognition, Transformed};

use self::countersubject::Appearance;
use self::entries::{Field, Found};
use self::extent::{Extent, Span};
use self::habits::Habits;
use self::opening::Opening;
use self::roles::Judge;
use self::strand::Strands;
use self::theme::Theme;
use crate::exposition::{Entry, Form, Link, Outline, Role};
use crate::key::Key;
use crate::line::Line;
use crate::score::Score;
use crate::subject::Subject;
use crate::time::Time;
use std::ops::Range;

/// The most notes of a subject that is looked for.
pub const MAX_NOTES: usize = 400;

/// The outline of a fugue, or `None` if the score does not open as one.
///
/// Takes time proportional to the notes of the score, and at worst to those times the notes of the
/// subject.
pub fn recognize(score: &Score) -> Option<Recognition> {
    hear(score, OtherForms::Sought, None)
}

/// The outline that [`recognize`] finds, without what it says besides: statements in other forms are
/// sought only where nothing else answers the subject or a voice has no entry in its turn, which saves most of
/// the time.
///
/// ```
/// use soggetto::{Score, recognize};
/// let score = Score::excerpt("C major", "4/4", &[
///     "R:5/4 G4:1/4 B4 D5 C5 B4:1/2 A4:1/4",
///     "C4:1/4 E4 G4 F4 E4:1/2 D4:1/4 F4 E4 D4:1/2",
/// ])?;
/// let outline = recognize::outline(&score);
/// assert!(outline.is_some());
/// assert_eq!(outline, recognize::recognize(&score).map(|found| found.outline));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn outline(score: &Score) -> Option<Outline> {
    Some(hear(score, OtherForms::IfNeeded, None)?.outline)
}

/// The statements of an outline's subject in other forms, upside down or in other note values, that
/// overlap no entry of theirs in their voice: what [`recognize`] says besides the outline, for an outline that
/// is known already.
///
/// ```
/// use soggetto::{Score, recognize};
/// let score = Score::excerpt("C major", "4/4", &[
///     "R:5/4 G4:1/4 B4 D5 C5 B4:1/2 A4:1/4 R:4",
///     "C4:1/4 E4 G4 F4 E4:1/2 D4:1/4 F4 E4 D4:1/2 R:1/4 C4:1/2 E4 G4 F4 E4:1 D4:1/2",
/// ])?;
/// let outline = recognize::outline(&score).ok_or("a fugue")?;
/// let forms = recognize::other_forms(&score, &outline);
/// assert_eq!(Some(forms), recognize::recognize(&score).map(|found| found.transformed));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn other_forms(score: &Score, outline: &Outline) -> Vec<Transformed> {
    let strands = Strands::of(score);
    let habits = Habits::of(&strands);
    let leader = outline.themes().find(|entry| entry.role == Role::Subject);
    let tones = leader.and_then(|leader| strands.voice(leader.voice).get(leader.notes.clone()));
    let theme = tones.and_then(|tones| Theme::of(tones, &habits));
    let (Some(leader), Some(theme)) = (leader, theme) else { return Vec::new() };
    let field = Field::new(&strands, &habits, strands.grid.ticks(leader.onset));
    let answers = outline.subject.answers().unwrap_or_default();
    let judge = Judge { score, subject: &outline.subject, answers };
    let straight = outline.themes().map(|entry| (entry.voice, entry.notes.clone()));
    forms::find(&field, &theme, &judge, straight)
}

/// When statements of the theme in other forms are looked for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum OtherForms {
    Sought,
    /// Where nothing else answers the subject or a voice has no entry in its turn.
    IfNeeded,
}

fn hear(score: &Score, forms: OtherForms, memory: Option<&Memory>) -> Option<Recognition> {
    let led = Led::of(score, memory)?;
    let field = led.field().remembering(memory);
    let mut found = field.find(&led.theme, Form::Straight);
    leave_out_doublings(&mut found);
    let search =
        Search { score, strands: &led.strands, opening: &led.opening, theme: &led.theme, field: &field };
    search.recognition(led.subject.clone(), &found, forms)
}

/// What is known as soon as the leading voice has stated its theme and others have taken it up.
struct Led {
    strands: Strands,
    habits: Habits,
    opening: Opening,
    subject: Subject,
    theme: Theme,
}

impl Led {
    fn of(score: &Score, memory: Option<&Memory>) -> Option<Self> {
        let strands = Strands::of(score);
        let habits = Habits::of(&strands);
        let bar =
            |tick| strands.grid.ticks(score.meters().at(strands.grid.time(tick).unwrap_or(Time::ZERO)).bar());
        let opening = Opening::of(&strands, &habits, bar)?;
        let (key, count) = key_and_length(score, &strands, &opening, memory);
        let subject = subject(score, &opening, count, key)?;
        let led = strands.voice(opening.leader).get(opening.first..opening.first + count)?;
        let theme = Theme::of(led, &habits)?;
        Some(Self { strands, habits, opening, subject, theme })
    }

    /// Where entries are looked for.
    fn field(&self) -> Field<'_> {
        Field::new(&self.strands, &self.habits, self.opening.onset)
    }
}

/// The voices and notes that entries take.
fn taken(found: &[Found]) -> impl Iterator<Item = (usize, Range<usize>)> {
    found.iter().map(|entry| (entry.voice, entry.likeness.first..entry.likeness.end))
}

/// Leaves out what goes along with an entry in its place, in thirds or sixths: that doubles it, and is none (common
/// practice).
fn leave_out_doublings(found: &mut Vec<Found>) {
    let in_place = |it: &&Found| it.likeness.is_in_place();
    let starts: Vec<i64> = found.iter().filter(in_place).map(|it| it.likeness.start).collect();
    found.retain(|it| it.likeness.is_in_place() || !starts.contains(&it.likeness.start));
}

/// The key, and how many notes of the leading voice are the subject: the likely key helps to find the last note,
/// and that tells the key more surely.
fn key_and_length(
    score: &Score,
    strands: &Strands,
    opening: &Opening,
    memory: Option<&Memory>,
) -> (Key, usize) {
    let told = |evidence: &keys::Evidence| memory.map_or_else(|| evidence.key(), |it| it.key(evidence));
    let evidence = keys::Evidence::of(score, strands, opening);
    let likely = told(&evidence);
    let count = ending::find(opening, strands, score, likely);
    let key = told(&evidence.closing(score, opening, count));
    (key, if key == likely { count } else { ending::find(opening, strands, score, key) })
}

/// The first notes of the leading voice as a subject.
fn subject(score: &Score, opening: &Opening, count: usize, key: Key) -> Option<Subject> {
    let line = &score.parts().get(opening.leader)?.line;
    let notes = line.notes().get(opening.first..opening.first + count)?;
    let (first, last) = (notes.first()?, notes.last()?);
    let line: Line = line.sliced(first.onset(), last.end()).ok()?;
    let (meter, offset) = score.meters().place(first.onset()).ok()?;
    Subject::heard_in(key, meter, offset, line).ok()
}

/// All that the outline is put together from.
struct Search<'a> {
    score: &'a Score,
    strands: &'a Strands,
    opening: &'a Opening,
    theme: &'a Theme,
    field: &'a Field<'a>,
}

impl Search<'_> {
    fn recognition(&self, subject: Subject, found: &[Found], forms: OtherForms) -> Option<Recognition> {
        let answers = subject.answers().unwrap_or_default();
        let judge = Judge { score: self.score, subject: &subject, answers };
        let mut entries = self.straight(found, &judge)?;
        let straight: Vec<Span> = entries.iter().map(|(entry, _)| self.span(entry)).collect();
        let is_answered = entries.iter().any(|(entry, _)| entry.role == Role::Answer);
        let is_whole = extent::is_whole(&straight, self.theme.span(), self.strands);
        let transformed = match forms {
            OtherForms::IfNeeded if is_answered && is_whole => Vec::new(),
            _ => forms::find(self.field, self.theme, &judge, taken(found)),
        };
        let is_answered = is_answered || transformed.iter().any(|other| other.entry.role == Role::Answer);
        if !is_answered || entries.first().is_none_or(|(entry, _)| entry.voice != self.opening.leader) {
            return None;
        }
        let others: Vec<&Transformed> =
            transformed.iter().filter(|other| !is_whole && other.evidence.is_certain()).collect();
        let extent = self.extent(&straight, &others);
        let codettas = self.codettas(&extent);
        for appearance in countersubject::find(found, self.theme, self.strands) {
            let key = entries.get(appearance.against)?.0.key;
            entries.push((self.countersubject(appearance, key)?, Evidence::default()));
        }
        entries.sort_by_key(|(entry, _)| (entry.onset, entry.role));
        let (entries, evidence) = entries.into_iter().unzip();
        let belongs = |other: &&&Transformed| extent.holds(&self.span(&other.entry));
        let others = others.iter().filter(belongs).map(|other| (other.form, other.entry.clone())).collect();
        let end = self.time(extent.end)?;
        let outline = Outline { subject, entries, others, codettas, end };
        Some(Recognition { outline, evidence, transformed })
    }

    /// The straight entries of subject and answer.
    fn straight(&self, found: &[Found], judge: &Judge<'_>) -> Option<Vec<(Entry, Evidence)>> {
        let mut heard = vec![false; self.strands.count()];
        let entry = |theme: &Found| {
            let is_first = !std::mem::replace(&mut heard[theme.voice], true);
            let onset = theme.onset(self.strands);
            let mut entry = judge.entry(theme, self.time(onset)?, is_first);
            if self.opening.astray == Some(onset) {
                entry.role = Role::Answer;
            }
            Some((entry, Evidence::of(&theme.likeness)))
        };
        found.iter().map(entry).collect()
    }

    fn span(&self, entry: &Entry) -> Span {
        Span::of(entry, self.strands)
    }

    fn extent(&self, straight: &[Span], others: &[&Transformed]) -> Extent {
        let others: Vec<Span> = others.iter().map(|other| self.span(&other.entry)).collect();
        Extent::of(straight, &others, self.theme.span(), self.strands.count())
    }

    fn time(&self, ticks: i64) -> Option<Time> {
        self.strands.grid.time(ticks).ok()
    }

    /// The gaps between statements of the exposition.
    fn codettas(&self, extent: &Extent) -> Vec<Link> {
        let gap = |pair: &[Span]| {
            let (from, to) = (pair[0].end, pair[1].onset);
            let (onset, end) = (self.time(from)?, self.time(to)?);
            (from < to).then_some(Link { onset, end })
        };
        extent.spans.windows(2).filter_map(gap).collect()
    }

    fn countersubject(&self, appearance: Appearance, key: Key) -> Option<Entry> {
        let first = self.strands.voice(appearance.voice).get(appearance.notes.start)?;
        let onset = self.time(first.on)?;
        Some(Entry {
            role: Role::Countersubject,
            voice: appearance.voice,
            onset,
            notes: appearance.notes,
            key,
        })
    }
}

#[cfg(test)]
mod tests;
