//! Tries a rule on lines of text, for the tests of the rules.

use super::{Finding, Rule};
use crate::exposition::{Entry, Form, Outline, Role};
use crate::score::{Part, Score};
use crate::texture::Texture;
use crate::voice::Voice;
use std::ops::Range;

/// What the rule finds in lines in C major, each finding as place, severity, voices, notes and
/// message.
pub(super) fn found(rule: &dyn Rule, meter: &str, lines: &[&str]) -> Vec<String> {
    found_in(rule, "C major", meter, lines)
}

/// The same in another key.
pub(super) fn found_in(rule: &dyn Rule, key: &str, meter: &str, lines: &[&str]) -> Vec<String> {
    let score = Score::excerpt(key, meter, lines).unwrap();
    Texture::of(&score).marks(rule).into_iter().map(mark).collect()
}

/// What the rule finds in lines in C major and 4/4 whose voices have these names.
pub(super) fn found_by_name(rule: &dyn Rule, parts: &[(&str, &str)]) -> Vec<String> {
    let lines: Vec<&str> = parts.iter().map(|(_, line)| *line).collect();
    let score = Score::excerpt("C major", "4/4", &lines).unwrap();
    let named = score.parts().iter().zip(parts);
    let named = named.map(|(part, (name, _))| Part { voice: Voice::new(*name), line: part.line.clone() });
    let score = score.with_parts(named.collect()).unwrap();
    Texture::of(&score).marks(rule).into_iter().map(mark).collect()
}

/// What the rule finds in lines in C major and 4/4 whose entries are marked.
pub(super) fn found_in_fugue(
    rule: &dyn Rule,
    lines: &[&str],
    marks: &[(Role, usize, Range<usize>)],
) -> Vec<String> {
    let score = Score::excerpt("C major", "4/4", lines).unwrap();
    let outline = Outline::marked(&score, marks).unwrap();
    Texture::of(&score).with_outline(&outline).marks(rule).into_iter().map(mark).collect()
}

/// The same with statements in other forms: each a form, a voice and the notes of its line.
pub(super) fn found_in_forms(
    rule: &dyn Rule,
    lines: &[&str],
    marks: &[(Role, usize, Range<usize>)],
    others: &[(Form, usize, Range<usize>)],
) -> Vec<String> {
    let score = Score::excerpt("C major", "4/4", lines).unwrap();
    let mut outline = Outline::marked(&score, marks).unwrap();
    for (form, voice, notes) in others {
        let stated = &score.parts()[*voice].line.notes()[notes.clone()];
        let (onset, key) = (stated[0].onset(), score.key());
        outline.end = outline.end.max(stated.last().unwrap().end());
        let entry = Entry { role: Role::Answer, voice: *voice, onset, notes: notes.clone(), key };
        outline.others.push((*form, entry));
    }
    Texture::of(&score).with_outline(&outline).marks(rule).into_iter().map(mark).collect()
}

fn mark(finding: Finding) -> String {
    let Finding { place, severity, notes, message, .. } = finding;
    format!("{place}: {severity} {notes:?} {message}")
}
