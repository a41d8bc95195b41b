//! What the programs that review scores have in common: reading a score and judging it.

pub(crate) mod terminal;

use clap::Parser;
use soggetto::exposition::Outline;
use soggetto::interchange::{ReadRemark, Review, read_score};
use soggetto::recognize::recognize;
use soggetto::rules::{Finding, RuleBook};
use soggetto::{Ensemble, Score, remedy};
use std::error::Error;
use std::path::Path;
use terminal::Stop;

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
