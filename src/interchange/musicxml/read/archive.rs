//! Packed files (.mxl): an archive with a note of which file in it is the score.

use super::super::super::reading::MAX_BYTES;
use super::super::super::reading::decode;
use super::elements::Elements;
use super::error::ReadError;
use std::borrow::Cow;
use std::io::{Cursor, Read as _};
use zip::ZipArchive;

/// Where the note lies.
const CONTAINER: &str = "META-INF/container.xml";
/// The most files of an archive.
const MAX_FILES: usize = 1_000;

/// The text of the score in a packed file.
pub(super) fn unpack(bytes: &[u8]) -> Result<String, ReadError> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| refused(&error))?;
    if archive.len() > MAX_FILES {
        return Err(refused(&format_args!("it holds more than {MAX_FILES} files")));
    }
    let score = match file(&mut archive, CONTAINER) {
        Ok(container) => rootfile(&container),
        Err(_) => None,
    };
    let names = || archive.file_names().filter_map(Result::ok).find(|name| is_score(name));
    let score = score.or_else(|| names().map(std::borrow::Cow::into_owned));
    let score = score.ok_or_else(|| refused(&"it holds no score"))?;
    file(&mut archive, &score)
}

fn is_score(name: &str) -> bool {
    let extension = name.rsplit_once('.').map_or("", |(_, extension)| extension);
    !name.starts_with("META-INF")
        && ["musicxml", "xml"].iter().any(|known| extension.eq_ignore_ascii_case(known))
}

/// The path of the first score that the note names.
fn rootfile(container: &str) -> Option<String> {
    let (mut path, mut elements) = (None, Elements::of(container).ok()?);
    elements.root().ok()?;
    let read = elements.each_child(|elements, tag| match tag.name() {
        "rootfiles" => elements.each_child(|elements, tag| {
            if path.is_none() && tag.name() == "rootfile" {
                path = elements.attribute(tag, "full-path")?;
            }
            Ok(())
        }),
        _ => Ok(()),
    });
    read.ok().and(path)
}

/// A file of the archive, never larger than [`MAX_BYTES`], whatever the archive claims.
fn file(archive: &mut ZipArchive<Cursor<&[u8]>>, name: &str) -> Result<String, ReadError> {
    let file = archive.by_name(name).map_err(|error| refused(&error))?;
    let mut bytes = Vec::new();
    file.take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(|error| refused(&error))?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(ReadError::TooLarge);
    }
    decode(&bytes).map(Cow::into_owned).ok_or(ReadError::Encoding)
}

fn refused(message: &dyn std::fmt::Display) -> ReadError {
    ReadError::Archive { message: message.to_string() }
}
