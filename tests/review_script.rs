//! The examples `review` and `mark` as scripts and teachers run them: what they print, write and refuse.
#![expect(clippy::unwrap_used, reason = "a test may panic: that is how it fails")]

use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A program: examples are built along with the tests, into `examples` beside the folder `deps` in
/// which this test lies.
fn program(name: &str) -> PathBuf {
    let test = std::env::current_exe().unwrap();
    let profile = test.parent().and_then(Path::parent).unwrap();
    profile.join("examples").join(format!("{name}{}", std::env::consts::EXE_SUFFIX))
}

/// A folder of its own for each test, in which the programs run; removed at the end.
struct Desk(PathBuf);

impl Desk {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("soggetto-review-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn put(&self, name: &str, content: impl AsRef<[u8]>) {
        let path = self.0.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, content).unwrap();
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.0.join(name)).unwrap()
    }

    fn run(&self, program_name: &str, arguments: &[&str]) -> Output {
        Command::new(program(program_name)).args(arguments).current_dir(&self.0).output().unwrap()
    }

    /// What a program prints when all is well.
    fn printed(&self, program_name: &str, arguments: &[&str]) -> String {
        let output = self.run(program_name, arguments);
        assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", text(&output.stderr));
        text(&output.stdout)
    }

    /// The one line that a program refuses with.
    fn refused(&self, program_name: &str, arguments: &[&str], code: i32) -> String {
        let output = self.run(program_name, arguments);
        let message = text(&output.stderr);
        assert_eq!(output.status.code(), Some(code), "{arguments:?}: {message}");
        assert_eq!(text(&output.stdout), "", "{arguments:?}");
        assert!(message.ends_with('\n') && message.lines().count() == 1, "{arguments:?}: {message:?}");
        message.trim_end().to_owned()
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

/// Parallel fifths from the first beat to the second, and nothing else.
const DUET: &str = r#"{"key": "C major", "meter": "2/2", "voices": [
    {"name": "Soprano", "line": "G4:1/2 A4 | G4:1"}, {"name": "Alto", "line": "C4:1/2 D4:1/4 F4 | E4:1"}]}"#;

/// A draft of the built-in subject, as scores in three formats.
fn drafted(name: &str) -> Desk {
    let desk = Desk::new(name);
    desk.printed("draft", &["--voices", "3", "--out", "draft"]);
    desk
}

fn keys(value: &Value) -> BTreeSet<&str> {
    value.as_object().unwrap().keys().map(String::as_str).collect()
}

fn words(text: &str) -> BTreeSet<&str> {
    text.split(' ').collect()
}

#[test]
fn json_has_the_fields_of_the_script_interface_and_no_others() {
    let desk = Desk::new("fields");
    desk.put("duet.json", DUET);
    let review: Value =
        serde_json::from_str(&desk.printed("review", &["duet.json", "--format", "json"])).unwrap();
    assert_eq!(keys(&review), words("key meter voices subject entries consonance findings"));
    assert_eq!(review["subject"], Value::Null);
    assert_eq!(review["entries"], serde_json::json!([]));
    assert_eq!(review["voices"][1], serde_json::json!({"name": "Alto", "lowest": "C4", "highest": "F4"}));
    assert_eq!(
        review["consonance"],
        serde_json::json!([{"voices": [0, 1], "imperfect": "5/8", "perfect": "3/8", "dissonant": "0"}])
    );
    let finding = &review["findings"][0];
    let fields = "rule severity bar beat onset voices notes message evidence source remedy";
    assert_eq!(keys(finding), words(fields));
    assert_eq!((&finding["rule"], &finding["severity"]), (&"parallel-perfects".into(), &"Fault".into()));
    assert_eq!((&finding["bar"], &finding["beat"]), (&1.into(), &"2".into()));
    assert_eq!(finding["notes"], serde_json::json!([[0, 0], [1, 0], [0, 1], [1, 1]]));
    assert_eq!(finding["remedy"]["message"], "Soprano: F4 for A4 at bar 1, beat 2");
}

/// A line without its octaves.
fn classes(line: &Value) -> String {
    let is_octave = |(index, sign): (usize, char)| sign.is_ascii_digit() && index > 0;
    let tokens = line.as_str().unwrap().split(' ').map(|token| {
        let (pitch, duration) = token.split_once(':').unwrap();
        let class: String = pitch.char_indices().filter(|&it| !is_octave(it)).map(|(_, sign)| sign).collect();
        format!("{class}:{duration}")
    });
    tokens.collect::<Vec<_>>().join(" ")
}

