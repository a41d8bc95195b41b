//! The program `examples/answer.rs`, run as a script runs it.
#![cfg(feature = "serde")]
#![expect(clippy::unwrap_used, reason = "a test may panic")]

use serde_json::Value;
use std::io::Write;
use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str], input: &[u8]) -> Output {
    let program = env!("CARGO");
    let mut child = Command::new(program)
        .args(["run", "--quiet", "--example", "answer", "--"])
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(input).unwrap();
    child.wait_with_output().unwrap()
}

fn lines(output: &Output) -> Vec<Value> {
    let text = std::str::from_utf8(&output.stdout).unwrap();
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

const SUBJECT: &str =
    r#"{"id":"x","key":"C major","meter":"4/4","offset":"0","subject":"C4:1/2 G4:1/4 E4 C4:1/2"}"#;

#[test]
fn each_line_is_answered_in_its_place() {
    let bad = SUBJECT.replace("C major", "H major").replace("\"x\"", "\"y\"");
    let input = format!("{SUBJECT}\n\nno json\n{bad}\n");
    let output = run(&[], &[input.as_bytes(), b"\xff\n", SUBJECT.as_bytes()].concat());
    assert!(output.status.success());
    let lines = lines(&output);
    assert_eq!(lines.len(), 5);
    assert_eq!(lines[0], lines[4]);
    let answers = lines[0]["answers"].as_array().unwrap();
    assert!(answers.len() >= 3);
    assert_eq!(lines[0]["id"], "x");
    assert_eq!(answers[0]["kind"], "tonal");
    assert_eq!(answers[0]["key"], "G major");
    assert_eq!(answers[0]["line"], "G3:1/2 C4:1/4 B3:1/4 G3:1/2");
    assert_eq!(answers[0]["cost"], 2);
    assert_eq!(
        answers[0]["alterations"],
        serde_json::json!([{
            "note": 1, "degree": "5", "real": "D4", "chosen": "C4",
            "reason": "the dominant at the opening is answered by the tonic",
            "source": "Prout, Fugue, §§86-88, 102",
        }])
    );
    assert_eq!(lines[1]["error"]["code"], "json-syntax");
    assert_eq!(lines[1]["id"], Value::Null);
    assert_eq!(lines[2]["id"], "y");
    assert_eq!(
        lines[2]["error"]["message"],
        "line 4: key: \"H major\" is not a key: \"H\" is not a pitch: letters run from A to G (write B4 or Bb4)"
    );
    assert_eq!(lines[3]["error"]["message"], "line 5: the text is not UTF-8 (save it as UTF-8)");
}

#[test]
fn usage_is_told() {
    let help = run(&["--help"], b"");
    assert!(help.status.success());
    assert!(String::from_utf8(help.stdout).unwrap().contains("JSON Lines"));
    assert_eq!(run(&["--nonsense"], b"").status.code(), Some(2));
}
