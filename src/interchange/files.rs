//! Files that appear whole or not at all.
//!
//! Every file is first written under another name in the same folder and brought safely to disk;
//! only when all of them are there do they take their own names. A failure before that leaves
//! nothing behind, and a file of the same name keeps its old content.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

/// The largest text file that is read, in bytes: thousands of pages of music.
pub const MAX_TEXT: u64 = 64 << 20;
/// How many names are tried for a file in the making.
const ATTEMPTS: u32 = 100;

/// A file to be written: its name in the folder, and what it holds.
#[derive(Clone, Copy, Debug)]
pub struct NewFile<'a> {
    /// The name, without a folder.
    pub name: &'a str,
    /// The content.
    pub bytes: &'a [u8],
}

/// Why files could not be written or read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum FileError {
    /// The system refused.
    #[error("cannot write {}: {reason} ({})", path.display(), mend(*kind))]
    Refused {
        /// The file or folder.
        path: PathBuf,
        /// The kind of refusal.
        kind: ErrorKind,
        /// What the system says.
        reason: String,
    },
    /// The system does not let it be read.
    #[error("cannot read {}: {reason} ({})", path.display(), find(*kind))]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// The kind of refusal.
        kind: ErrorKind,
        /// What the system says.
        reason: String,
    },
    /// It is too large.
    #[error("cannot read {}: it has more than {MAX_TEXT} bytes (give a file with one piece of music)", path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
    },
    /// It is no text.
    #[error("cannot read {}: byte {offset} is not text in UTF-8 (save it as UTF-8)", path.display())]
    NoText {
        /// The file.
        path: PathBuf,
        /// The first byte that is no text, counted from 0.
        offset: usize,
    },
    /// The name is none, or leads out of the folder.
    #[error("{name:?} is not a file name: write a name without a folder, as in report.md")]
    Name {
        /// The name given.
        name: String,
    },
}

impl FileError {
    /// A stable name of the kind of error, for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Refused { .. } => "file-refused",
            Self::Unreadable { .. } => "file-unreadable",
            Self::TooLarge { .. } => "file-too-large",
            Self::NoText { .. } => "file-no-text",
            Self::Name { .. } => "file-name",
        }
    }

    fn refused(path: &Path, error: &io::Error) -> Self {
        Self::Refused { path: path.to_owned(), kind: error.kind(), reason: error.to_string() }
    }
}

/// The way out of a refusal.
const fn mend(kind: ErrorKind) -> &'static str {
    match kind {
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            "choose a folder that you may write to"
        }
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "make room, or choose another disk",
        ErrorKind::NotADirectory | ErrorKind::AlreadyExists => "a file is in the way: choose another folder",
        ErrorKind::IsADirectory => "a folder is in the way: choose another folder, or move it",
        _ => "check the folder, and try again",
    }
}

/// What to read instead of what cannot be read.
const fn find(kind: ErrorKind) -> &'static str {
    match kind {
        ErrorKind::NotFound => "check the path",
        ErrorKind::IsADirectory => "choose a file in it",
        _ => "choose a file that you may read",
    }
}