#[test]
fn subject_and_entries_of_a_draft_are_found_in_every_format() {
    let desk = drafted("formats");
    let drafted: Value = serde_json::from_str(&desk.read("draft/exposition.json")).unwrap();
    let themes = |value: &Value| -> Vec<(String, String)> {
        let entries = value["entries"].as_array().unwrap().iter();
        let themes = entries.filter(|entry| entry["role"] != "countersubject");
        themes.map(|entry| (entry["voice"].to_string(), entry["onset"].to_string())).collect()
    };
    for name in ["exposition.json", "exposition.musicxml"] {
        let path = format!("draft/{name}");
        let review: Value = serde_json::from_str(
            &desk.printed("review", &[&path, "--format", "json", "--ensemble", "plain"]),
        )
        .unwrap();
        assert_eq!(keys(&review["subject"]), words("voice onset bar beat notes line"), "{name}");
        assert_eq!(classes(&review["subject"]["line"]), classes(&drafted["subject"]["subject"]), "{name}");
        assert_eq!(themes(&review), themes(&drafted), "{name}");
        assert_eq!(keys(&review["entries"][0]), words("role voice onset bar beat notes key"), "{name}");
        let faults = review["findings"].as_array().unwrap().iter();
        assert_eq!(faults.filter(|finding| finding["severity"] == "Fault").count(), 0, "{name}");
    }
}

#[test]
fn text_and_markdown_are_for_reading() {
    let desk = Desk::new("reading");
    desk.put("duet.json", DUET);
    let review = desk.printed("review", &["duet.json"]);
    assert!(review.starts_with("duet.json\nC major, 2/2, 2 bars, for Soprano, Alto\n"), "{review}");
    assert!(review.contains("\nbar 1, beat 2   Fault   parallel-perfects\n    Soprano and Alto move in"));
    assert!(review.contains("    remedy: Soprano: F4 for A4 at bar 1, beat 2\n"), "{review}");
    let sheet = desk.printed("review", &["duet.json", "--format", "markdown"]);
    assert!(sheet.starts_with("# duet.json\n"), "{sheet}");
    desk.put("clean.json", DUET.replace("A4 |", "B4 |"));
    assert!(desk.printed("review", &["clean.json"]).contains("nothing to mark"));
}

#[test]
fn rules_and_ensemble_may_be_chosen() {
    let desk = Desk::new("chosen");
    desk.put("duet.json", DUET.replace("\"G4:1/2 A4 | G4:1\"", "\"E4:1/2 F4 | C6:1\""));
    let findings = |arguments: &[&str]| desk.printed("review", &[&["duet.json"], arguments].concat());
    assert!(!findings(&[]).contains("out-of-compass"));
    assert!(findings(&["--ensemble", "choir"]).contains("above its compass C4-A5"));
    assert!(!findings(&["--ensemble", "string-quartet"]).contains("out-of-compass"));
    findings(&["--rules", "strict-school"]);
}

#[test]
fn remedies_may_be_left_out() {
    let desk = Desk::new("bare");
    desk.put("duet.json", DUET);
    let (whole, bare) =
        (desk.printed("review", &["duet.json"]), desk.printed("review", &["duet.json", "--no-remedies"]));
    let others: Vec<&str> = whole.lines().filter(|line| !line.contains("remedy:")).collect();
    assert!(others.len() < whole.lines().count());
    assert_eq!(bare.lines().collect::<Vec<_>>(), others);
}

#[test]
fn help_prints_the_usage() {
    let desk = Desk::new("help");
    for (name, expected) in [
        ("review", ["SCORE", "--rules", "--ensemble", "--no-remedies", "--format"]),
        ("mark", ["FOLDER", "--out", "--rules", "--ensemble", "--no-remedies"]),
    ] {
        let usage = desk.printed(name, &["--help"]);
        assert!(usage.contains(&format!("Usage: {name}")), "{usage}");
        for word in expected {
            assert!(usage.contains(word), "{word} in {usage}");
        }
    }
}

