//! The names of dissonances are worth something only if wrong music gets fewer of them. Here drafts are
//! named, then once more with each voice in turn an eighth late, and a step too high.
#![expect(clippy::unwrap_used, clippy::print_stdout, reason = "a test may panic and print")]

mod common;

use common::subjects;
use soggetto::Ensemble;
use soggetto::compose::{DraftOptions, draft};
use soggetto::line::{Line, Note};
use soggetto::score::{Part, Score};
use soggetto::texture::{Pair, Texture};

/// How many dissonances there are and how many have no name; how many attacks there are and how many of
/// them are unprepared dissonances on the beat.
#[derive(Clone, Copy, Default)]
struct Count {
    all: u64,
    unnamed: u64,
    attacks: u64,
    unprepared: u64,
}

impl Count {
    fn of(score: &Score) -> Self {
        let texture = Texture::of(score);
        let dissonances = texture.dissonances();
        Self {
            all: dissonances.len() as u64,
            unnamed: dissonances.iter().filter(|it| !it.figure.is_explained()).count() as u64,
            attacks: texture.pairs().map(Pair::attacks).sum(),
            unprepared: dissonances.iter().filter(|it| it.is_unprepared_on_beat()).count() as u64,
        }
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
            attacks: sum.attacks + it.attacks,
            unprepared: sum.unprepared + it.unprepared,
        })
    }

    /// The unnamed of the dissonances, in hundredths of a hundred.
    fn unnamed(self) -> u64 {
        10_000 * self.unnamed / self.all
    }

    /// The unprepared on the beat of the attacks, in hundredths of a hundred.
    fn unprepared(self) -> u64 {
        10_000 * self.unprepared / self.attacks
    }
}

/// A draft of every demo subject in so many voices.
fn drafts(voices: usize) -> Vec<Score> {
    let options = DraftOptions::new(Ensemble::named("plain").unwrap().with_voices(voices).unwrap());
    subjects().iter().map(|(_, subject)| draft(subject, &options).unwrap().score().clone()).collect()
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
    for voices in 3..=5 {
        let count = Count::of_all(&drafts(voices));
        println!("{voices} voices: {} dissonances, {} unnamed", count.all, count.unnamed);
        assert!(count.all >= 100 && count.unnamed() <= 200, "{} of {}", count.unnamed, count.all);
    }
}

#[test]
fn music_out_of_joint_has_twice_as_many_unprepared_on_the_beat_and_twice_the_unnamed() {
    for voices in 2..=5 {
        let drafts = drafts(voices);
        let right = Count::of_all(&drafts);
        for (name, wrong) in
            [("late", Count::of_each(&drafts, late)), ("high", Count::of_each(&drafts, a_step_higher))]
        {
            let row = [right.unprepared(), wrong.unprepared(), right.unnamed(), wrong.unnamed()];
            println!("{voices} voices, {name}: unprepared and unnamed, before and after: {row:?}");
            assert!(wrong.unprepared() >= 2 * right.unprepared().max(25), "{voices} voices, {name}");
            assert!(wrong.unnamed() >= 2 * right.unnamed().max(100), "{voices} voices, {name}");
        }
    }
}
