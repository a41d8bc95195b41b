//! Sets of rules.

use super::{Finding, Rule};
use crate::texture::Texture;

/// A set of rules.
#[derive(Debug, Default)]
pub struct RuleBook {
    rules: Vec<Box<dyn Rule>>,
}

impl RuleBook {
    /// All findings of all rules, in order of onset.
    pub fn review(&self, texture: &Texture<'_>) -> Vec<Finding> {
        let _ = (&self.rules, texture);
        Vec::new()
    }
}
