//! The checker: what every draft must have, whatever the rules of a book say.

use soggetto::exposition::{Entry, Exposition, Role};
use soggetto::line::{Line, Note};
use soggetto::score::Score;
use soggetto::time::Time;

/// What sounds in each voice from one attack or release anywhere to the next: heights in semitones.
pub(crate) type Slice = (Time, Vec<Option<i32>>);

/// Everything that is wrong with a draft.
pub(crate) fn problems(exposition: &Exposition) -> Vec<String> {
    let mut problems = consecutives(exposition.score());
    problems.extend(out_of_compass(exposition.score()));
    problems.extend(entry_plan(exposition));
    problems.extend(themes(exposition));
    problems
}

/// The slices of a score.
pub(crate) fn slices(score: &Score) -> Vec<Slice> {
    let parts = score.parts();
    let notes = parts.iter().flat_map(|part| part.line.notes());
    let mut times: Vec<Time> = notes.flat_map(|note| [note.onset(), note.end()]).collect();
    times.sort();
    times.dedup();
    let sounding = |line: &Line, time: Time| {
        let note = line.notes().iter().find(|note| note.onset() <= time && time < note.end());
        note.map(|note| note.pitch().height())
    };
    let slice = |time: Time| (time, parts.iter().map(|part| sounding(&part.line, time)).collect());
    times.into_iter().map(slice).collect()
}

/// Two voices that both move from a unison, fifth or octave to the same one, compounds included,
/// in whatever direction (Fux, first book; handbooks of strict counterpoint).
fn consecutives(score: &Score) -> Vec<String> {
    let slices = slices(score);
    let voices = score.parts().len();
    let mut problems = Vec::new();
    for pair in slices.windows(2) {
        let ((_, before), (time, after)) = (&pair[0], &pair[1]);
        for upper in 0..voices {
            for lower in upper + 1..voices {
                let (Some(a), Some(b)) = (before[upper], before[lower]) else { continue };
                let (Some(c), Some(d)) = (after[upper], after[lower]) else { continue };
                let (from, to) = ((a - b).abs() % 12, (c - d).abs() % 12);
                if a != c && b != d && from == to && (from == 0 || from == 7) {
                    let place = score.place(*time).unwrap();
                    let what = if from == 0 { "unisons or octaves" } else { "fifths" };
                    let how = if (c > a) == (d > b) { "parallel" } else { "contrary" };
                    problems.push(format!("{place}: {how} {what} between voices {upper} and {lower}"));
                }
            }
        }
    }
    problems
}

fn out_of_compass(score: &Score) -> Vec<String> {
    let outside = score.parts().iter().flat_map(|part| {
        let compass = part.voice.compass().unwrap();
        let (lowest, highest) = (compass.lowest().height(), compass.highest().height());
        let outside = move |note: &&Note| !(lowest..=highest).contains(&note.pitch().height());
        part.line.notes().iter().filter(outside).map(|note| (part.voice.name(), note.pitch()))
    });
    outside.map(|(name, pitch)| format!("{name} has {pitch}, out of its compass")).collect()
}

/// The subjects and answers in order.
pub(crate) fn statements(exposition: &Exposition) -> Vec<&Entry> {
    exposition.entries().iter().filter(|entry| entry.role != Role::Countersubject).collect()
}

/// Every voice enters exactly once, subject and answer in turn.
fn entry_plan(exposition: &Exposition) -> Vec<String> {
    let statements = statements(exposition);
    let mut voices: Vec<usize> = statements.iter().map(|entry| entry.voice).collect();
    voices.sort_unstable();
    let all: Vec<usize> = (0..exposition.score().parts().len()).collect();
    let mut problems = Vec::new();
    if voices != all {
        problems.push(format!("the entries are in the voices {voices:?}"));
    }
    let turns = [Role::Subject, Role::Answer];
    if statements.iter().zip(turns.iter().cycle()).any(|(entry, role)| entry.role != *role) {
        problems.push("subject and answer do not take turns".to_owned());
    }
    problems
}

