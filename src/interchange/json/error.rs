//! Why JSON cannot be read.

/// Why JSON cannot be read as a subject or an exposition.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// The text is no JSON.
    #[error("the text is not JSON: {message} (compare it with the example in the guide)")]
    Syntax {
        /// What the parser says, with line and column.
        message: String,
    },
    /// A field is not there.
    #[error("{field}: the field is missing (write it as {expected})")]
    Missing {
        /// The field, with the path to it.
        field: String,
        /// What it should hold.
        expected: &'static str,
    },
    /// A field has a value of the wrong kind.
    #[error("{field}: write it as {expected}, not as {found}")]
    Kind {
        /// The field, with the path to it.
        field: String,
        /// What it should hold.
        expected: &'static str,
        /// What it holds.
        found: &'static str,
    },
    /// A field that this form does not have.
    #[error("{field}: there is no such field (the fields here are {known})")]
    Unknown {
        /// The field, with the path to it.
        field: String,
        /// The fields that there are.
        known: String,
    },
    /// A value that cannot be.
    #[error("{field}: {message}")]
    Value {
        /// The field, with the path to it.
        field: String,
        /// What is wrong with it, and how to mend it.
        message: String,
        /// The code of the error of the layer below, or `json-value` for a contradiction.
        code: &'static str,
    },
}

impl ReadError {
    /// A stable name of the kind of error, for programs: that of the layer below where a value cannot be.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "json-syntax",
            Self::Missing { .. } => "json-missing",
            Self::Kind { .. } => "json-kind",
            Self::Unknown { .. } => "json-unknown",
            Self::Value { code, .. } => code,
        }
    }

    /// The field concerned, with the path to it; `None` if the text is no JSON.
    pub fn field(&self) -> Option<&str> {
        match self {
            Self::Syntax { .. } => None,
            Self::Missing { field, .. }
            | Self::Kind { field, .. }
            | Self::Unknown { field, .. }
            | Self::Value { field, .. } => Some(field),
        }
    }
}

/// An error of a layer below, with its stable code.
pub(super) trait Coded: std::fmt::Display {
    /// The code.
    fn code(&self) -> &'static str;
}

macro_rules! coded {
    ($($error:ty),+ $(,)?) => {$(
        impl Coded for $error {
            fn code(&self) -> &'static str {
                <$error>::code(self)
            }
        }
    )+};
}

coded!(
    crate::answer::AnswerError,
    crate::harmony::HarmonyError,
    crate::key::KeyError,
    crate::line::LineError,
    crate::meter::MeterError,
    crate::subject::SubjectError,
    crate::time::TimeError,
);
