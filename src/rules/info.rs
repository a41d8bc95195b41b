//! What a rule says of itself.

use crate::source::Source;
use std::fmt;

/// The name of a rule: its file name with dashes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct RuleId(&'static str);

impl RuleId {
    /// The id of a name in lower case with dashes.
    pub const fn new(name: &'static str) -> Self {
        Self(name)
    }

    /// Whether the name is lawful: words of lower-case letters joined by single dashes.
    pub fn is_lawful(self) -> bool {
        let is_word = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase());
        self.0.split('-').all(is_word)
    }

    /// The name.
    pub const fn as_str(self) -> &'static str {
        self.0
    }
}

impl fmt::Display for RuleId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.0)
    }
}

/// The weight of a finding, light first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Remark,
    /// Usually wrong, but defensible.
    Caution,
    /// Against a rule that the style holds absolute.
    Fault,
}

impl Severity {
    /// All weights, light first.
    pub const ALL: [Self; 3] = [Self::Remark, Self::Caution, Self::Fault];

    /// One step lighter; a remark stays a remark.
    #[must_use]
    pub const fn lighter(self) -> Self {
        match self {
            Self::Fault => Self::Caution,
            Self::Caution | Self::Remark => Self::Remark,
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Remark => "Remark",
            Self::Caution => "Caution",
            Self::Fault => "Fault",
        })
    }
}

/// What a rule is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RuleInfo {
    /// Its name.
    pub id: RuleId,
    /// The weight of its findings unless a book says otherwise.
    pub severity: Severity,
    /// What it finds, in one clause.
    pub summary: &'static str,
    /// Its page: what it finds, why, an example, exceptions, source.
    pub page: &'static str,
    /// Where it comes from.
    pub source: Source,
}
