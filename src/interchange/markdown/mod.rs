//! A report in Markdown: what was written, why, and how good it is.
//!
//! [`write()`] describes an exposition and the findings of a review, in a form that reads well raw:
//! tables are aligned, music stands in text notation.

mod report;
mod table;

pub use report::write;
