//! An entry as it stands in the score.

use crate::answer::Answer;
use crate::exposition::{Entry, Form, Outline, Role};
use crate::line::Note;
use crate::rules::Spot;
use crate::subject::Subject;
use crate::texture::Texture;

/// An entry with its notes: never without one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Statement<'t> {
    pub(super) entry: &'t Entry,
    /// Straight, unless other forms are asked for.
    pub(super) form: Form,
    pub(super) notes: &'t [Note],
    /// The tick on which the first note begins.
    pub(super) onset: i64,
    /// The tick on which the last note ends.
    pub(super) end: i64,
}

impl<'t> Statement<'t> {
    fn of(texture: &Texture<'t>, (form, entry): (Form, &'t Entry)) -> Option<Self> {
        let line = &texture.score().parts().get(entry.voice)?.line;
        let notes = line.notes().get(entry.notes.clone())?;
        let (first, last) = (notes.first()?, notes.last()?);
        let [onset, end] = [first.onset(), last.end()].map(|time| texture.grid().ticks(time));
        Some(Self { entry, form, notes, onset, end })
    }

    pub(super) const fn voice(&self) -> usize {
        self.entry.voice
    }

    /// The place of its beginning, with its first note.
    pub(super) fn spot(&self) -> Spot {
        Spot::new(self.onset, vec![(self.voice(), self.entry.notes.start)])
    }

    /// The place of one of its notes, counted from 0.
    pub(super) fn spot_of(&self, texture: &Texture<'_>, note: usize) -> Spot {
        let onset = self.notes.get(note).map_or(self.onset, |note| texture.grid().ticks(note.onset()));
        Spot::new(onset, vec![(self.voice(), self.entry.notes.start + note)])
    }

    /// The ticks that it has in common with another.
    pub(super) fn overlap(&self, other: &Self) -> i64 {
        self.end.min(other.end) - self.onset.max(other.onset)
    }
}

/// The statements of subject and answer in the whole piece that belong to the exposition, or are straight: in
/// order, in every form.
pub(super) fn all_statements<'t>(texture: &Texture<'t>) -> Vec<Statement<'t>> {
    let statements = texture.outline().map_or(Vec::new(), Outline::statements);
    statements.into_iter().filter_map(|stated| Statement::of(texture, stated)).collect()
}

/// The statements of subject and answer in the exposition, in order, in every form.
pub(super) fn statements<'t>(texture: &Texture<'t>) -> Vec<Statement<'t>> {
    let mut statements = all_statements(texture);
    statements.retain(|it| texture.outline().is_some_and(|outline| it.entry.onset < outline.end));
    statements
}

/// The entries of subject and answer in the exposition, in order: those that can be compared with them note by
/// note.
pub(super) fn themes<'t>(texture: &Texture<'t>) -> Vec<Statement<'t>> {
    let mut themes = statements(texture);
    themes.retain(|theme| theme.form == Form::Straight);
    themes
}

/// The entries of one role in the whole piece, in order.
pub(super) fn all_themes_of<'t>(texture: &Texture<'t>, role: Role) -> Vec<Statement<'t>> {
    let is_of_role = |it: &Statement<'_>| it.form == Form::Straight && it.entry.role == role;
    all_statements(texture).into_iter().filter(is_of_role).collect()
}

/// The entries of one role in the exposition, in order.
pub(super) fn themes_of<'t>(texture: &Texture<'t>, role: Role) -> Vec<Statement<'t>> {
    themes(texture).into_iter().filter(|theme| theme.entry.role == role).collect()
}

/// The subject and the answers that it has, the best first; `None` if nobody answers in the exposition or nothing
/// can be answered. Cost: the answers are derived anew.
pub(super) fn answered<'t>(texture: &Texture<'t>) -> Option<(&'t Subject, Vec<Answer>)> {
    let subject = &texture.outline()?.subject;
    let answers = (!themes_of(texture, Role::Answer).is_empty()).then(|| subject.answers().ok()).flatten()?;
    Some((subject, answers))
}

/// The entries of the countersubject in the exposition, in order.
pub(super) fn countersubjects<'t>(texture: &Texture<'t>) -> Vec<Statement<'t>> {
    let Some(outline) = texture.outline() else { return Vec::new() };
    let entries = outline.countersubjects().filter(|entry| entry.onset < outline.end);
    entries.filter_map(|entry| Statement::of(texture, (Form::Straight, entry))).collect()
}

/// The theme in another voice with which an entry of the countersubject sounds longest.
pub(super) fn theme_of<'s, 't>(
    themes: &'s [Statement<'t>],
    countersubject: &Statement<'t>,
) -> Option<&'s Statement<'t>> {
    let others = themes.iter().filter(|theme| theme.voice() != countersubject.voice());
    let longest = others.map(|theme| (theme.overlap(countersubject), theme)).rev().max_by_key(|it| it.0);
    longest.filter(|(overlap, _)| *overlap > 0).map(|it| it.1)
}
