//! Answers subjects: one subject file a line on standard input (JSON Lines), one line of ranked
//! answers each on standard output.
//!
//! ```text
//! $ echo '{"key": "C major", "meter": "4/4", "offset": "0", "subject": "C4:1/2 G4:1/4 E4 C4:1/2"}' \
//!     | cargo run --example answer
//! {"id":null,"answers":[{"kind":"tonal","key":"G major","line":"G3:1/2 C4:1/4 B3:1/4 G3:1/2", ...
//! ```
#![expect(clippy::print_stderr, reason = "a program reports on the terminal")]

use clap::Parser;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use soggetto::answer::{Alteration, Answer, AnswerError};
use soggetto::subject::Subject;
use std::io::{self, BufRead, Write};
use std::process::ExitCode;

fn main() -> ExitCode {
    Usage::parse();
    match answer_all(io::stdin().lock(), io::BufWriter::new(io::stdout().lock())) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("standard input: {error} (give one subject file a line, as JSON)");
            ExitCode::FAILURE
        }
    }
}

/// Answers every line; one that cannot be answered gives an error in its place.
fn answer_all(input: impl BufRead, mut output: impl Write) -> io::Result<()> {
    for (number, line) in (1..).zip(input.split(b'\n')) {
        let line = line?;
        if line.iter().all(u8::is_ascii_whitespace) {
            continue;
        }
        serde_json::to_writer(&mut output, &answer_line(&line, number))?;
        output.write_all(b"\n")?;
    }
    output.flush()
}

fn answer_line(line: &[u8], number: u64) -> Reply {
    let value: Value = match serde_json::from_slice(line) {
        Ok(value) => value,
        Err(error) => return Reply::refusal(Value::Null, Refusal::new("json", number, error)),
    };
    let id = value.get("id").cloned().unwrap_or_default();
    let answers = subject(value)
        .map_err(|(code, message)| Refusal::new(code, number, message))
        .and_then(|subject| subject.answers().map_err(|error| Refusal::answer(number, &error)));
    match answers {
        Ok(answers) => Reply::Answers { id, answers: answers.iter().map(answer_page).collect() },
        Err(refusal) => Reply::refusal(id, refusal),
    }
}

/// The subject of a subject file, or a code and what is wrong.
fn subject(value: Value) -> Result<Subject, (&'static str, String)> {
    let file: SubjectFile =
        serde_json::from_value(value).map_err(|error| ("subject-file", error.to_string()))?;
    let key = file.key.parse().map_err(|error| ("key", format!("key: {error}")))?;
    let meter = file.meter.parse().map_err(|error| ("meter", format!("meter: {error}")))?;
    let offset = file.offset.parse().map_err(|error| ("offset", format!("offset: {error}")))?;
    let line = soggetto::line::Line::parse_in(&file.subject, meter, offset)
        .map_err(|error| ("line", format!("subject: {error}")))?;
    Subject::new(key, meter, offset, line).map_err(|error| ("subject", error.to_string()))
}

#[derive(Parser)]
#[command(about = "Answers subjects: JSON Lines on standard input, JSON Lines on standard output")]
struct Usage;

/// The part of a subject file that an answer needs.
#[derive(Deserialize)]
struct SubjectFile {
    key: String,
    meter: String,
    #[serde(default = "zero")]
    offset: String,
    subject: String,
}

fn zero() -> String {
    "0".to_owned()
}

#[derive(Serialize)]
#[serde(untagged)]
enum Reply {
    Answers { id: Value, answers: Vec<AnswerPage> },
    Refused { id: Value, error: Refusal },
}

impl Reply {
    fn refusal(id: Value, error: Refusal) -> Self {
        Self::Refused { id, error }
    }
}

#[derive(Serialize)]
struct Refusal {
    code: &'static str,
    message: String,
}

impl Refusal {
    fn new(code: &'static str, line: u64, message: impl std::fmt::Display) -> Self {
        Self { code, message: format!("line {line}: {message}") }
    }

    fn answer(line: u64, error: &AnswerError) -> Self {
        Self::new(error.code(), line, error)
    }
}

#[derive(Serialize)]
struct AnswerPage {
    kind: &'static str,
    key: String,
    line: String,
    cost: u32,
    alterations: Vec<AlterationPage>,
}

fn answer_page(answer: &Answer) -> AnswerPage {
    AnswerPage {
        kind: answer.kind().name(),
        key: answer.key().to_string(),
        line: answer.line().to_string(),
        cost: answer.cost(),
        alterations: answer.alterations().iter().map(alteration_page).collect(),
    }
}

#[derive(Serialize)]
struct AlterationPage {
    note: usize,
    degree: String,
    real: String,
    chosen: String,
    reason: String,
    source: String,
}

fn alteration_page(alteration: &Alteration) -> AlterationPage {
    AlterationPage {
        note: alteration.note,
        degree: alteration.degree.to_string(),
        real: alteration.real.to_string(),
        chosen: alteration.chosen.to_string(),
        reason: alteration.reason.to_string(),
        source: alteration.source().to_string(),
    }
}
