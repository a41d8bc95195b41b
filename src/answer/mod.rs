//! Answers: the subject as the second voice takes it up.
//!
//! [`Subject::answers`](crate::subject::Subject::answers) derives them, best first, by one model.
//! Every note of a subject is heard either in the tonic, and then answered at the fifth, or in the
//! dominant, and then at the fourth: its [`Reading`]. An answer is a path through these two
//! readings. What speaks against a path is charged by a table of costs, each line with its rule in the
//! handbooks ([`Charge`]); the paths that cost least are found exactly. So a real answer is the path
//! that never changes, a tonal one a path that does, and each [`Answer`] can say what it costs and
//! why ([`Answer::costs`]) and what it alters and why ([`Answer::alterations`]).
//!
//! ```
//! use soggetto::answer::AnswerKind;
//! use soggetto::subject::Subject;
//!
//! // Prout, Fugue, §57 (b): the C# leads to the dominant, so the answer turns back at the second note.
//! let subject = Subject::from_text("G major", "4/4", "0", "G4:1 B4 E4 C#4 D4:1/2")?;
//! let answers = subject.answers()?;
//! assert_eq!(answers[0].kind(), AnswerKind::Tonal);
//! assert_eq!(answers[0].line().to_string(), "D5:1 E5:1 A4:1 F#4:1 G4:1/2");
//! assert_eq!(answers[0].costs()[0].to_string(), "note 2: an interval changes its size (1)");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Terms
//! *At the fifth* means a fifth above or a fourth below, *at the fourth* a fourth above or a fifth
//! below. *Real* is an answer that transposes exactly (Prout, *Fugue*, §57); a subject wholly in the
//! dominant has a real answer at the fourth (§70). Other authors call any answer with a changed note
//! *tonal*; here one that changes nothing but the closing third is still real (§§68-69).
//!
//! # How it is built
//! [`Hearing`] names why a note is read as it is; the facts of a subject (its opening, its way to the
//! dominant) are found once; a table turns two hearings in a row into charges; a search linear in
//! the notes finds the cheapest paths of different shapes; each becomes an answer.

mod alteration;
mod candidates;
mod charges;
mod cost;
mod draft;
mod error;
mod facts;
mod hearing;
mod hints;
mod kind;
#[cfg(test)]
mod laws;
mod modulation;
mod opening;
mod search;
#[cfg(test)]
mod strategy;
#[cfg(test)]
mod validation;
mod value;

pub use alteration::{Alteration, Reason};
pub use candidates::MAX_ANSWERS;
pub use cost::{Charge, CostLine};
pub use error::AnswerError;
pub use hearing::Hearing;
pub use kind::{AnswerKind, Reading};
pub use value::Answer;
