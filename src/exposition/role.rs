//! What an entry states.

/// The role of an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// The subject in the tonic.
    Subject,
    /// The answer.
    Answer,
    /// The countersubject.
    Countersubject,
}

impl Role {
    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Subject => "subject",
            Self::Answer => "answer",
            Self::Countersubject => "countersubject",
        }
    }
}
