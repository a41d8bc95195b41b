//! A report in Markdown: what was written, why, and how good it is.
//!
//! [`write()`] describes an exposition and the findings of a review, in a form that reads well raw:
//! tables are aligned, music stands in text notation. [`write_review`] does so for the review of any
//! score.

mod report;
mod review;
mod table;

pub use report::write;
pub use review::write_review;
