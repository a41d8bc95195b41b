//! Answers, drafts and reviews in bulk: JSON Lines in, JSON Lines out, in the order of the input, over
//! all cores.
//!
//! ```text
//! cargo run --release --example batch < tasks.jsonl > results.jsonl
//! ```
//!
//! A line is `{"id", "task": "answer", ...subject file}`, `{"id", "task": "draft", "voices"?, "seed"?,
//! ...subject file}` or `{"id", "task": "review", "score": PATH}`. Its result has its `id`, and beside it
//! what `answer`, `draft` (`exposition.json`) and `review --format json` give; a line that fails gives
//! `{"id", "error": {"code", "message"}}` and does not stop the others. A few lines for each core are in
//! memory at a time, however long the input.

mod common;

use clap::Parser;
use common::terminal::{self, Stop};
use common::{Judge, Judgement, Reviewed};
use serde_json::{Map, Value};
use soggetto::compose::{DraftOptions, draft};
use soggetto::interchange::json;
use soggetto::{Ensemble, Error, Subject};
use std::io::{self, BufRead, BufReader, BufWriter, Read, Write};
use std::path::Path;
use std::process::ExitCode;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Mutex, PoisonError};
use std::thread;

fn main() -> ExitCode {
    terminal::finish(terminal::arguments::<Arguments>("batch").and_then(|arguments| {
        let judge = arguments.judgement.named()?;
        match work_through(BufReader::new(io::stdin()), BufWriter::new(io::stdout()), &judge) {
            Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Stop::Refused(format!(
                "standard input or output failed: {error} (check where they lead)"
            ))),
            _ => Ok(String::new()),
        }
    }))
}

/// The longest line, in bytes.
const MAX_LINE: u64 = 16 << 20;

/// How many lines for each core may be read ahead of the one that is written next.
const AHEAD: usize = 4;

/// A line to work on, and where its result is awaited.
type Job = (u64, Vec<u8>, SyncSender<String>);

/// Reads lines, has them worked on by all cores, and writes the results in order.
fn work_through(input: impl BufRead, output: impl Write + Send, judge: &Judge) -> io::Result<()> {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let (to_workers, jobs) = sync_channel::<Job>(cores);
    let (to_writer, results) = sync_channel::<Receiver<String>>(cores * AHEAD);
    let jobs = Mutex::new(jobs);
    thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| work(&jobs, judge));
        }
        let writer = scope.spawn(|| write(results, output));
        let read = read(input, &to_workers, &to_writer);
        drop((to_workers, to_writer));
        let written = writer.join().unwrap_or_else(|_| Err(io::Error::other("the writer stopped")));
        read.and(written)
    })
}

/// Hands out the lines that are not blank; stops when nobody awaits results any more.
fn read(
    mut input: impl BufRead,
    workers: &SyncSender<Job>,
    writer: &SyncSender<Receiver<String>>,
) -> io::Result<()> {
    for number in 1.. {
        let mut line = Vec::new();
        if input.by_ref().take(MAX_LINE + 1).read_until(b'\n', &mut line)? == 0 {
            break;
        }
        if line.len() as u64 > MAX_LINE {
            return Err(io::Error::other(format!("line {number} has more than {MAX_LINE} bytes")));
        }
        if line.trim_ascii().is_empty() {
            continue;
        }
        let (result, awaited) = sync_channel(1);
        if writer.send(awaited).is_err() || workers.send((number, line, result)).is_err() {
            break;
        }
    }
    Ok(())
}

fn work(jobs: &Mutex<Receiver<Job>>, judge: &Judge) {
    let next = || jobs.lock().unwrap_or_else(PoisonError::into_inner).recv();
    while let Ok((number, line, result)) = next() {
        let _ = result.send(result_of(number, &line, judge));
    }
}

fn write(results: Receiver<Receiver<String>>, mut output: impl Write) -> io::Result<()> {
    for awaited in results {
        let line = awaited.recv().map_err(|_| io::Error::other("a worker stopped"))?;
        writeln!(output, "{line}")?;
    }
    output.flush()
}

