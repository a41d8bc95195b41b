//! Where rules put what they find.

use super::{Finding, RuleInfo};
use std::marker::PhantomData;

/// Collects the findings of a rule.
#[derive(Debug)]
pub struct Report<'a> {
    findings: Vec<Finding>,
    rule: PhantomData<&'a RuleInfo>,
}
