//! Answers subjects: one subject file a line on standard input (JSON Lines), one line of ranked
//! answers each on standard output, best first.
//!
//! ```text
//! $ echo '{"id": "x", "key": "C major", "meter": "4/4", "offset": "0", "subject": "C4:1/2 G4:1/4 E4 C4:1/2"}' \
//!     | cargo run --example answer
//! {"id":"x","answers":[{"kind":"tonal","key":"G major","line":"G3:1/2 C4:1/4 B3:1/4 G3:1/2","cost":2,
//! "alterations":[{"note":1,"degree":"5","real":"D4","chosen":"C4","reason":"the dominant at the opening ...
//! ```
//!
//! A line that cannot be answered gives `{"id", "error": {"code", "message"}}` in its place; blank
//! lines are passed over.
#![expect(clippy::print_stderr, reason = "a program reports on the terminal")]

use clap::Parser;
use soggetto::interchange::json::{read_subject, write_answers, write_failure};
use std::io::{self, BufRead, Write};
use std::process::ExitCode;

fn main() -> ExitCode {
    Usage::parse();
    match answer_all(io::stdin().lock(), io::BufWriter::new(io::stdout().lock())) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("answer: standard input or output failed: {error} (check where they lead)");
            ExitCode::FAILURE
        }
    }
}

fn answer_all(input: impl BufRead, mut output: impl Write) -> io::Result<()> {
    for (number, line) in (1_u64..).zip(input.split(b'\n')) {
        let line = line?;
        if !line.trim_ascii().is_empty() {
            writeln!(output, "{}", answer_line(number, &line))?;
        }
    }
    output.flush()
}

/// The answers to the subject of a line, or what is wrong with it.
fn answer_line(number: u64, line: &[u8]) -> String {
    let Ok(text) = std::str::from_utf8(line) else {
        return write_failure(
            None,
            "text",
            &format!("line {number}: the text is not UTF-8 (save it as UTF-8)"),
        );
    };
    let refused = |code: &str, message: &dyn std::fmt::Display| {
        write_failure(id_of(text).as_deref(), code, &format!("line {number}: {message}"))
    };
    match read_subject(text) {
        Err(error) => refused(error.code(), &error),
        Ok(subject) => match subject.answers() {
            Err(error) => refused(error.code(), &error),
            Ok(answers) => write_answers(subject.id(), &answers),
        },
    }
}

/// The id of a line that could not be read as a subject, if that much can be made out.
fn id_of(text: &str) -> Option<String> {
    let value: serde_json::Value = serde_json::from_str(text).ok()?;
    Some(value.get("id")?.as_str()?.to_owned())
}

/// Answers subjects: JSON Lines on standard input, JSON Lines on standard output.
///
/// Each line is a subject file: {"id"?, "title"?, "key", "meter", "offset", "subject", "harmony"?},
/// all of them text. Each gives {"id", "answers": [...]}, best answer first, or {"id", "error":
/// {"code", "message"}}. Exit status: 0 when all lines have been read, 1 when input or output
/// fails, 2 on wrong usage.
#[derive(Parser)]
struct Usage;