/// Every entry is the subject or the answer note for note, some octaves up or down.
fn themes(exposition: &Exposition) -> Vec<String> {
    let wrong = statements(exposition).into_iter().filter(|entry| {
        let theme = match entry.role {
            Role::Subject => exposition.subject().line(),
            _ => exposition.answer().line(),
        };
        let written = &exposition.score().parts()[entry.voice].line.notes()[entry.notes.clone()];
        !is_copy(theme.notes(), written, entry.onset)
    });
    wrong
        .map(|entry| format!("the {} of voice {} is not note for note", entry.role.name(), entry.voice))
        .collect()
}

fn is_copy(theme: &[Note], written: &[Note], onset: Time) -> bool {
    let Some((first, begun)) = theme.first().zip(written.first()) else { return false };
    let octaves = (begun.pitch().height() - first.pitch().height()) / 12;
    theme.len() == written.len()
        && theme.iter().zip(written).all(|(one, other)| {
            let (a, b) = (one.pitch(), other.pitch());
            a.class() == b.class()
                && b.height() - a.height() == 12 * octaves
                && one.duration() == other.duration()
                && one.onset().checked_add(onset) == Ok(other.onset())
        })
}

mod tests {
    use super::*;
    use soggetto::score::Part;
    use soggetto::voice::Voice;

    fn consecutives_of(lines: &[&str]) -> Vec<String> {
        consecutives(&Score::excerpt("C major", "4/4", lines).unwrap())
    }

    #[test]
    fn planted_consecutives_are_seen() {
        let parallel = "bar 1, beat 2: parallel fifths between voices 0 and 1";
        assert_eq!(consecutives_of(&["G4:1/4 A4", "C4:1/4 D4"]), [parallel]);
        assert_eq!(consecutives_of(&["G5:1/4 A4", "C4:1/4 D4"]), [parallel.replace("parallel", "contrary")]);
        let octaves = "bar 1, beat 3: parallel unisons or octaves between voices 0 and 2";
        assert_eq!(consecutives_of(&["G4:1/2 A4", "R:1", "G3:1/4 G3 A3:1/2"]), [octaves]);
    }

    #[test]
    fn oblique_motion_repetition_and_rests_are_free() {
        for lines in [
            ["G4:1/4 A4", "C4:1/2"],
            ["G4:1/4 G4", "C4:1/4 C4"],
            ["G4:1/4 R A4", "C4:1/4 R D4"],
            ["E4:1/4 F4", "C4:1/4 D4"],
        ] {
            assert!(consecutives_of(&lines).is_empty(), "{lines:?}");
        }
    }

    #[test]
    fn note_out_of_compass_is_seen() {
        let voice = Voice::new("alto").with_compass("C4-C5".parse().unwrap());
        let part = Part { voice, line: "B3:1/4 C4 C5 C#5".parse().unwrap() };
        let score = Score::excerpt("C major", "4/4", &["C4:1"]).unwrap();
        let score = Score::new(score.key(), score.meter(), score.pickup(), vec![part]).unwrap();
        let found = ["alto has B3, out of its compass", "alto has C#5, out of its compass"];
        assert_eq!(out_of_compass(&score), found);
    }

    #[test]
    fn copy_is_exact_but_for_octaves_and_time() {
        let line = |text: &str| text.parse::<Line>().unwrap();
        let theme = line("G4:1/4 F#4:1/8 G4");
        let copied = |text: &str| is_copy(theme.notes(), line(text).notes(), "1/4".parse().unwrap());
        assert!(copied("R:1/4 G3:1/4 F#3:1/8 G3"));
        for wrong in [
            "R:1/4 G3:1/4 F3:1/8 G3",
            "R:1/4 G3:1/4 F#3:1/8 G4",
            "R:1/4 G3:1/4 Gb3:1/8 G3",
            "R:1/4 G3:1/4 F#3:1/4 G3",
            "R:1/2 G3:1/4 F#3:1/8 G3",
            "R:1/4 G3:1/4 F#3:1/8",
        ] {
            assert!(!copied(wrong), "{wrong}");
        }
    }
}