/// Writes files into a folder, which is made if it is not there; returns their paths.
///
/// # Errors
/// If a name is not a plain file name, or the system refuses; then no file has been half written.
pub fn write(folder: &Path, files: &[NewFile<'_>]) -> Result<Vec<PathBuf>, FileError> {
    if let Some(file) = files.iter().find(|file| !is_plain(file.name)) {
        return Err(FileError::Name { name: file.name.to_owned() });
    }
    fs::create_dir_all(folder).map_err(|error| FileError::refused(folder, &error))?;
    let mut drafts = Vec::with_capacity(files.len());
    for file in files {
        drafts.push(Draft::write(folder, file)?);
    }
    drafts.into_iter().map(Draft::publish).collect()
}

/// Reads a text of at most [`MAX_TEXT`] bytes.
///
/// # Errors
/// If the file is not there or may not be read, is too large, or is not UTF-8.
pub fn read_text(path: &Path) -> Result<String, FileError> {
    let mut bytes = Vec::new();
    let read = File::open(path).and_then(|file| file.take(MAX_TEXT + 1).read_to_end(&mut bytes));
    match read {
        Ok(count) if count as u64 > MAX_TEXT => Err(FileError::TooLarge { path: path.to_owned() }),
        Ok(_) => String::from_utf8(bytes).map_err(|error| FileError::NoText {
            path: path.to_owned(),
            offset: error.utf8_error().valid_up_to(),
        }),
        Err(error) => Err(FileError::Unreadable {
            path: path.to_owned(),
            kind: error.kind(),
            reason: error.to_string(),
        }),
    }
}

fn is_plain(name: &str) -> bool {
    Path::new(name).file_name().is_some_and(|file| file == name) && !name.contains(['/', '\\', '\0'])
}

/// A file in the making, removed again unless it is published.
#[derive(Debug)]
struct Draft {
    draft: PathBuf,
    path: PathBuf,
}

impl Draft {
    fn write(folder: &Path, file: &NewFile<'_>) -> Result<Self, FileError> {
        let path = folder.join(file.name);
        if path.is_dir() {
            return Err(FileError::refused(&path, &ErrorKind::IsADirectory.into()));
        }
        let refused = |error: &io::Error| FileError::refused(&path, error);
        let (draft, mut target) = create(folder, file.name).map_err(|error| refused(&error))?;
        let draft = Self { draft, path: path.clone() };
        target.write_all(file.bytes).and_then(|()| target.sync_all()).map_err(|error| refused(&error))?;
        Ok(draft)
    }

    fn publish(mut self) -> Result<PathBuf, FileError> {
        fs::rename(&self.draft, &self.path).map_err(|error| FileError::refused(&self.path, &error))?;
        self.draft = PathBuf::new();
        Ok(self.path.clone())
    }
}

impl Drop for Draft {
    /// A draft that cannot be removed is left to its owner: there is nobody to tell.
    fn drop(&mut self) {
        if self.draft != PathBuf::new() {
            let _ = fs::remove_file(&self.draft);
        }
    }
}

/// Makes a new file under a name that nobody uses.
fn create(folder: &Path, name: &str) -> io::Result<(PathBuf, File)> {
    static COUNT: AtomicU64 = AtomicU64::new(0);
    let mut tries = 0;
    loop {
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = folder.join(format!(".{name}.{}-{count}.part", std::process::id()));
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Err(error) if error.kind() == ErrorKind::AlreadyExists && tries < ATTEMPTS => tries += 1,
            opened => return opened.map(|file| (path, file)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder of its own for each test, removed at the end.
    struct Folder(PathBuf);

    impl Folder {
        fn new(name: &str) -> Self {
            let path = std::env::temp_dir().join(format!("soggetto-files-{name}-{}", std::process::id()));
            let _ = fs::remove_dir_all(&path);
            fs::create_dir_all(&path).unwrap();
            Self(path)
        }

        fn names(&self) -> Vec<String> {
            let entries = fs::read_dir(&self.0).unwrap();
            let mut names: Vec<String> =
                entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
            names.sort();
            names
        }
    }

    impl Drop for Folder {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.0);
        }
    }

    const TWO: [NewFile<'static>; 2] =
        [NewFile { name: "a.md", bytes: b"new" }, NewFile { name: "b.mid", bytes: b"notes" }];

    #[test]
    fn files_appear_whole_in_a_folder_made_for_them() {
        let folder = Folder::new("whole");
        let deep = folder.0.join("deep/er");
        let paths = write(&deep, &TWO).unwrap();
        assert_eq!(paths, [deep.join("a.md"), deep.join("b.mid")]);
        assert_eq!(fs::read(&paths[1]).unwrap(), b"notes");
    }

    #[test]
    fn old_file_is_replaced() {
        let folder = Folder::new("old");
        fs::write(folder.0.join("a.md"), "a long old text").unwrap();
        write(&folder.0, &TWO).unwrap();
        assert_eq!(fs::read(folder.0.join("a.md")).unwrap(), b"new");
        assert_eq!(folder.names(), ["a.md", "b.mid"]);
    }

    #[test]
    fn failure_leaves_nothing_half_written() {
        let folder = Folder::new("failure");
        fs::write(folder.0.join("a.md"), "old").unwrap();
        fs::create_dir(folder.0.join("b.mid")).unwrap();
        let error = write(&folder.0, &TWO).unwrap_err();
        let path = folder.0.join("b.mid");
        assert_eq!(
            error.to_string(),
            format!(
                "cannot write {}: is a directory (a folder is in the way: choose another folder, or move it)",
                path.display()
            )
        );
        assert_eq!(error.code(), "file-refused");
        assert_eq!(fs::read(folder.0.join("a.md")).unwrap(), b"old");
        assert_eq!(folder.names(), ["a.md", "b.mid"]);
    }

    #[test]
    fn file_in_the_place_of_the_folder_is_named() {
        let folder = Folder::new("place");
        let place = folder.0.join("out");
        fs::write(&place, "").unwrap();
        let message = write(&place, &TWO).unwrap_err().to_string();
        assert!(message.starts_with(&format!("cannot write {}: ", place.display())), "{message}");
        assert!(message.ends_with("(a file is in the way: choose another folder)"), "{message}");
    }

    #[test]
    fn names_that_lead_out_of_the_folder_are_refused() {
        for name in ["", "..", "../a", "a/b", "/a", "a\\b"] {
            let error = write(Path::new("nowhere"), &[NewFile { name, bytes: b"" }]).unwrap_err();
            assert_eq!(
                error.to_string(),
                format!("{name:?} is not a file name: write a name without a folder, as in report.md")
            );
        }
        assert!(!Path::new("nowhere").exists());
    }

    #[test]
    fn text_is_read_as_it_stands() {
        let folder = Folder::new("read");
        let path = folder.0.join("a.json");
        fs::write(&path, "\u{266d}").unwrap();
        assert_eq!(read_text(&path).unwrap(), "\u{266d}");
    }

    #[test]
    fn what_cannot_be_read_is_named() {
        let folder = Folder::new("unread");
        let path = folder.0.join("a.json");
        let error = read_text(&path).unwrap_err();
        let message = error.to_string();
        assert!(message.starts_with(&format!("cannot read {}: ", path.display())), "{message}");
        assert!(message.ends_with("(check the path)"), "{message}");
        assert_eq!(error.code(), "file-unreadable");
        let message = read_text(&folder.0).unwrap_err().to_string();
        assert!(message.ends_with("(choose a file in it)"), "{message}");
        fs::write(&path, b"A4\xff").unwrap();
        let error = read_text(&path).unwrap_err();
        assert_eq!(
            error.to_string(),
            format!("cannot read {}: byte 2 is not text in UTF-8 (save it as UTF-8)", path.display())
        );
        assert_eq!(error.code(), "file-no-text");
    }

    #[test]
    fn endless_file_is_refused() {
        let folder = Folder::new("endless");
        let path = folder.0.join("a.json");
        File::create(&path).unwrap().set_len(MAX_TEXT + 1).unwrap();
        let error = read_text(&path).unwrap_err();
        assert_eq!(
            error.to_string(),
            format!(
                "cannot read {}: it has more than 67108864 bytes (give a file with one piece of music)",
                path.display()
            )
        );
        assert_eq!(error.code(), "file-too-large");
    }
}
