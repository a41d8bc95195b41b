//! How the voices lie: compass, spacing, crossing, overlap, doubling.

mod doubled_leading_note;
mod out_of_compass;
mod spacing;
mod voice_crossing;
mod voice_overlap;

pub use doubled_leading_note::DoubledLeadingNote;
pub use out_of_compass::OutOfCompass;
pub use spacing::Spacing;
pub use voice_crossing::VoiceCrossing;
pub use voice_overlap::VoiceOverlap;
