//! What the programs that review scores have in common: reading a score, and talking to the terminal.

use clap::Parser;
use soggetto::exposition::Outline;
use soggetto::interchange::{ReadRemark, Review, read_score};
use soggetto::recognize::recognize;
use soggetto::rules::{Finding, RuleBook};
use soggetto::{Ensemble, Score, remedy};
use std::error::Error;
use std::io;
use std::path::Path;
use std::process::ExitCode;

/// How scores are judged.
#[derive(Parser)]
pub(crate) struct Judgement {
    /// The rule book: free-baroque, strict-school or first-lessons
    #[arg(long, value_name = "NAME", default_value = RuleBook::NAMES[0])]
    rules: String,
    /// Whose compasses bind; if nothing is said, those that the names of the parts imply
    #[arg(long, value_name = "NAME")]
    ensemble: Option<String>,
}

/// The rules, and the ensemble whose compasses bind.
pub(crate) type Judge = (RuleBook, Option<Ensemble>);

impl Judgement {
    /// The rule book and the ensemble of these names.
    pub(crate) fn named(&self) -> Result<Judge, Stop> {
        let usage = |error: &dyn Error| Stop::Usage(error.to_string());
        let book = RuleBook::named(&self.rules).map_err(|error| usage(&error))?;
        let ensemble = self.ensemble.as_deref().map(Ensemble::named).transpose();
        Ok((book, ensemble.map_err(|error| usage(&error))?))
    }
}

/// A score from a file, with all that is found in it.
pub(crate) struct Reviewed {
    title: String,
    score: Score,
    outline: Option<Outline>,
    remarks: Vec<ReadRemark>,
    findings: Vec<Finding>,
}

impl Reviewed {
    /// Reads a score, recognizes what it states, and reviews it; the error names the file.
    pub(crate) fn of(path: &Path, book: &RuleBook, ensemble: Option<&Ensemble>) -> Result<Self, String> {
        let about = |error: &dyn Error| match error.to_string() {
            message if message.contains(&path.display().to_string()) => message,
            message => format!("{}: {message}", path.display()),
        };
        let read = read_score(path).map_err(|error| about(&error))?;
        let mut score = read.score;
        if let Some(ensemble) = ensemble {
            let players = ensemble.with_voices(score.parts().len()).map_err(|error| about(&error))?;
            score = score.with_compasses_of(&players);
        }
        let outline = read.outline.or_else(|| recognize(&score).map(|found| found.outline));
        let findings = remedy::review(&score, outline.as_ref(), book);
        let title = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        Ok(Self { title, score, outline, remarks: read.remarks, findings })
    }

    /// What is written of it.
    pub(crate) fn review(&self) -> Review<'_> {
        let Self { title, score, outline, remarks, findings } = self;
        Review { title, score, outline: outline.as_ref(), remarks, findings }
    }
}

/// Why a program stops before its end.
pub(crate) enum Stop {
    /// The usage was asked for.
    Help(String),
    /// The input was refused.
    Refused(String),
    /// The program was called wrongly.
    Usage(String),
}

/// The arguments of a program of this name.
pub(crate) fn arguments<A: Parser>(name: &str) -> Result<A, Stop> {
    A::try_parse().map_err(|error| match error.to_string() {
        text if !error.use_stderr() => Stop::Help(text),
        text => {
            let first = text.lines().next().unwrap_or_default().trim_start_matches("error: ");
            Stop::Usage(format!("{first} ({name} --help shows the usage)"))
        }
    })
}

/// Prints what came of it, a failure as one line on stderr; the status is 0, 1 for input that was
/// refused, 2 for wrong usage.
pub(crate) fn finish(outcome: Result<String, Stop>) -> ExitCode {
    match outcome {
        Ok(text) | Err(Stop::Help(text)) => say(&mut io::stdout(), &text, 0),
        Err(Stop::Refused(message)) => say(&mut io::stderr(), &one_line(&message), 1),
        Err(Stop::Usage(message)) => say(&mut io::stderr(), &one_line(&message), 2),
    }
}

/// A message as one line.
pub(crate) fn one_line(message: &str) -> String {
    message.split(char::is_control).collect::<Vec<_>>().join(" ") + "\n"
}

/// Says something; if nobody listens any more, that is no error.
fn say(to: &mut dyn io::Write, text: &str, code: u8) -> ExitCode {
    match to.write_all(text.as_bytes()).and_then(|()| to.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => ExitCode::FAILURE,
        _ => ExitCode::from(code),
    }
}
