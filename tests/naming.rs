//! The names of dissonances are worth something only if wrong music gets fewer of them. Here drafts are
//! named, then once more with each voice in turn an eighth late, and a step too high.
#![expect(clippy::unwrap_used, clippy::print_stdout, reason = "a test may panic and print")]

mod common;

use common::subjects;
use soggetto::Ensemble;
use soggetto::compose::{DraftOptions, draft};
use soggetto::line::{Line, Note};
use soggetto::score::{Part, Score};
use soggetto::texture::{Dissonance, Texture};

/// Themes of our own; their drafts in four voices are what is named.
const SUBJECTS: [&str; 4] = ["carillon", "lanterns", "oak", "swallows"];

/// How many dissonances there are, how many have no name, and how many of them fall on the beat
/// without preparation.
#[derive(Clone, Copy, Default)]
struct Count {
    all: usize,
    unnamed: usize,
    unprepared: usize,
}

impl Count {
    fn of(score: &Score) -> Self {
        let texture = Texture::of(score);
        let dissonances: Vec<&Dissonance> = texture.dissonances().iter().collect();
        let unnamed = dissonances.iter().filter(|it| !it.figure.is_explained()).count();
        let unprepared = dissonances.iter().filter(|it| it.is_on_beat() && !it.figure.is_prepared()).count();
        Self { all: dissonances.len(), unnamed, unprepared }
    }

    /// Of the scores as they are.
    fn of_all(scores: &[Score]) -> Self {
        Self::sum(scores.iter().map(Self::of))
    }

    /// Of the scores with each voice in turn made over.
    fn of_each(scores: &[Score], make_over: impl Fn(&Line) -> Line) -> Self {
        let voices =
            scores.iter().flat_map(|score| (0..score.parts().len()).map(move |voice| (score, voice)));
        Self::sum(voices.map(|(score, voice)| {
            let mut parts = score.parts().to_vec();
            parts[voice] = Part { line: make_over(&parts[voice].line), ..parts[voice].clone() };
            Self::of(&Score::new(score.key(), score.meter(), score.pickup(), parts).unwrap())
        }))
    }

    fn sum(counts: impl Iterator<Item = Self>) -> Self {
        counts.fold(Self::default(), |sum, it| Self {
            all: sum.all + it.all,
            unnamed: sum.unnamed + it.unnamed,
            unprepared: sum.unprepared + it.unprepared,
        })
    }

    /// Hundredths of a hundred.
    fn share(self, part: usize) -> usize {
        10_000 * part / self.all
    }
}

fn drafts() -> Vec<Score> {
    let options = DraftOptions::new(Ensemble::named("plain").unwrap());
    let chosen = subjects().into_iter().filter(|(name, _)| SUBJECTS.contains(&name.as_str()));
    let scores: Vec<Score> =
        chosen.map(|(_, subject)| draft(&subject, &options).unwrap().score().clone()).collect();
    assert_eq!(scores.len(), SUBJECTS.len());
    scores
}

/// The line an eighth later.
fn late(line: &Line) -> Line {
    let eighth = "1/8".parse().unwrap();
    let moved = line
        .notes()
        .iter()
        .map(|note| Note::new(note.pitch(), note.onset().checked_add(eighth).unwrap(), note.duration()));
    Line::from_notes(moved, line.length().checked_add(eighth).unwrap()).unwrap()
}

fn a_step_higher(line: &Line) -> Line {
    line.moved("M2".parse().unwrap()).unwrap()
}

#[test]
fn dissonances_of_drafts_have_names() {
    let count = Count::of_all(&drafts());
    println!("{} dissonances, {} unnamed, {} unprepared", count.all, count.unnamed, count.unprepared);
    assert!(count.all >= 100, "{}", count.all);
    assert!(count.share(count.unnamed) <= 200, "{} of {}", count.unnamed, count.all);
}

#[test]
fn music_out_of_joint_has_half_as_many_unprepared_again_and_twice_the_unnamed() {
    let drafts = drafts();
    let right = Count::of_all(&drafts);
    for (name, wrong) in
        [("late", Count::of_each(&drafts, late)), ("high", Count::of_each(&drafts, a_step_higher))]
    {
        let [unnamed, unprepared] = [wrong.share(wrong.unnamed), wrong.share(wrong.unprepared)];
        println!("{name}: {unnamed} unnamed, {unprepared} unprepared, in hundredths of a hundred");
        assert!(2 * unprepared >= 3 * right.share(right.unprepared).max(100), "{name}: {unprepared}");
        assert!(unnamed >= 2 * right.share(right.unnamed).max(100), "{name}: {unnamed}");
    }
}
