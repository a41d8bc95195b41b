//! The names of dissonances are worth something only if wrong music gets fewer of them. Here a master's
//! exposition is named, then once more with each voice in turn an eighth late, and a step too high.
#![expect(clippy::unwrap_used, clippy::print_stdout, reason = "a test may panic and print")]

use soggetto::line::{Line, Note};
use soggetto::score::{Part, Score};
use soggetto::texture::{Dissonance, Texture};

/// BWV 1080, the first fugue, bars 1 to 20. The music is in the public domain, first printed in 1751.
const LINES: [&str; 4] = [
    "R:4 A4:1/2 D5 C5 A4 G#4 A4:1/4 B4 C5:5/8 D5:1/8 C5 Bb4 A4 D4 D5:1/2 C#5:1/4 D5:1/8 A4 C5:3/8 A4:1/8 \
     Bb4:3/8 E4:1/8 A4:7/8 C5:1/4 B4:1/8 C5:5/8 D4:1/8 C5:3/8 A4:1/8 B4:1/2 A4:1/8 G#4 A4:1/2 B4 C5:1/4 D5 \
     G4:1/8 Bb4 A4:3/8 Bb4:1/8 A4 G4:1/4 E4:1/8 F4 D4 Bb4:5/8 G4:1/8 A4:1/4 D5:5/8 B4:1/8 C5:1/4 F5:5/8 \
     D5:1/8 E5:1/4 A4 D5:3/8",
    "D4:1/2 A4 F4 D4 C#4 D4:1/4 E4 F4:5/8 G4:1/8 F4 E4 D4:1/4 E4 F4 G4 A4 A3:1/8 B3 C4 A3 F4:3/8 B3:1/8 \
     E4:3/8 F4:1/8 E4 D4 E4:1/4 F#4 G4:3/4 F4:1/4 E4:1/2 D4:3/8 E4:1/8 F4:3/8 D4:1/8 G4:3/8 G4:1/8 F4 E4 \
     D4 C#4 D4:1/4 G4:1/2 C4:1/4 F4:3/8 E4:1/8 F4:3/8 G#3:1/8 E4:3/4 D4:1/8 C4 D4 F4 E4 D4 C4:1/4",
    "R:12 A3:1/2 D4 C4 A3 G#3 A3:1/4 B3 C4:5/8 D4:1/8 C4 Bb3 A3:5/8 F3:1/8 G3:1/4 C4:5/8 A3:1/8 B3:1/4 \
     E4:5/8 C#4:1/8 D4:1/4 G4:5/8 E4:1/8 F4:1/4",
    "R:8 D3:1/2 A3 F3 D3 C#3 D3:1/4 E3 F3:5/8 G3:1/8 F3 E3 D3:1/2 R:3/4 A2:1/8 B2 C3 A2 F3:3/8 B2:1/8 \
     E3:3/8 F3:1/8 E3 D3 E3 G3 F#3 A3 G3:1/2 D3:3/4 E3:1/8 D3 E3:1/4 F3:1/8 E3 F#3:1/4 G3:1/8 F#3 G#3:1/4 \
     A3:1/8 G#3 A3:1/4 Bb3:1/8 A3 B3:1/4 C4:1/8 B3 C#4:1/4 D4:1/8 G#3",
];

/// Where the judging ends, in whole notes: the bars after show how the last dissonances go on.
const JUDGED: &str = "19";

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
        let judged = |it: &&Dissonance| texture.time(it.onset) < JUDGED.parse().unwrap();
        let dissonances: Vec<&Dissonance> = texture.dissonances().iter().filter(judged).collect();
        let unnamed = dissonances.iter().filter(|it| !it.figure.is_explained()).count();
        let unprepared = dissonances.iter().filter(|it| it.is_on_beat() && !it.figure.is_prepared()).count();
        Self { all: dissonances.len(), unnamed, unprepared }
    }

    /// Of the score with each voice in turn made over.
    fn of_each(score: &Score, make_over: impl Fn(&Line) -> Line) -> Self {
        let counts = (0..score.parts().len()).map(|voice| {
            let mut parts = score.parts().to_vec();
            parts[voice] = Part { line: make_over(&parts[voice].line), ..parts[voice].clone() };
            Self::of(&Score::new(score.key(), score.meter(), score.pickup(), parts).unwrap())
        });
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

fn fugue() -> Score {
    Score::excerpt("D minor", "2/2", &LINES).unwrap()
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
fn dissonances_of_a_masters_exposition_have_names() {
    let count = Count::of(&fugue());
    println!("{} dissonances, {} unnamed, {} unprepared", count.all, count.unnamed, count.unprepared);
    assert!(count.all >= 60, "{}", count.all);
    assert!(count.share(count.unnamed) <= 200, "{} of {}", count.unnamed, count.all);
}

#[test]
fn music_out_of_joint_has_twice_the_unprepared_and_unnamed_dissonances() {
    let fugue = fugue();
    let right = Count::of(&fugue);
    for (name, wrong) in
        [("late", Count::of_each(&fugue, late)), ("high", Count::of_each(&fugue, a_step_higher))]
    {
        let [unnamed, unprepared] = [wrong.share(wrong.unnamed), wrong.share(wrong.unprepared)];
        println!("{name}: {unnamed} unnamed, {unprepared} unprepared, in hundredths of a hundred");
        assert!(unprepared >= 2 * right.share(right.unprepared), "{name}: {unprepared}");
        assert!(unnamed >= 2 * right.share(right.unnamed).max(100), "{name}: {unnamed}");
    }
}
