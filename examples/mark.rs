//! Marks a folder of scores, such as a class hands in: one sheet a score, and a table over all.
//!
//! ```text
//! cargo run --release --example mark -- homework --out marked
//! ```
//!
//! writes `marked/fugue.musicxml.md` for `homework/fugue.musicxml`, and `marked/marks.csv`, in order of
//! the file names. A score that cannot be read has a sheet that says why, and the run goes on; progress
//! is on stderr. It exits with 0 if the folder was marked, with 1 if folder or output was refused, with
//! 2 on wrong usage.
#![expect(clippy::print_stderr, reason = "progress is reported on the terminal")]

mod common;

use clap::Parser;
use common::terminal::{self, Stop};
use common::{Judgement, Reviewed};
use soggetto::interchange::files::{self, NewFile};
use soggetto::interchange::{Review, markdown};
use soggetto::rules::Severity;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

fn main() -> ExitCode {
    terminal::finish(terminal::arguments("mark").and_then(|arguments| run(&arguments)))
}

/// Marks every score; returns what was written.
fn run(arguments: &Arguments) -> Result<String, Stop> {
    let judge = arguments.judgement.named()?;
    let scores = scores(&arguments.folder).map_err(Stop::Refused)?;
    let mut table = row(HEADING.map(str::to_owned));
    for (number, path) in (1..).zip(&scores) {
        let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        let reviewed = Reviewed::of(path, &judge);
        let (sheet, cells) = match &reviewed {
            Ok(reviewed) => (markdown::write_review(&reviewed.review()), cells(&reviewed.review())),
            Err(error) => (refused(&name, error), unread(&name, error)),
        };
        eprint!("{}", terminal::one_line(&format!("[{number}/{}] {name}: {}", scores.len(), brief(&cells))));
        put(&arguments.out, &format!("{name}.md"), &sheet)?;
        table += &row(cells);
    }
    put(&arguments.out, "marks.csv", &table)?;
    Ok(format!("{} scores marked: see {}\n", scores.len(), arguments.out.join("marks.csv").display()))
}

fn put(folder: &Path, name: &str, text: &str) -> Result<(), Stop> {
    let file = NewFile { name, bytes: text.as_bytes() };
    files::write(folder, &[file]).map(|_| ()).map_err(|error| Stop::Refused(error.to_string()))
}

/// The endings of the names of scores.
const ENDINGS: [&str; 6] = ["musicxml", "xml", "mxl", "mid", "midi", "json"];

/// The scores of a folder, by name.
fn scores(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let refused =
        |error: std::io::Error| format!("cannot read {}: {error} (give a folder)", folder.display());
    let entries = std::fs::read_dir(folder).map_err(refused)?;
    let paths = entries.map(|entry| entry.map(|entry| entry.path()));
    let mut paths = paths.collect::<Result<Vec<PathBuf>, _>>().map_err(refused)?;
    let ending = |path: &PathBuf| Some(path.extension()?.to_str()?.to_ascii_lowercase());
    paths.retain(|path| path.is_file() && ending(path).is_some_and(|it| ENDINGS.contains(&it.as_str())));
    paths.sort();
    if paths.is_empty() {
        let endings = ENDINGS.join(", .");
        return Err(format!("{} holds no score: expected names in .{endings}", folder.display()));
    }
    Ok(paths)
}

/// The columns of the table.
const HEADING: [&str; 13] = [
    "file", "key", "meter", "bars", "voices", "subject", "entries", "faults", "cautions", "remarks",
    "remedies", "error", "gravest",
];

fn cells(review: &Review<'_>) -> [String; 13] {
    let score = review.score;
    let subject = review.outline.map_or_else(String::new, |outline| outline.subject.line().to_string());
    let remedies = review.findings.iter().filter(|finding| finding.remedy.is_some()).count();
    let gravest = review.findings.iter().min_by_key(|finding| std::cmp::Reverse(finding.severity));
    let gravest = gravest.map_or_else(String::new, |it| format!("{}: {}", it.place, it.message));
    let counts =
        [Severity::Fault, Severity::Caution, Severity::Remark].map(|it| review.count(it).to_string());
    let [faults, cautions, remarks] = counts;
    [
        review.title.to_owned(),
        score.key().to_string(),
        score.meter().to_string(),
        score.bar_count().to_string(),
        score.parts().len().to_string(),
        subject,
        review.entries().len().to_string(),
        faults,
        cautions,
        remarks,
        remedies.to_string(),
        String::new(),
        gravest,
    ]
}

/// The row of a score that cannot be read.
fn unread(name: &str, error: &str) -> [String; 13] {
    let mut cells = [const { String::new() }; 13];
    (cells[0], cells[11]) = (name.to_owned(), error.to_owned());
    cells
}

/// The sheet of a score that cannot be read.
fn refused(name: &str, error: &str) -> String {
    format!("# {name}\n\nThis score could not be read:\n\n```text\n{}```\n", terminal::one_line(error))
}

/// What is told of a score while it is marked.
fn brief(cells: &[String; 13]) -> String {
    match cells[11].as_str() {
        "" => format!("faults {}, cautions {}, remarks {}", cells[7], cells[8], cells[9]),
        error => error.to_owned(),
    }
}

/// A row of the table, quoted as RFC 4180 has it.
fn row(cells: [String; 13]) -> String {
    let quoted = cells.map(|cell| {
        let is_plain = !cell.contains(['"', ',', '\n', '\r']);
        if is_plain { cell } else { format!("\"{}\"", cell.replace('"', "\"\"")) }
    });
    quoted.join(",") + "\r\n"
}

/// Marks a folder of scores: one Markdown sheet a score, and marks.csv over all.
#[derive(Parser)]
#[command(name = "mark")]
struct Arguments {
    /// The folder of the scores (.musicxml, .xml, .mxl, .mid, .midi, .json)
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
    /// The folder for the sheets and the table, made if it is not there
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    #[command(flatten)]
    judgement: Judgement,
}
