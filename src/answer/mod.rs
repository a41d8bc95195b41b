//! Answers: the subject as the second voice takes it up.

mod alteration;
mod build;
mod charges;
mod cost;
mod error;
mod facts;
mod hearing;
mod kind;
mod opening;
mod search;
mod value;

pub use alteration::{Alteration, Reason};
pub use cost::{Charge, CostLine};
pub use error::AnswerError;
pub use hearing::Hearing;
pub use kind::{AnswerKind, Reading};
pub use value::Answer;
