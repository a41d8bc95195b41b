//! A picture of an exposition, to be understood at a glance.
//!
//! Time runs to the right, bars are numbered, and each voice has a lane of its own, the top part
//! uppermost. A note is a bar at its sounding height, a semitone being the same in every lane, so
//! that one theme has one shape wherever it enters. Roles differ by shade, by pattern and by the
//! word over the entry, so that the picture reads in grey print and without colour vision. Rests
//! are dotted lines, codettas shaded bands; findings are numbered signs, with their text below.
//!
//! [`write()`] gives a standalone SVG 1.1 document.

mod draw;
mod error;
mod foot;
mod layout;
mod notes;
mod style;

pub use draw::write;
pub use error::PictureError;
