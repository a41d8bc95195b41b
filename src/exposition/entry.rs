//! Entries and the links between them.

use super::Role;
use crate::key::Key;
use crate::time::Time;
use std::ops::Range;

/// A statement of subject, answer or countersubject.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// What is stated.
    pub role: Role,
    /// The index of the voice, 0 being the top part.
    pub voice: usize,
    /// When it begins.
    pub onset: Time,
    /// Which notes of the voice's line it is.
    pub notes: Range<usize>,
    /// In which key.
    pub key: Key,
}

/// A codetta: a link that belongs to no entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Link {
    /// When it begins.
    pub onset: Time,
    /// When the next entry begins.
    pub end: Time,
}
