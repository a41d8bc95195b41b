//! Rules of the craft: what a strict teacher would mark.
//!
//! A [`Rule`] looks at the facts of a [`crate::texture::Texture`] and reports [`Finding`]s; a
//! [`RuleBook`] is a set of rules, ours or a stranger's alike.

mod book;
mod books;
mod chord;
mod dissonance;
mod evidence;
mod finding;
mod fugue;
mod info;
mod local;
mod melody;
mod motion;
mod passages;
mod reach;
mod remedy;
mod report;
mod rhythm;
#[cfg(test)]
mod trial;
mod voices;
mod words;

pub use book::{RuleBook, RuleBookError};
pub use dissonance::*;
pub use evidence::Evidence;
pub(crate) use evidence::Extent;
pub use finding::Finding;
pub use fugue::*;
pub use info::{RuleId, RuleInfo, Severity};
pub use melody::*;
pub use motion::*;
pub use reach::{NOTES as NEAR_NOTES, Reach};
pub use remedy::{Change, Remedy, RemedyError};
pub use report::{Report, Spot};
pub use rhythm::*;
pub use voices::*;

use crate::texture::Texture;

/// A rule.
pub trait Rule: std::fmt::Debug + Send + Sync {
    /// What the rule is: its name, weight, page and source.
    fn info(&self) -> &RuleInfo;

    /// Reports what it finds; the report puts it in order of onset.
    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>);

    /// Whether it is about when notes begin and end, so that nobody would mend what it finds by another pitch: not,
    /// unless a rule says so.
    fn is_of_rhythm(&self) -> bool {
        false
    }

    /// How far it looks in a texture: all over the piece, unless a rule knows better. After a change only
    /// what lies within reach is heard again.
    fn reach(&self, _texture: &Texture<'_>) -> Reach {
        Reach::Piece
    }
}
