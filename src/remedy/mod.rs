//! Remedies: for a finding, the smallest change that clears it, proven by reviewing again.
//!
//! [`search`] seeks a [`Remedy`](crate::rules::Remedy) for one finding, [`remedies`] for all of a review
//! ([`remedies_in_parallel`] by several threads), and [`review()`] reviews and seeks ([`review_in_parallel`]). A remedy
//!
//! - changes one note, or two, of those that the finding names or of their neighbours;
//! - leaves nothing of the finding: its rule marks these voices at this place no longer, nor anew within a bar of it;
//! - adds no finding of the same weight or a greater one, and of lighter ones as few as can be;
//! - leaves every subject and answer to be heard as such, where recognition finds them;
//! - touches no note of subject or answer, where the texture has an outline, unless the note departs
//!   from its theme: then it may become what the theme has there;
//! - touches a note of a countersubject in the same case, and, where nothing else helps, if the note
//!   differs from what goes with the other theme, or if the countersubject is stated once alone.
//!
//! Each candidate is first tried on the bars around it alone, rule by rule, and given up at the first
//! mark too many. Whatever passes is proven for the whole piece, with its outline recognized anew if it comes
//! from there, so that a remedy which is returned holds: by a review of all that the rules hear that look
//! near by ([`Reach`](crate::rules::Reach)), and of the whole piece for those that look all over it, or so far there.
//!
//! ```
//! use soggetto::remedy;
//! use soggetto::{RuleBook, Score};
//! let score = Score::excerpt("C major", "4/4", &["G4:1/4 A4 G4:1/2", "C4:1/4 D4:1/8 F4 E4:1/2"])?;
//! let book = RuleBook::free_baroque();
//! let findings = remedy::review(&score, None, &book);
//! assert_eq!(findings[0].message, "soprano and alto move in parallel fifths");
//! let remedy = findings[0].remedy.as_ref().ok_or("there is a remedy")?;
//! assert_eq!(remedy.to_string(), "soprano: F4 for A4 at bar 1, beat 2");
//! let mended = remedy.apply(&score)?;
//! assert!(book.review(&soggetto::Texture::of(&mended)).is_empty());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Order of the search
//!
//! One note first, then two, each of which takes away what the other would make anew. What is found of rhythm
//! ([`Rule::is_of_rhythm`](crate::rules::Rule::is_of_rhythm)) is mended by rhythm alone. Among changes of one note those that touch no countersubject come first;
//! then those of the notes named by the finding, before those of their neighbours; then smaller kinds
//! before greater (back to the theme, another pitch, a duration, the place of the next note, a rest for
//! half of a note or for a repeated one). Pitches are weighed: how many steps away, whether the form of the
//! degree is in use around, whether it clashes, and how the line goes to it and on from it, for the nearest
//! note is none that makes the voice leap; a pitch that tears the line is not tried. Among equals comes first
//! the note that sounds last; then the upper voice, and of two pitches the higher. The first that adds no
//! finding at all wins; failing that, the one that adds the fewest and lightest. No order depends on
//! chance, so that the same score has the same remedies.
//!
//! Cost for each finding: up to [`MAX_SINGLES`] and [`MAX_PAIRS`] reviews of a few bars, and up to
//! [`MAX_PROOFS`] proofs, each a review of some ten bars, and of the whole piece by a few rules.

mod candidate;
mod ground;
mod guard;
mod hearing;
mod ledger;
mod licence;
mod pairs;
mod pitches;
mod rhythm;
mod scope;
mod search;
mod trial;

pub use search::{
    MAX_FINDINGS, MAX_NOTES, MAX_PROOFS, MAX_SINGLES, MAX_WIDE, remedies, remedies_in_parallel, review,
    review_in_parallel, search,
};

pub use pairs::MAX_PAIRS;

#[cfg(test)]
mod tests;
