//! The scores of `shared/scores`, each beside what is expected of it: files as they are met with,
//! typed for this purpose, each with one way in which a file may stray.
//!
//! The first lines of an expectation are key, meters and pickup, then each voice and each remark; or
//! the code of an error and its message.
#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test may panic, and prints what it measures"
)]

use soggetto::interchange::{ReadError, ReadScore, midi, read_bytes, read_score};
use std::fs;
use std::path::PathBuf;

/// The files that have an expectation beside them.
fn fixtures() -> Vec<(PathBuf, String)> {
    let folder = fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/shared/scores")).unwrap();
    let mut paths: Vec<PathBuf> = folder.map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension != "txt" && extension != "md"));
    paths.sort();
    let expected = |path: PathBuf| {
        let expected = fs::read_to_string(path.with_extension("txt")).unwrap();
        (path, expected.trim_end().to_owned())
    };
    paths.into_iter().map(expected).collect()
}

fn described(read: &Result<ReadScore, ReadError>) -> String {
    let read = match read {
        Ok(read) => read,
        Err(error) => return format!("error: {}\n{error}", error.code()),
    };
    let score = &read.score;
    let head = format!("{}, {}, pickup {}", score.key(), score.meters(), score.pickup());
    let voices = score.parts().iter().map(|part| format!("{}: {}", part.voice.name(), part.line));
    let remarks = read.remarks.iter().map(|remark| format!("remark: {remark}"));
    [head].into_iter().chain(voices).chain(remarks).collect::<Vec<_>>().join("\n")
}

#[test]
fn all_scores_are_read_as_expected() {
    let fixtures = fixtures();
    assert!(fixtures.len() >= 30, "only {} scores were found", fixtures.len());
    let mut wrong = Vec::new();
    for (path, expected) in fixtures {
        let found = described(&read_score(&path));
        if found != expected {
            wrong.push(format!("{}:\n{found}\nexpected:\n{expected}", path.display()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn all_scores_are_read_or_refused_when_they_are_damaged() {
    for (path, _) in fixtures() {
        let bytes = fs::read(&path).unwrap().trim_ascii_end().to_vec();
        let is_text = path.extension().is_some_and(|extension| extension != "mid");
        for length in (0..bytes.len()).step_by(37) {
            let read = read_bytes("cut", &bytes[..length]);
            assert!(read.is_err() || !is_text, "{} cut at {length}", path.display());
        }
        let mut seed = 1_u32;
        for _ in 0..200 {
            let mut damaged = bytes.clone();
            for _ in 0..3 {
                seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let at = usize::try_from(seed >> 8).unwrap() % damaged.len();
                damaged[at] = b"0123456789<>/\"A-.\x00\xff "[usize::try_from(seed % 20).unwrap()];
            }
            if let Err(error) = read_bytes("damaged", &damaged) {
                assert!(!error.code().is_empty() && !error.to_string().is_empty());
            }
        }
    }
}

#[test]
fn unknown_formats_and_missing_files_are_refused() {
    let error = read_bytes("notes.txt", b"C4 D4").unwrap_err();
    assert_eq!(
        (error.code(), error.to_string().as_str()),
        (
            "read-format",
            "notes.txt is no score: expected MusicXML (.musicxml, .mxl), a Standard MIDI File (.mid) or our JSON \
             (.json) (export it in one of these)"
        )
    );
    let error = read_bytes("empty.mid", b"").unwrap_err();
    assert_eq!(
        (error.code(), error.to_string().as_str()),
        ("read-empty", "empty.mid is empty (export the score again)")
    );
    assert_eq!(read_score("no/such/file.mid").unwrap_err().code(), "file-unreadable");
}

#[test]
fn content_decides_the_format() {
    let json = r#"{"key":"C major","meter":"4/4","voices":[{"name":"Alto","line":"C4:1/4 D4 E4 C4"}]}"#;
    let read = read_bytes("score.musicxml", json.as_bytes()).unwrap();
    assert_eq!(read.score.parts()[0].line.to_string(), "C4:1/4 D4:1/4 E4:1/4 C4:1/4");
    let error = read_bytes("score.json", json.replace("4/4", "4/5").as_bytes()).unwrap_err();
    assert!(error.to_string().starts_with("score: "), "{error}");
}

/// How many notes keep their spelling when the scores of a folder go through a MIDI file, in which they
/// have none: `SCORES=folder cargo test --release --test scores -- --ignored --nocapture spelling`.
#[test]
#[ignore = "needs a folder of scores"]
fn spelling_survives_midi_in_scores_of_a_folder() {
    let folder = std::env::var("SCORES").unwrap();
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let (mut kept, mut notes) = (0, 0);
    for path in paths {
        let Ok(score) = read_score(&path).map(|read| read.score) else { continue };
        let Some(back) = midi::write(&score).ok().and_then(|bytes| midi::read(&bytes).ok()) else { continue };
        let heard = score.parts().iter().filter(|part| !part.line.notes().is_empty());
        for (part, other) in heard.zip(back.score.parts()) {
            let pairs = part.line.notes().iter().zip(other.line.notes());
            notes += part.line.notes().len();
            kept += pairs.filter(|(one, other)| one.pitch() == other.pitch()).count();
        }
    }
    println!("{kept} of {notes} notes are spelled as they were");
    assert!(kept * 100 >= notes * 99, "{kept} of {notes}");
}
