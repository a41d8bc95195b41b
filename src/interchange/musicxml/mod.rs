//! MusicXML 4.0.

mod rhythm;
