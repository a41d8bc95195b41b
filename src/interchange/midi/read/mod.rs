//! Reading Standard MIDI Files.

use super::super::reading::ReadScore;

/// Why a Standard MIDI File cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// Not yet.
    #[error("this format cannot be read yet (export the score as MusicXML)")]
    Unready,
}
impl ReadError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        "midi-unready"
    }
}

/// Reads a score.
///
/// # Errors
/// Always, for now.
pub fn read(_: &[u8]) -> Result<ReadScore, ReadError> {
    Err(ReadError::Unready)
}