#[test]
fn scores_that_are_refused_are_named_in_one_line() {
    let desk = Desk::new("refused");
    desk.put("bad.json", DUET.replace("A4 |", "H4 |"));
    desk.put("song.txt", "la la la");
    desk.put("empty.musicxml", "");
    for name in ["bad.json", "song.txt", "empty.musicxml", "nowhere.mid"] {
        let message = desk.refused("review", &[name], 1);
        assert!(message.contains(name), "{message}");
    }
    assert!(desk.refused("review", &["bad.json"], 1).contains("\"H4\" is not a pitch"));
    desk.put("duet.json", DUET.replace("Soprano", "A").replace("Alto", "B"));
    desk.put("solo.json", r#"{"key": "C major", "meter": "4/4", "voices": [{"name": "A", "line": "C4:1"}]}"#);
    let message = desk.refused("review", &["solo.json", "--ensemble", "choir"], 1);
    assert_eq!(message, "solo.json: choir has no setting for 1 voices: ask for 2 to 4");
}

#[test]
fn wrong_usage_is_told_in_one_line() {
    let desk = Desk::new("usage");
    desk.put("duet.json", DUET);
    let rows: [(&str, &[&str], &str); 5] = [
        (
            "review",
            &["duet.json", "--rules", "house"],
            "there is no rule book \"house\": the books are free-baroque, strict-school, first-lessons",
        ),
        (
            "review",
            &["duet.json", "--ensemble", "kazoos"],
            "\"kazoos\" is not an ensemble: choose from plain, choir, string-quartet, recorder-consort, \
             woodwind-quartet, brass-quartet, keyboard, organ",
        ),
        (
            "review",
            &["duet.json", "--format", "pdf"],
            "invalid value 'pdf' for '--format <FORMAT>' [possible values: text, json, markdown] (review --help shows the usage)",
        ),
        (
            "review",
            &[],
            "the following required arguments were not provided: <SCORE> (review --help shows the usage)",
        ),
        (
            "mark",
            &["."],
            "the following required arguments were not provided: --out <DIR> (mark --help shows the usage)",
        ),
    ];
    for (name, arguments, message) in rows {
        assert_eq!(desk.refused(name, arguments, 2), message);
    }
}

#[test]
fn folder_of_good_and_bad_scores_is_marked_whole() {
    let desk = drafted("folder");
    desk.put("class/a, the first.json", DUET);
    desk.put("class/b.musicxml", desk.read("draft/exposition.musicxml"));
    desk.put("class/c.mid", "MThd and nothing more");
    desk.put("class/d.json", DUET.replace("A4 |", "\\\"H4 |"));
    desk.put("class/notes.txt", "not a score");
    let output = desk.run("mark", &["class", "--out", "marked"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert_eq!(
        text(&output.stdout),
        format!("4 scores marked: see {}\n", Path::new("marked/marks.csv").display())
    );
    let progress = text(&output.stderr);
    assert_eq!(progress.lines().count(), 4);
    assert!(progress.starts_with("[1/4] a, the first.json: faults 1, cautions 0, remarks 0\n"), "{progress}");
    let mut names: Vec<String> = fs::read_dir(desk.0.join("marked"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names, ["a, the first.json.md", "b.musicxml.md", "c.mid.md", "d.json.md", "marks.csv"]);
    assert!(desk.read("marked/a, the first.json.md").contains("Remedy: Soprano: F4 for A4"));
    assert!(desk.read("marked/c.mid.md").contains("This score could not be read:"));
    let table = desk.read("marked/marks.csv");
    let rows: Vec<&str> = table.split_terminator("\r\n").collect();
    assert_eq!(rows.len(), 5);
    assert!(
        rows[0]
            .starts_with("file,key,meter,bars,voices,subject,entries,faults,cautions,remarks,remedies,error")
    );
    assert!(
        rows[1].starts_with("\"a, the first.json\",C major,2/2,2,2,,0,1,0,0,1,,\"bar 1, beat 2: "),
        "{table}"
    );
    assert!(rows[4].contains("\"\"H4"), "{table}");
    let again = desk.run("mark", &["class", "--out", "marked"]);
    assert_eq!(again.status.code(), Some(0));
    assert_eq!(desk.read("marked/marks.csv"), table);
}

#[test]
fn folder_that_cannot_be_marked_is_named() {
    let desk = Desk::new("nothing");
    desk.put("empty/notes.txt", "");
    let message = desk.refused("mark", &["empty", "--out", "marked"], 1);
    assert_eq!(message, "empty holds no score: expected names in .musicxml, .xml, .mxl, .mid, .midi, .json");
    let message = desk.refused("mark", &["nowhere", "--out", "marked"], 1);
    assert!(
        message.starts_with("cannot read nowhere: ") && message.ends_with("(give a folder)"),
        "{message}"
    );
    assert!(!desk.0.join("marked").exists());
}
