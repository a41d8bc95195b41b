//! Drafts an exposition of a subject and writes it in every format.
//!
//! ```text
//! cargo run --release --example draft -- subject.json --ensemble string-quartet --out quartet
//! ```
//!
//! writes `exposition.musicxml`, `.mid`, `.svg`, `.json` and `report.md` into the folder `quartet`,
//! all or none, and prints a summary. Without arguments it drafts a built-in subject into `out`.
//! It exits with 0, with 1 if the subject or the folder was refused, with 2 on wrong usage; an error
//! is one line on stderr.

#[path = "common/terminal.rs"]
mod terminal;

use clap::Parser;
use soggetto::compose::{DraftOptions, FEWEST_VOICES, MOST_VOICES, draft};
use soggetto::ensemble::Ensemble;
use soggetto::exposition::Exposition;
use soggetto::interchange::files::{self, NewFile};
use soggetto::interchange::{json, markdown, midi, musicxml, summary, svg};
use soggetto::rules::{Finding, RuleBook};
use soggetto::subject::Subject;
use soggetto::texture::Texture;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use terminal::{Stop, arguments, finish};

fn main() -> ExitCode {
    finish(arguments::<Arguments>("draft").and_then(|arguments| {
        let options = arguments.options().map_err(Stop::Usage)?;
        run(&arguments, &options).map_err(|error| Stop::Refused(arguments.about(&*error)))
    }))
}

/// From the subject to the files; returns the summary.
fn run(arguments: &Arguments, options: &DraftOptions) -> Result<String, Box<dyn Error>> {
    let subject = arguments.subject()?;
    let exposition = draft(&subject, options)?;
    let outline = exposition.outline();
    let texture = Texture::of(exposition.score()).with_outline(&outline);
    let findings = RuleBook::free_baroque().review(&texture);
    let paths = write_files(&arguments.out, &exposition, &findings)?;
    let paths: Vec<String> = paths.iter().map(|path| format!("  {}", path.display())).collect();
    Ok(format!("{}\nWritten\n{}\n", summary::write(&exposition, &findings), paths.join("\n")))
}

fn write_files(
    folder: &Path,
    exposition: &Exposition,
    findings: &[Finding],
) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    let files = [
        ("exposition.musicxml", musicxml::write(exposition)?.into_bytes()),
        ("exposition.mid", midi::write(exposition)?),
        ("exposition.svg", svg::write(exposition, findings)?.into_bytes()),
        ("exposition.json", json::write_exposition(exposition).into_bytes()),
        ("report.md", markdown::write(exposition, findings).into_bytes()),
    ];
    Ok(files::write(folder, &files.each_ref().map(|(name, bytes)| NewFile { name, bytes }))?)
}

/// Drafts a fugal exposition of a subject.
#[derive(Parser)]
#[command(name = "draft", after_help = after_help())]
struct Arguments {
    /// The subject file; without it a built-in subject is drafted
    #[arg(value_name = "SUBJECT.json")]
    subject: Option<PathBuf>,
    /// How many voices, 2 to 5; if nothing is said, as many as the ensemble usually has
    #[arg(long, value_name = "N")]
    voices: Option<usize>,
    /// The voices in the order in which they enter; if nothing is said, the order that suits the subject
    #[arg(long, value_name = "ALTO,SOPRANO,...", value_delimiter = ',')]
    order: Vec<String>,
    /// Who plays or sings
    #[arg(long, value_name = "NAME", default_value = "plain")]
    ensemble: String,
    /// Another number gives another draft, the same number the same
    #[arg(long, value_name = "N", default_value_t = 0)]
    seed: u64,
    /// The folder for the files, made if it is not there
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
}

fn after_help() -> String {
    let names = Ensemble::NAMES.join(", ");
    format!(
        "Ensembles: {names}\n\nSubject file: {{\"title\": ..., \"key\": \"A minor\", \"meter\": \"3/4\", \"offset\": \
         \"1/2\",\n  \"subject\": \"E4:1/4 | A4 G#4 A4 | ...\", \"harmony\": \"V:1/4 i:3/4 ...\"}}; title and harmony \
         may be left out"
    )
}

const BUILT_IN: &str = include_str!("../shared/subjects/carillon.json");

impl Arguments {
    fn options(&self) -> Result<DraftOptions, String> {
        let ensemble = self.ensemble().map_err(|error| error.to_string())?;
        let options = DraftOptions::new(ensemble.clone()).with_seed(self.seed);
        if self.order.is_empty() {
            return Ok(options);
        }
        Ok(options.with_order(order(&ensemble, &self.order)?))
    }

    fn ensemble(&self) -> Result<Ensemble, Box<dyn Error>> {
        let usual = Ensemble::named(&self.ensemble)?;
        match self.voices {
            Some(count) if !(FEWEST_VOICES..=MOST_VOICES).contains(&count) => {
                Err(format!("--voices {count}: an exposition has {FEWEST_VOICES} to {MOST_VOICES} voices")
                    .into())
            }
            Some(count) => Ok(usual.with_voices(count)?),
            None => Ok(usual),
        }
    }

    fn subject(&self) -> Result<Subject, Box<dyn Error>> {
        Ok(match &self.subject {
            Some(path) => json::read_subject(&files::read_text(path)?)?,
            None => json::read_subject(BUILT_IN)?,
        })
    }

    /// What was refused, with the name of its file unless the error names one itself.
    fn about(&self, error: &(dyn Error + 'static)) -> String {
        match &self.subject {
            Some(path) if !error.is::<files::FileError>() => format!("{}: {error}", path.display()),
            _ => error.to_string(),
        }
    }
}

/// The voices of an order, each named once.
fn order(ensemble: &Ensemble, names: &[String]) -> Result<Vec<usize>, String> {
    let positions =
        names.iter().map(|name| ensemble.position(name).map_err(|error| format!("--order: {error}")));
    let positions = positions.collect::<Result<Vec<usize>, String>>()?;
    let voices = ensemble.voices();
    if let Some(missing) = (0..voices.len()).find(|voice| !positions.contains(voice)) {
        let (missing, size) = (voices[missing].name(), voices.len());
        return Err(format!(
            "--order: the {missing} is missing: name each of the {size} voices once (or change --voices)"
        ));
    }
    if positions.len() > voices.len() {
        return Err(format!(
            "--order: {} names for {} voices: name each voice once",
            positions.len(),
            voices.len()
        ));
    }
    Ok(positions)
}
