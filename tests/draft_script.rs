//! The example `draft` as scripts and musicians run it: what it writes, prints and refuses.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test may panic: that is how it fails")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const FILES: [&str; 5] =
    ["exposition.json", "exposition.mid", "exposition.musicxml", "exposition.svg", "report.md"];

/// The program: examples are built along with the tests, into `examples` beside the folder `deps` in
/// which this test lies.
fn program() -> PathBuf {
    let test = std::env::current_exe().unwrap();
    let profile = test.parent().and_then(Path::parent).unwrap();
    profile.join("examples").join(format!("draft{}", std::env::consts::EXE_SUFFIX))
}

/// A folder of its own for each test, in which the program runs; removed at the end.
struct Desk(PathBuf);

impl Desk {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("soggetto-draft-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn put(&self, name: &str, content: impl AsRef<[u8]>) {
        fs::write(self.0.join(name), content).unwrap();
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(program()).args(arguments).current_dir(&self.0).output().unwrap()
    }

    /// Every file in a folder with its content.
    fn files(&self, folder: &str) -> BTreeMap<String, Vec<u8>> {
        let Ok(entries) = fs::read_dir(self.0.join(folder)) else { return BTreeMap::new() };
        let file = |entry: fs::DirEntry| {
            (entry.file_name().into_string().unwrap(), fs::read(entry.path()).unwrap_or_default())
        };
        entries.map(|entry| file(entry.unwrap())).collect()
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// Runs the program where it is to refuse; returns its one line.
fn refused(desk: &Desk, arguments: &[&str], code: i32) -> String {
    let before = desk.files(".");
    let output = desk.run(arguments);
    let message = text(&output.stderr);
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {message}");
    assert_eq!(text(&output.stdout), "", "{arguments:?}");
    assert_eq!(desk.files("."), before, "{arguments:?} left something behind");
    assert!(message.ends_with('\n') && message.lines().count() == 1, "{arguments:?}: {message:?}");
    message.trim_end().to_owned()
}

#[test]
fn without_arguments_five_files_are_written_and_a_summary_printed() {
    let desk = Desk::new("bare");
    let output = desk.run(&[]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert_eq!(text(&output.stderr), "");
    let summary = text(&output.stdout);
    let headings = ["Subject: ", "Answer: ", "Entries", "Countersubject (", "Review: ", "Written\n"];
    let places: Vec<usize> = headings
        .iter()
        .map(|heading| {
            summary.find(&format!("\n{heading}")).unwrap_or_else(|| panic!("{heading} in {summary}"))
        })
        .collect();
    assert!(places.is_sorted(), "{summary}");
    let files = desk.files("out");
    assert_eq!(files.keys().collect::<Vec<_>>(), FILES);
    for name in FILES {
        let path = Path::new("out").join(name);
        assert!(summary.contains(&format!("  {}\n", path.display())), "{summary}");
    }
    assert!(files["exposition.mid"].starts_with(b"MThd"));
    assert!(text(&files["exposition.musicxml"]).contains("<score-partwise"));
    assert!(text(&files["exposition.svg"]).contains("<svg"));
    assert!(text(&files["report.md"]).starts_with("# "));
}

#[test]
fn written_exposition_has_the_voices_and_the_order_asked_for() {
    let desk = Desk::new("order");
    let arguments = ["--voices", "3", "--order", "BASS, soprano,Alto", "--out", "trio"];
    let output = desk.run(&arguments);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let exposition: serde_json::Value =
        serde_json::from_slice(&desk.files("trio")["exposition.json"]).unwrap();
    let entries = exposition["entries"].as_array().unwrap().iter();
    let order: Vec<u64> = entries
        .filter(|entry| entry["role"] != "countersubject")
        .map(|entry| entry["voice"].as_u64().unwrap())
        .collect();
    assert_eq!(order, [2, 0, 1]);
    assert!(desk.files("out").is_empty());
}

#[test]
fn written_exposition_is_for_the_ensemble_asked_for() {
    let desk = Desk::new("ensemble");
    let output = desk.run(&["--ensemble", "String Quartet"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(text(&output.stdout).contains("for violin 1, violin 2, viola, cello\n"));
}

#[test]
fn same_seed_gives_the_same_bytes_in_any_folder() {
    let desk = Desk::new("seed");
    for (seed, out) in [("7", "one"), ("7", "two"), ("8", "three")] {
        let output = desk.run(&["--seed", seed, "--voices", "3", "--out", out]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    }
    assert_eq!(desk.files("one").len(), 5);
    assert_eq!(desk.files("one"), desk.files("two"));
}

#[test]
fn help_prints_the_usage() {
    let desk = Desk::new("help");
    let output = desk.run(&["--help"]);
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(text(&output.stderr), "");
    let usage = text(&output.stdout);
    for word in ["Usage: draft", "[SUBJECT.json]", "--voices", "--order", "--ensemble", "--seed", "--out"] {
        assert!(usage.contains(word), "{word} in {usage}");
    }
    assert!(desk.files("out").is_empty());
}

/// A subject file with one thing changed.
fn changed(from: &str, to: &str) -> String {
    let file = r#"{"key": "G major", "meter": "3/4", "offset": "1/2", "subject": "D4:1/4 | G4:1/2 A4:1/4 | B4:1/4 C5:1/4 A4:1/4 | G4:1/2", "harmony": "V:1/4 I:1/2 V:1/4 I:1/4 IV:1/4 V:1/4 I:1/2"}"#;
    assert!(file.contains(from), "{from}");
    file.replacen(from, to, 1)
}

#[test]
fn subject_that_is_refused_is_named_with_the_place_and_the_mend() {
    let wide = "D4:1/4 | G2:1/2 A6:1/4 | B2:1/4 C5:1/4 A4:1/4 | G4:1/2";
    let narrow = "D4:1/4 | G4:1/2 A4:1/4 | B4:1/4 C5:1/4 A4:1/4 | G4:1/2";
    let rows = [
        (
            changed("\"key\"", "\"tonality\""),
            "tonality: there is no such field (the fields here are id, title, key, meter, offset, subject, harmony)",
        ),
        (changed("\"key\": \"G major\", ", ""), "key: the field is missing (write it as text)"),
        (
            changed("G4:1/2", "H4:1/2"),
            "subject: note 2: \"H4\" is not a pitch: letters run from A to G (write B4 or Bb4)",
        ),
        (changed("G4:1/2", "G4:1/0"), "subject: note 2: "),
        (
            changed("A4:1/4 |", "A4:3/8 |"),
            "subject: bar 1 is too long by 1/8: it holds 7/8 where the meter 3/4 allows 3/4",
        ),
        (changed(narrow, ""), "subject: the subject is empty: write at least two notes, as in C4:1/4 G4"),
        (changed("G major", "Db major"), "key: the key Db major contradicts the notes: note "),
        (changed(narrow, wide), "the soprano of the ensemble plain cannot reach the subject and its answer"),
        (changed("V:1/4 I:1/2 ", "I:1/2 "), "harmony: the harmony is too short by 1/4: "),
        ("{".to_owned(), "the text is not JSON: "),
        ("[]".to_owned(), "the text: write it as an object, not as a list"),
        (String::new(), "the text is not JSON: "),
    ];
    let desk = Desk::new("refused");
    for (content, message) in rows {
        desk.put("song.json", content);
        let found = refused(&desk, &["song.json"], 1);
        assert!(found.starts_with(&format!("song.json: {message}")), "{found}");
    }
}

#[test]
fn file_that_cannot_be_read_or_written_is_named() {
    let desk = Desk::new("files");
    let found = refused(&desk, &["nowhere.json"], 1);
    assert!(
        found.starts_with("cannot read nowhere.json: ") && found.ends_with("(check the path)"),
        "{found}"
    );
    desk.put("song.json", b"\xff\xfe");
    let found = refused(&desk, &["song.json"], 1);
    assert_eq!(found, "cannot read song.json: byte 0 is not text in UTF-8 (save it as UTF-8)");
    let found = refused(&desk, &["--out", "song.json"], 1);
    assert!(found.starts_with("cannot write song.json: "), "{found}");
    assert!(found.ends_with("(a file is in the way: choose another folder)"), "{found}");
}

#[test]
fn old_files_stay_when_a_subject_is_refused() {
    let desk = Desk::new("old");
    assert_eq!(desk.run(&["--voices", "2"]).status.code(), Some(0));
    let before = desk.files("out");
    assert_eq!(before.len(), 5);
    refused(&desk, &["nowhere.json"], 1);
    assert_eq!(desk.files("out"), before);
}

#[test]
fn wrong_usage_is_told_in_one_line() {
    let desk = Desk::new("usage");
    let rows: [(&[&str], &str); 9] = [
        (
            &["--ensemble", "kazoos"],
            "\"kazoos\" is not an ensemble: choose from plain, choir, string-quartet, recorder-consort, \
             woodwind-quartet, brass-quartet, keyboard, organ",
        ),
        (&["--voices", "9"], "--voices 9: an exposition has 2 to 5 voices"),
        (&["--ensemble", "choir", "--voices", "5"], "choir has no setting for 5 voices: ask for 2 to 4"),
        (
            &["--order", "alto,violin,tenor,bass"],
            "--order: \"violin\" is no voice of plain: choose from soprano, alto, tenor, bass",
        ),
        (
            &["--order", "alto,soprano,bass"],
            "--order: the tenor is missing: name each of the 4 voices once (or change --voices)",
        ),
        (
            &["--voices", "2", "--order", "bass,soprano,bass"],
            "--order: 3 names for 2 voices: name each voice once",
        ),
        (
            &["--voices", "many"],
            "invalid value 'many' for '--voices <N>': invalid digit found in string (draft --help shows the usage)",
        ),
        (&["--louder"], "unexpected argument '--louder' found (draft --help shows the usage)"),
        (&["a.json", "b.json"], "unexpected argument 'b.json' found (draft --help shows the usage)"),
    ];
    for (arguments, message) in rows {
        assert_eq!(refused(&desk, arguments, 2), message);
    }
}
