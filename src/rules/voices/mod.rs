//! How the voices lie: compass, spacing, crossing, overlap, doubling.

mod doubled_leading_note;
mod doubling;
mod hand_span;
mod keyboard;
mod out_of_compass;
mod out_of_tessitura;
mod quick_pedal;
mod spacing;
mod voice_crossing;
mod voice_overlap;

pub use doubled_leading_note::DoubledLeadingNote;
pub use doubling::Doubling;
pub use hand_span::HandSpan;
pub use keyboard::Keyboards;
pub use out_of_compass::OutOfCompass;
pub use out_of_tessitura::OutOfTessitura;
pub use quick_pedal::QuickPedal;
pub use spacing::Spacing;
pub use voice_crossing::{Equals, VoiceCrossing};
pub use voice_overlap::{Singers, VoiceOverlap};
