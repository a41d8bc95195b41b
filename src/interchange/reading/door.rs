//! One door for all formats.

use super::super::files::FileError;
use super::{MAX_BYTES, ReadScore};
use std::fs::File;
use std::io::Read as _;
use std::path::Path;

/// Why a score cannot be read: the message is that of the format.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// The file.
    #[error(transparent)]
    File(#[from] FileError),
    /// Larger than is read.
    #[error("{name} has more than {MAX_BYTES} bytes (give a file with one piece of music)")]
    TooLarge {
        /// The name given.
        name: String,
    },
    /// Nothing is in it.
    #[error("{name} is empty (export the score again)")]
    Empty {
        /// The name given.
        name: String,
    },
    /// The content is in no format that is read here.
    #[error(
        "{name} is no score: expected MusicXML (.musicxml, .mxl), a Standard MIDI File (.mid) or our JSON (.json) (export it in one of these)"
    )]
    Format {
        /// The name given.
        name: String,
    },
    /// The format is known, but this build reads without it.
    #[error("{name} is a {format} file, which this build does not read (build with the feature {feature:?})")]
    Feature {
        /// The name given.
        name: String,
        /// The format.
        format: &'static str,
        /// The cargo feature.
        feature: &'static str,
    },
    /// MusicXML.
    #[cfg(feature = "musicxml")]
    #[error(transparent)]
    MusicXml(Box<super::super::musicxml::ReadError>),
    /// A Standard MIDI File.
    #[cfg(feature = "midi")]
    #[error(transparent)]
    Midi(Box<super::super::midi::ReadError>),
    /// JSON.
    #[cfg(feature = "serde")]
    #[error(transparent)]
    Json(Box<super::super::json::ReadError>),
}

impl ReadError {
    /// A stable name of the kind of error, for programs: that of the format where it raised the error.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::File(error) => error.code(),
            Self::TooLarge { .. } => "read-too-large",
            Self::Empty { .. } => "read-empty",
            Self::Format { .. } => "read-format",
            Self::Feature { .. } => "read-feature",
            #[cfg(feature = "musicxml")]
            Self::MusicXml(error) => error.code(),
            #[cfg(feature = "midi")]
            Self::Midi(error) => error.code(),
            #[cfg(feature = "serde")]
            Self::Json(error) => error.code(),
        }
    }
}

/// Reads the score in a file.
///
/// ```no_run
/// use soggetto::interchange::read_score;
/// let read = read_score("exposition.musicxml")?;
/// for remark in &read.remarks {
///     println!("{remark}");
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// As [`read_bytes`], and if the file cannot be read.
pub fn read_score(path: impl AsRef<Path>) -> Result<ReadScore, ReadError> {
    let path = path.as_ref();
    let refused = |error: std::io::Error| {
        let (kind, reason) = (error.kind(), error.to_string());
        ReadError::File(FileError::Unreadable { path: path.to_owned(), kind, reason })
    };
    let file = File::open(path).map_err(refused)?;
    let size = file.metadata().map_or(0, |metadata| metadata.len().min(MAX_BYTES));
    let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or(0) + 1);
    file.take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(refused)?;
    read_bytes(&path.display().to_string(), &bytes)
}

/// Reads a score from the bytes of a file. The content tells the format; the name is for messages.
///
/// # Errors
/// If there is no content, it is in no format that is read here, or its reader refuses it.
pub fn read_bytes(name: &str, bytes: &[u8]) -> Result<ReadScore, ReadError> {
    if bytes.len() as u64 > MAX_BYTES {
        return Err(ReadError::TooLarge { name: name.to_owned() });
    }
    match Kind::of(bytes) {
        Some(Kind::MusicXml) => read_musicxml(name, bytes),
        Some(Kind::Midi) => read_midi(name, bytes),
        Some(Kind::Json) => read_json(name, bytes),
        None if bytes.is_empty() => Err(ReadError::Empty { name: name.to_owned() }),
        None => Err(ReadError::Format { name: name.to_owned() }),
    }
}

/// A format.
enum Kind {
    MusicXml,
    Midi,
    Json,
}

impl Kind {
    /// The format that the first bytes show.
    fn of(bytes: &[u8]) -> Option<Self> {
        if bytes.starts_with(b"PK\x03\x04") {
            return Some(Self::MusicXml);
        }
        if bytes.starts_with(b"MThd") || (bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"RMID")) {
            return Some(Self::Midi);
        }
        let marks: &[u8] = &[0xef, 0xbb, 0xbf, 0xff, 0xfe, 0];
        let first = bytes.iter().find(|byte| !marks.contains(byte) && !byte.is_ascii_whitespace())?;
        match first {
            b'<' => Some(Self::MusicXml),
            b'{' => Some(Self::Json),
            _ => None,
        }
    }
}

#[cfg(feature = "musicxml")]
fn read_musicxml(_: &str, bytes: &[u8]) -> Result<ReadScore, ReadError> {
    let read = super::super::musicxml::read_bytes(bytes);
    read.map_err(|error| ReadError::MusicXml(Box::new(error)))
}

#[cfg(not(feature = "musicxml"))]
fn read_musicxml(name: &str, _: &[u8]) -> Result<ReadScore, ReadError> {
    Err(ReadError::Feature { name: name.to_owned(), format: "MusicXML", feature: "musicxml" })
}

#[cfg(feature = "midi")]
fn read_midi(_: &str, bytes: &[u8]) -> Result<ReadScore, ReadError> {
    super::super::midi::read(bytes).map_err(|error| ReadError::Midi(Box::new(error)))
}

#[cfg(not(feature = "midi"))]
fn read_midi(name: &str, _: &[u8]) -> Result<ReadScore, ReadError> {
    Err(ReadError::Feature { name: name.to_owned(), format: "MIDI", feature: "midi" })
}

#[cfg(feature = "serde")]
fn read_json(name: &str, bytes: &[u8]) -> Result<ReadScore, ReadError> {
    let text = super::decode(bytes).ok_or_else(|| ReadError::Format { name: name.to_owned() })?;
    super::super::json::read_score(&text).map_err(|error| ReadError::Json(Box::new(error)))
}

#[cfg(not(feature = "serde"))]
fn read_json(name: &str, _: &[u8]) -> Result<ReadScore, ReadError> {
    Err(ReadError::Feature { name: name.to_owned(), format: "JSON", feature: "serde" })
}
