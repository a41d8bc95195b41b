//! What the programs that review scores have in common: reading a score and judging it.

pub(crate) mod terminal;

use clap::Parser;
use soggetto::exposition::Outline;
use soggetto::interchange::{ReadRemark, Review, read_score};
use soggetto::recognize::{self, Transformed};
use soggetto::rules::{Finding, RuleBook};
use soggetto::{Ensemble, Score, Texture, remedy};
use std::error::Error;
use std::path::Path;
use std::thread;
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
    /// Seek no remedies: about ten times faster, for a run over many scores
    #[arg(long)]
    no_remedies: bool,
}

/// By what a score is judged.
pub(crate) struct Judge {
    /// The rules.
    pub(crate) book: RuleBook,
    /// The ensemble whose compasses bind.
    pub(crate) ensemble: Option<Ensemble>,
    /// Whether remedies are sought.
    pub(crate) remedies: bool,
}

impl Judgement {
    /// The rule book and the ensemble of these names.
    pub(crate) fn named(&self) -> Result<Judge, Stop> {
        let usage = |error: &dyn Error| Stop::Usage(error.to_string());
        let book = RuleBook::named(&self.rules).map_err(|error| usage(&error))?;
        let ensemble = self.ensemble.as_deref().map(Ensemble::named).transpose();
        let ensemble = ensemble.map_err(|error| usage(&error))?;
        Ok(Judge { book, ensemble, remedies: !self.no_remedies })
    }
}

/// A score from a file, with all that is found in it.
pub(crate) struct Reviewed {
    title: String,
    score: Score,
    outline: Option<Outline>,
    transformed: Vec<Transformed>,
    remarks: Vec<ReadRemark>,
    findings: Vec<Finding>,
}

impl Reviewed {
    /// Reads a score, recognizes what it states, and reviews it; the error names the file.
    pub(crate) fn of(path: &Path, judge: &Judge) -> Result<Self, String> {
        let about = |error: &dyn Error| match error.to_string() {
            message if message.contains(&path.display().to_string()) => message,
            message => format!("{}: {message}", path.display()),
        };
        let read = read_score(path).map_err(|error| about(&error))?;
        let mut score = read.score;
        if let Some(ensemble) = &judge.ensemble {
            let players = ensemble.with_voices(score.parts().len()).map_err(|error| about(&error))?;
            score = score.with_compasses_of(&players);
        }
        let (outline, transformed) = match read.outline {
            Some(outline) => {
                let transformed = recognize::other_forms(&score, &outline);
                (Some(outline), transformed)
            }
            None => match recognize::recognize(&score) {
                Some(found) => (Some(found.outline), found.transformed),
                None => (None, Vec::new()),
            },
        };
        let findings = findings(&score, outline.as_ref(), judge);
        let title = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        Ok(Self { title, score, outline, transformed, remarks: read.remarks, findings })
    }

    /// What is written of it.
    pub(crate) fn review(&self) -> Review<'_> {
        let Self { title, score, outline, transformed, remarks, findings } = self;
        Review { title, score, outline: outline.as_ref(), transformed, remarks, findings }
    }
}

fn findings(score: &Score, outline: Option<&Outline>, judge: &Judge) -> Vec<Finding> {
    if !judge.remedies {
        return judge.book.review(&Texture::of(score).with_outline(outline));
    }
    let cores = thread::available_parallelism().map_or(1, usize::from);
    remedy::review_in_parallel(score, outline, &judge.book, cores)
}
