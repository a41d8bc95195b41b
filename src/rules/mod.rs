//! Rules of the craft: what a strict teacher would mark.
//!
//! A [`Rule`] looks at the facts of a [`crate::texture::Texture`] and reports [`Finding`]s; a
//! [`RuleBook`] is a set of rules, ours or a stranger's alike.

mod book;
mod evidence;
mod finding;
mod info;
mod report;

pub use book::RuleBook;
pub use evidence::Evidence;
pub use finding::{Finding, Remedy};
pub use info::{RuleId, RuleInfo, Severity};
pub use report::Report;

use crate::texture::Texture;

/// A rule.
pub trait Rule: std::fmt::Debug + Send + Sync {
    /// What the rule is: its name, weight, page and source.
    fn info(&self) -> &RuleInfo;

    /// Reports what it finds, in order of onset.
    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>);
}
