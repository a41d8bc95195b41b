//! Remedies: for a finding, the smallest change that clears it, proven by reviewing again.
//!
//! [`search`] seeks a [`Remedy`](crate::rules::Remedy) for one finding, [`remedies`] for all of a review, and
//! [`review()`] reviews and seeks. A remedy
//!
//! - changes one note, or two, of those that the finding names or of their neighbours;
//! - leaves nothing of the finding: its rule marks these voices at this place no longer;
//! - adds no finding of the same weight or a greater one, and of lighter ones as few as can be;
//! - touches no note of subject, answer or countersubject, where the texture has an outline, unless
//!   the note departs from its theme: then it may become what the theme has there.
//!
//! Each candidate is first tried on the bars around it alone. Whatever passes is proven by a review
//! of the whole piece, so that a remedy which is returned holds.
//!
//! ```
//! use soggetto::remedy;
//! use soggetto::{RuleBook, Score};
//! let score = Score::excerpt("C major", "4/4", &["G4:1/4 A4 G4:1/2", "C4:1/4 D4:1/8 F4 E4:1/2"])?;
//! let book = RuleBook::free_baroque();
//! let findings = remedy::review(&score, None, &book);
//! assert_eq!(findings[0].message, "soprano and alto move in parallel fifths");
//! let remedy = findings[0].remedy.as_ref().ok_or("there is a remedy")?;
//! assert_eq!(remedy.to_string(), "soprano: B4 for A4 at bar 1, beat 2");
//! let mended = remedy.apply(&score)?;
//! assert!(book.review(&soggetto::Texture::of(&mended)).is_empty());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Order of the search
//!
//! One note first, then two. Among changes of one note those of the notes named by the finding come
//! before those of their neighbours; then pitches that go with what sounds before those that clash;
//! then smaller kinds before greater (back to the theme, a step in the key, another note of the chord,
//! an octave, a farther note of the key, a foreign semitone, a duration, the place of the next note, a
//! rest for a repeated note); then the nearer pitch; then the note that sounds last; then the upper
//! voice, and of two pitches the higher. The first that adds no finding at all wins;
//! failing that, the one that adds the fewest and lightest. No order depends on chance, so that the
//! same score has the same remedies.
//!
//! Cost for each finding: up to [`MAX_SINGLES`] and [`MAX_PAIRS`] reviews of a few bars, and up to
//! [`MAX_PROOFS`] of the whole piece.

mod candidate;
mod ground;
mod guard;
mod ledger;
mod pairs;
mod pitches;
mod rhythm;
mod search;
mod slips;

pub use search::{MAX_FINDINGS, MAX_NOTES, MAX_PROOFS, MAX_SINGLES, remedies, review, search};

pub use pairs::MAX_PAIRS;

#[cfg(test)]
mod tests;
