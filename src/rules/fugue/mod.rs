//! How the entries of a fugue are made and ordered.
//!
//! These rules read the outline that the texture was given
//! ([`Texture::with_outline`](crate::texture::Texture::with_outline)) and judge its exposition;
//! without an outline they say nothing.

mod altered_entry;
mod companion;
mod displaced_entry;
mod dropped_countersubject;
mod fit;
mod inner_last_entry;
mod irregular_order;
mod misplaced_answer;
mod misplaced_return;
mod missing_codetta;
mod missing_entry;
mod overlong_codetta;
mod recurrence;
mod shadowing_countersubject;
mod silent_first_voice;
mod slip;
mod statement;
mod turn;
mod uninvertible_countersubject;
mod wrong_answer_note;
mod wrong_subject_note;

pub use altered_entry::AlteredEntry;
pub use displaced_entry::DisplacedEntry;
pub use dropped_countersubject::DroppedCountersubject;
pub use inner_last_entry::InnerLastEntry;
pub use irregular_order::IrregularOrder;
pub use misplaced_answer::MisplacedAnswer;
pub use misplaced_return::MisplacedReturn;
pub use missing_codetta::MissingCodetta;
pub use missing_entry::MissingEntry;
pub use overlong_codetta::OverlongCodetta;
pub use shadowing_countersubject::ShadowingCountersubject;
pub use silent_first_voice::SilentFirstVoice;
pub use uninvertible_countersubject::UninvertibleCountersubject;
pub use wrong_answer_note::WrongAnswerNote;
pub use wrong_subject_note::WrongSubjectNote;
