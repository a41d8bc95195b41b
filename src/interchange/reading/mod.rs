#![doc = include_str!("READING.md")]

#[cfg(any(feature = "musicxml", feature = "midi"))]
mod divided;
mod door;
#[cfg(any(feature = "musicxml", feature = "midi"))]
mod lines;
mod remark;
#[cfg(any(feature = "musicxml", feature = "serde"))]
mod text;
#[cfg(any(feature = "musicxml", feature = "midi"))]
mod weave;

pub use door::{ReadError, read_bytes, read_score};
#[cfg(any(feature = "musicxml", feature = "midi"))]
pub(super) use lines::{Lines, Rank, Sounding, lines};
pub use remark::ReadRemark;
#[cfg(any(feature = "musicxml", feature = "serde"))]
pub(super) use text::decode;
#[cfg(feature = "midi")]
pub(super) use weave::together;
#[cfg(any(feature = "musicxml", feature = "midi"))]
pub(super) use weave::{MAX_WOVEN, Sign, weave};
#[cfg(feature = "musicxml")]
pub(super) use weave::{NEW_VOICE, Number, most_together, price};

use crate::exposition::Outline;
use crate::score::Score;

/// The largest file that is read, and the largest that a packed file may unpack to, in bytes.
pub const MAX_BYTES: u64 = 64 << 20;
/// The most bars that are read.
pub const MAX_READ_BARS: usize = 20_000;
/// The most notes that are read.
pub const MAX_READ_NOTES: usize = 1_000_000;

/// A score that was read, and what had to be dropped or normalised on the way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadScore {
    /// The music.
    pub score: Score,
    /// What differs from the file, in order of place where there is one.
    pub remarks: Vec<ReadRemark>,
    /// What the file says of its subject and entries; only our own expositions (JSON) do.
    pub outline: Option<Outline>,
}
