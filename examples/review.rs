//! Reviews a score: finds its subject and entries, and marks it as a strict and friendly teacher would,
//! each mark with its place, its source and, where there is one, a proven remedy.
//!
//! ```text
//! cargo run --release --example review -- fugue.musicxml --rules strict-school --format markdown
//! ```
//!
//! It reads MusicXML (`.musicxml`, `.mxl`), Standard MIDI Files (`.mid`) and our JSON (a score or an
//! exposition). In its own JSON an entry upside down or in other note values has a further field `form`,
//! and a review of a score whose meter changes a field `meters`. It exits with 0 whatever it finds, with 1
//! if the score was refused, with 2 on wrong usage; an error is one line on stderr.

mod common;

use clap::{Parser, ValueEnum};
use common::terminal::{self, Stop};
use common::{Judgement, Reviewed};
use soggetto::interchange::{json, markdown, summary};
use std::path::PathBuf;
use std::process::ExitCode;

fn main() -> ExitCode {
    terminal::finish(terminal::arguments("review").and_then(|arguments| run(&arguments)))
}

/// From the score to the review.
fn run(arguments: &Arguments) -> Result<String, Stop> {
    let judge = arguments.judgement.named()?;
    let reviewed = Reviewed::of(&arguments.score, &judge).map_err(Stop::Refused)?;
    Ok(match arguments.format {
        Format::Text => summary::write_review(&reviewed.review()),
        Format::Json => json::write_review(&reviewed.review()),
        Format::Markdown => markdown::write_review(&reviewed.review()),
    })
}

/// Reviews a score: its subject and entries, its consonances, and what a teacher would mark.
#[derive(Parser)]
#[command(name = "review", after_help = AFTER_HELP)]
struct Arguments {
    /// The score: .musicxml, .mxl, .mid or .json
    #[arg(value_name = "SCORE")]
    score: PathBuf,
    #[command(flatten)]
    judgement: Judgement,
    /// As what the review is printed
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

const AFTER_HELP: &str = "\
Exit status: 0 if the score was reviewed, whatever was found; 1 if it was refused; 2 on wrong usage.";

#[derive(Clone, Copy, ValueEnum)]
enum Format {
    Text,
    Json,
    Markdown,
}