/// Why a line has no result: a code and a message.
type Failure = (&'static str, String);

/// The result of a line, or what is wrong with it, as a line.
fn result_of(number: u64, line: &[u8], judge: &Judge) -> String {
    let task = serde_json::from_slice::<Map<String, Value>>(line);
    let id = task.as_ref().ok().and_then(|task| task.get("id")?.as_str().map(str::to_owned));
    let result = match task {
        Err(error) => Err(("json-syntax", format!("{error} (write one JSON object a line)"))),
        Ok(task) => done(task, judge),
    };
    match result {
        Ok(text) => with_id(id.as_deref(), text),
        Err((code, message)) => {
            json::write_failure(id.as_deref(), code, &format!("line {number}: {message}"))
        }
    }
}

/// An object in one line, its id first.
fn with_id(id: Option<&str>, text: String) -> String {
    match text.strip_prefix('{') {
        Some(fields) if !text.starts_with("{\"id\":") => format!("{{\"id\":{},{fields}", Value::from(id)),
        _ => text,
    }
}

fn done(mut task: Map<String, Value>, judge: &Judge) -> Result<String, Failure> {
    let name = task.remove("task");
    match name.as_ref().and_then(Value::as_str) {
        Some("answer") => answered(task),
        Some("draft") => drafted(task),
        Some("review") => reviewed(&task, judge),
        _ => Err(("batch-task", "task: write answer, draft or review".to_owned())),
    }
}

/// The subject of what is left of a line.
fn subject(task: Map<String, Value>) -> Result<Subject, Failure> {
    json::read_subject(&Value::Object(task).to_string()).map_err(|error| (error.code(), error.to_string()))
}

fn answered(task: Map<String, Value>) -> Result<String, Failure> {
    let subject = subject(task)?;
    let answers = subject.answers().map_err(|error| (error.code(), error.to_string()))?;
    Ok(json::write_answers(subject.id(), &answers))
}

/// A number from 0 in a field, taken out of a line.
fn number(task: &mut Map<String, Value>, field: &str) -> Result<Option<u64>, Failure> {
    let value = task.remove(field).filter(|value| !value.is_null());
    let wrong = || ("batch-number", format!("{field}: write it as a whole number from 0"));
    value.map(|value| value.as_u64().ok_or_else(wrong)).transpose()
}

fn drafted(mut task: Map<String, Value>) -> Result<String, Failure> {
    let (voices, seed) = (number(&mut task, "voices")?, number(&mut task, "seed")?);
    let refused = |error: Error| (error.code(), error.to_string());
    let subject = subject(task)?;
    let ensemble = Ensemble::named("plain").and_then(|usual| match voices {
        Some(count) => usual.with_voices(usize::try_from(count).unwrap_or(usize::MAX)),
        None => Ok(usual),
    });
    let options = DraftOptions::new(ensemble.map_err(|error| refused(error.into()))?);
    let exposition = draft(&subject, &options.with_seed(seed.unwrap_or(0)));
    Ok(json::write_exposition_line(&exposition.map_err(|error| refused(error.into()))?))
}

fn reviewed(task: &Map<String, Value>, judge: &Judge) -> Result<String, Failure> {
    let path = task.get("score").and_then(Value::as_str);
    let path = path.ok_or(("batch-score", "score: write the path of a score as text".to_owned()))?;
    let reviewed = Reviewed::of(Path::new(path), judge);
    let reviewed = reviewed.map_err(|message| ("batch-refused", message))?;
    Ok(json::write_review_line(&reviewed.review()))
}

/// Answers, drafts and reviews: JSON Lines on standard input, JSON Lines on standard output, in order.
///
/// A line is {"id", "task": "answer", ...subject file}, {"id", "task": "draft", "voices", "seed",
/// ...subject file} or {"id", "task": "review", "score": PATH}; its result stands in the same place, with
/// its id. A line that fails gives {"id", "error": {"code", "message"}}. Exit status: 0 when all lines
/// have been read, 1 when input or output fails, 2 on wrong usage.
#[derive(Parser)]
#[command(name = "batch")]
struct Arguments {
    #[command(flatten)]
    judgement: Judgement,
}
