//! The countersubject: one line that goes with the answer and the subject, above and below.
//!
//! It is sought where it is first heard, against the answer, in the voice that has just had the
//! subject. All its later appearances are brought into that place: the subject is moved up to
//! the answer's key, octaves are added, and what remains is one search with several settings.
//! Fifths count as fourths, so that the line can be turned upside down.
//!
//! - `search`: the search over relations, manners and rhythms;
//! - `relation`: how the line follows from the answer to the subject;
//! - `uses`: with which entries one range can serve it, how many octaves away;
//! - `home`: every appearance brought to the place where the line is first heard;
//! - `found`: a countersubject, and how it goes with each entry.
//!
//! Source: Prout, *Fugue*, §§159-163, 169-171, 194; Cherubini, *Treatise*, "On counter-subject".

mod found;
mod home;
mod relation;
mod search;
#[cfg(test)]
mod tests;
mod uses;

pub(super) use found::Countersubject;
pub(super) use search::Order;
