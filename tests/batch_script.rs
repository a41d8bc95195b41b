//! The example `batch` as a shard of a corpus meets it: many lines, in order, some of them bad.
#![expect(clippy::unwrap_used, reason = "a test may panic: that is how it fails")]

use serde_json::Value;
use soggetto::interchange::json;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// Runs the program, which lies beside this test's folder, on lines.
fn run(arguments: &[&str], lines: &str) -> Output {
    let test = std::env::current_exe().unwrap();
    let profile = test.parent().and_then(Path::parent).unwrap();
    let program = profile.join("examples").join(format!("batch{}", std::env::consts::EXE_SUFFIX));
    let mut child = Command::new(program)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let lines = lines.to_owned();
    let feeder = std::thread::spawn(move || input.write_all(lines.as_bytes()));
    let output = child.wait_with_output().unwrap();
    let _ = feeder.join().unwrap();
    output
}

/// What the lines give, each as a value.
fn results(lines: &str) -> Vec<Value> {
    let output = run(&[], lines);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(output.stderr.is_empty());
    let text = String::from_utf8(output.stdout).unwrap();
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

const SUBJECT: &str =
    r#""key": "C major", "meter": "4/4", "offset": "0", "subject": "C5:1/4 G4 E4 F4 | G4:1/2 E4""#;

fn task(id: &str, fields: &str) -> String {
    format!("{{\"id\": \"{id}\", {fields}}}\n")
}

/// What the library answers to the subject.
fn answers(id: &str) -> Value {
    let subject = json::read_subject(&format!("{{{SUBJECT}}}")).unwrap();
    serde_json::from_str(&json::write_answers(Some(id), &subject.answers().unwrap())).unwrap()
}

#[test]
fn each_task_gives_what_its_own_program_gives() {
    let score = std::env::temp_dir().join(format!("soggetto-batch-{}.json", std::process::id()));
    let music = r#"{"key": "C major", "meter": "4/4", "voices": [{"name": "A", "line": "C5:1"}, {"name": "B", "line": "E4:1"}]}"#;
    std::fs::write(&score, music).unwrap();
    let review = format!(r#""task": "review", "score": {}"#, Value::from(score.to_str().unwrap()));
    let results = results(
        &[
            task("a", &format!(r#""task": "answer", {SUBJECT}"#)),
            task("d", &format!(r#""task": "draft", "voices": 2, "seed": 3, {SUBJECT}"#)),
            task("r", &review),
        ]
        .concat(),
    );
    std::fs::remove_file(score).unwrap();
    assert_eq!(results.len(), 3);
    assert_eq!(results[0], answers("a"));
    assert_eq!(
        (&results[1]["id"], results[1]["score"]["voices"].as_array().unwrap().len()),
        (&"d".into(), 2)
    );
    assert!(results[1]["entries"].as_array().unwrap().len() >= 2);
    assert_eq!((&results[2]["id"], &results[2]["subject"]), (&"r".into(), &Value::Null));
    assert_eq!(results[2]["consonance"][0]["imperfect"], "1");
}

#[test]
fn results_stand_in_the_order_of_the_lines_though_some_take_longer() {
    let lines: String = (0..120)
        .map(|number| match number % 10 {
            0 => task(
                &number.to_string(),
                &format!(r#""task": "draft", "voices": 3, "seed": {number}, {SUBJECT}"#),
            ),
            _ => task(&number.to_string(), &format!(r#""task": "answer", {SUBJECT}"#)),
        })
        .collect();
    let found = results(&lines);
    assert_eq!(found.len(), 120);
    for (number, result) in found.iter().enumerate() {
        assert_eq!(result["id"], number.to_string());
        assert!(result.get("error").is_none(), "{result}");
    }
    assert_eq!(results(&lines), found);
}

#[test]
fn bad_lines_do_not_stop_the_others() {
    let lines = [
        "no json\n".to_owned(),
        "\n".to_owned(),
        task("t", r#""task": "sing""#),
        task("k", &format!(r#""task": "answer", {}"#, SUBJECT.replace("C major", "H major"))),
        task("v", &format!(r#""task": "draft", "voices": 99, {SUBJECT}"#)),
        task("s", &format!(r#""task": "draft", "seed": "x", {SUBJECT}"#)),
        task("f", r#""task": "review", "score": "nowhere.mid""#),
        task("n", r#""task": "review""#),
        task("good", &format!(r#""task": "answer", {SUBJECT}"#)),
    ];
    let found = results(&lines.concat());
    let codes: Vec<&str> = found.iter().map(|it| it["error"]["code"].as_str().unwrap_or("none")).collect();
    assert_eq!(
        codes,
        [
            "json-syntax",
            "batch-task",
            "key-tonic",
            "ensemble-voices",
            "batch-number",
            "batch-refused",
            "batch-score",
            "none"
        ]
    );
    assert_eq!(found[0]["id"], Value::Null);
    assert_eq!(found[1]["error"]["message"], "line 3: task: write answer, draft or review");
    assert_eq!(found[7]["id"], "good");
}

#[test]
fn help_prints_the_usage_and_wrong_usage_is_refused() {
    let help = run(&["--help"], "");
    assert_eq!(help.status.code(), Some(0));
    assert!(String::from_utf8(help.stdout).unwrap().contains("Usage: batch"));
    let wrong = run(&["x"], "");
    assert_eq!(wrong.status.code(), Some(2));
    assert_eq!(
        String::from_utf8(wrong.stderr).unwrap(),
        "unexpected argument 'x' found (batch --help shows the usage)\n"
    );
}
