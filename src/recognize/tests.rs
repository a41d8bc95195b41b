//! Recognition of small scores.

use super::*;
use crate::exposition::Alignment;

const SUBJECT: &str = "A4:1/4 C5 B4 E4 A4 G#4 A4:1/2";
const ANSWER: &str = "E5:1/4 G5 F#5 B4 E5 D#5 E5:1/2";

fn outline(key: &str, lines: &[&str]) -> Option<Outline> {
    recognize(&Score::excerpt(key, "4/4", lines).unwrap()).map(|recognition| recognition.outline)
}

fn two_voices(key: &str, answer: &str) -> Option<Outline> {
    outline(key, &[&format!("R:2 {answer}"), &format!("{SUBJECT} G#4:1/4 A4 D4:1/2 C4:1/4 B3 A3:1/2")])
}

/// A theme in the minor under the signature of its relative major.
#[test]
fn doubtful_key_gives_way_to_the_one_that_is_heard() {
    let found = two_voices("C major", ANSWER).unwrap();
    assert_eq!(found.subject.key().to_string(), "A minor");
    assert_eq!(found.entries[1].key.to_string(), "E minor");
    assert_eq!(two_voices("A minor", ANSWER).unwrap(), found);
}

#[test]
fn wrong_note_stays_in_the_entry_and_the_alignment_points_at_it() {
    let wrong = ANSWER.replace("B4", "D5");
    let score = Score::excerpt("A minor", "4/4", &[&format!("R:2 {wrong}"), SUBJECT]).unwrap();
    let Recognition { outline, evidence, .. } = recognize(&score).unwrap();
    assert_eq!((outline.entries[1].notes.clone(), evidence[1].right, evidence[1].notes), (0..7, 6, 7));
    let partners = Alignment::of(&score, &outline.entries[1], outline.subject.line());
    assert_eq!(partners.partners()[3], Some(3));
}

#[test]
fn evidence_has_one_value_for_each_entry() {
    let lines = [format!("R:2 {ANSWER}"), format!("{SUBJECT} G#4:1/4 A4 D4:1/2 C4:1/4 B3 A3:1/2")];
    let score = Score::excerpt("A minor", "4/4", &[&lines[0], &lines[1]]).unwrap();
    let recognition = recognize(&score).unwrap();
    assert_eq!(recognition.evidence.len(), recognition.outline.entries.len());
}

/// The link before the answer belongs to neither entry.
#[test]
fn codetta_is_what_lies_between_two_entries() {
    let found = outline("A minor", &[&format!("R:5/2 {ANSWER}"), &format!("{SUBJECT} R:1/4 B4:1/8 C5 D5:1")])
        .unwrap();
    let link = Link { onset: "2".parse().unwrap(), end: "5/2".parse().unwrap() };
    assert_eq!((found.codettas, found.end), (vec![link], "9/2".parse().unwrap()));
}

/// Equal notes all the way are the worst that the search can meet.
#[test]
fn long_and_monotonous_scores_end_soon() {
    let unit = "C4:1/8 D4 E4 F4 G4 F4 E4 D4 ".repeat(5000);
    let score =
        Score::excerpt("C major", "4/4", &[&format!("R:2 {}", unit.replace('4', "5")), &unit]).unwrap();
    let start = std::time::Instant::now();
    let _ = recognize(&score);
    assert!(start.elapsed().as_secs() < 10, "{:?}", start.elapsed());
}

/// J. S. Bach, BWV 1080, no. 5, bars 1-8: the answer is the inverted subject, and enters before its end.
#[test]
fn answer_may_be_the_subject_by_contrary_motion() {
    let upper = "A4:1/2 D4:3/8 E4:1/8 F4:3/8 G4:1/8 A4:1/2 Bb4:1/2 A4:3/8 G4:1/8 F4:5/8 E4:1/8 F4:1/8 G4:1/8 \
                 A4:1/8 Bb4 C5:3/8 Bb4:1/8 A4 Bb4 E4 F4 G4:3/8 A4:1/8 F4";
    let lower = "R:3 D3:1/2 A3:3/8 G3:1/8 F3:3/8 E3:1/8 D3:1/2 C#3:1/2 D3:3/8 E3:1/8 F3:5/8 G3:1/8 F3:1/8 E3:1/8 D3:1/4";
    let score = Score::excerpt("D minor", "4/4", &[upper, lower]).unwrap();
    let Recognition { outline, transformed, .. } = recognize(&score).unwrap();
    assert_eq!(outline.themes().map(|entry| entry.voice).collect::<Vec<_>>(), [0]);
    let [Transformed { entry, form: Form::Inverted, .. }] = &transformed[..] else {
        panic!("{transformed:?}")
    };
    assert_eq!((entry.role, entry.voice, entry.onset.to_string()), (Role::Answer, 1, "3".to_owned()));
    assert_eq!(
        (&outline.others, outline.end.to_string()),
        (&vec![(Form::Inverted, entry.clone())], "53/8".to_owned())
    );
    assert_eq!(super::outline(&score), Some(outline));
}

#[test]
fn fugue_may_follow_an_introduction() {
    let theme = |text: &str| format!("{text} {}", "D5:1/8 C5 B4:1/4 A4 G4 A4:1/2");
    let subject = theme("A4:1/4 C5:1/8 D5 E5 F5 B4:1/4 E4 A4:1/8 G#4");
    let answer = "E5:1/4 G5:1/8 A5 B5 C6 F#5:1/4 B4 E5:1/8 D#5 E5:1/2";
    let score = Score::excerpt(
        "A minor",
        "4/4",
        &[&format!("E5:1 D5 R:1 R:5/2 {answer}"), &format!("C5:1 B4 R:1 {subject}")],
    );
    let found = recognize(&score.unwrap()).unwrap().outline;
    let entries: Vec<(usize, String)> =
        found.themes().map(|entry| (entry.voice, entry.onset.to_string())).collect();
    assert_eq!(entries, [(1, "3".to_owned()), (0, "11/2".to_owned())]);
}

#[test]
fn voice_may_play_something_else_before_it_follows() {
    let (subject, answer) = (
        "A4:1/4 C5:1/8 D5 E5:1/4 B4 E4 A4:1/8 G#4 A4:1/2",
        "E5:1/4 G5:1/8 A5 B5:1/4 F#5 B4 E5:1/8 D#5 E5:1/2",
    );
    let below = "A2:1/4 C3:1/8 D3 E3:1/4 B2 E2 A2:1/8 G#2 A2:1/2";
    let lines = [format!("R:2 {answer}"), subject.to_owned(), format!("A2:1/2 E3 R:3 {below}")];
    let found = outline("A minor", &[&lines[0], &lines[1], &lines[2]]).unwrap();
    let entries: Vec<(usize, String)> =
        found.themes().map(|entry| (entry.voice, entry.onset.to_string())).collect();
    assert_eq!(entries, [(1, "0".to_owned()), (0, "2".to_owned()), (2, "4".to_owned())]);
}

/// A pupil answers in the supertonic: the entry is there, and where it stands is for the rules to judge.
#[test]
fn answer_on_a_wrong_level_is_heard_as_one() {
    let subject = "A4:1/4 C5:1/8 D5 E5:1/4 B4 E4 A4:1/8 G#4 A4:1/2";
    let astray = "B4:1/4 D5:1/8 E5 F5:1/4 C5 F4 B4:1/8 A4 B4:1/2";
    let found = outline("A minor", &[&format!("R:2 {astray}"), subject]).unwrap();
    let second = &found.entries[1];
    assert_eq!((second.role, second.voice, second.onset.to_string()), (Role::Answer, 0, "2".to_owned()));
    // Four notes of it could be chance.
    assert!(outline("A minor", &["R:2 B4:1/4 D5:1/8 E5 F5:1/4 C5:1", subject]).is_none());
}

/// A pupil answers at the octave: with a third entry there, it is an answer on a wrong level, for a round would go on
/// alike, and two voices may imitate each other so.
#[test]
fn answer_at_the_octave_is_heard_as_one_where_three_voices_have_the_theme() {
    let below = "A3:1/4 C4:1/8 D4 E4:1/4 B3 E3 A3:1/8 G#3 A3:1/2";
    let theme = "A4:1/4 C5:1/8 D5 E5:1/4 B4 E4 A4:1/8 G#4 A4:1/2";
    let above = "A5:1/4 C6:1/8 D6 E6:1/4 B5 E5 A5:1/8 G#5 A5:1/2";
    let led = |goes_on: &str, again: &str| {
        let lines = [format!("R:4 {above}"), format!("{theme} {goes_on}"), format!("R:2 {below} {again}")];
        outline("A minor", &[&lines[0], &lines[1], &lines[2]])
    };
    let found = led("C5:1/2 G#4:1/4 A4 B4:1/2 A4:1/2", "E4:1/2 F4:1/4 E4 D4:1/2 C4:1/2").unwrap();
    let entries: Vec<(Role, usize)> = found.themes().map(|entry| (entry.role, entry.voice)).collect();
    assert_eq!(entries, [(Role::Subject, 1), (Role::Answer, 2), (Role::Subject, 0)]);
    assert!(led("C5:1/2 G#4:1/4 A4 B4:1/2 A4:1/2", "C4:1/2 G#3:1/4 A3 B3:1/2 A3:1/2").is_none());
    let two = [format!("{theme} C5:1/2 G#4:1/4 A4 B4:1/2 A4:1/2"), format!("R:2 {below}")];
    assert!(outline("A minor", &[&two[0], &two[1]]).is_none());
}

/// The leader goes along with the answer in thirds: once taken for an entry in another key.
#[test]
fn voice_that_doubles_the_theme_in_thirds_has_no_entry() {
    let theme = "A4:1/4 C5:1/8 D5 E5:1/4 B4 E4 A4:1/8 G#4 A4:1/2";
    let thirds = "C5:1/4 E5:1/8 F5 G5:1/4 D5 G4 C5:1/8 B4 C5:1/2";
    let answer = "E5:1/4 G5:1/8 A5 B5:1/4 F#5 B4 E5:1/8 D#5 E5:1/2";
    let lines = [format!("R:2 {answer} E5:1/2 R:3/2"), format!("{theme} {thirds} A4:1/2 E4:1")];
    let below = "R:4 A3:1/4 C4:1/8 D4 E4:1/4 B3 E3 A3:1/8 G#3 A3:1/2";
    let found = outline("A minor", &[&lines[0], &lines[1], below]).unwrap();
    let entries: Vec<(Role, usize)> = found.themes().map(|entry| (entry.role, entry.voice)).collect();
    assert_eq!(entries, [(Role::Subject, 1), (Role::Answer, 0), (Role::Subject, 2)]);
}

/// The last entry has a wrong note. By notes, of which the countersubject has many, the others copy three times as many
/// as it; by time twice, theme and countersubject: it is the one that tells the two apart.
#[test]
fn entry_with_a_wrong_note_tells_where_the_subject_ends_though_others_copy_many_notes() {
    let lines = [
        "R:6 G4:1/2 B4:1/4 D5 B4 G4 A4 B4:1/8 A4 E4:1/4 D4:1/2 E4:3/16 G4:1/16 F#4:3/16 G4:1/16 F#4:3/16 \
         B4:1/16 A4:1/8 D5 A4 B4 A4:3/16 G4:1/16 F#4:3/16 B4:1/16 E4:1/8 G4:1/4 F#4:1/16 G4 F#4:3/16 D4:1/16 \
         E4:3/16 F#4:1/16 E4:1/8 D4",
        "R:3 D4:1/2 F#4:1/4 A4 F#4 D4 E4 F#4:1/8 D4 A3:1/4 G3:1/2 A3:1/8 B3:1/16 C4 B3:3/16 C4:1/16 B3:3/16 \
         E4:1/16 D4:1/8 G4 D4 E4 D4:3/16 C4:1/16 B3:3/16 E4:1/16 A3:1/8 C4:1/4 C#4:1/16 D4 C#4:3/16 A3:1/16 \
         B3:3/16 C#4:1/16 B3:1/8 A3 G3 A3 D4 B3 A3 G3 A3:3/16 A4:1/16 F#4:3/16 G4:1/16 A4:1/8 A3 D4 B3 \
         G3:3/16 B3:1/16 A3:3/16 B3:1/16 C#4:1/8 A3 B3 A3 G3:3/16 B3:1/16",
        "G3:1/2 B3:1/4 D4 B3 G3 A3 B3:1/8 A3 E3:1/4 D3:1/2 E3:3/16 G3:1/16 F#3:3/16 G3:1/16 F#3:3/16 B3:1/16 \
         A3:1/8 D4 A3 B3 A3:3/16 G3:1/16 F#3:3/16 B3:1/16 E3:1/8 G3:1/4 F#3:1/16 G3 F#3:3/16 D3:1/16 E3:3/16 \
         F#3:1/16 E3:1/8 D3 C3 D3 G3 E3 G3:1/4 G3:3/16 A3:1/16 B3:3/16 A3:1/16 B3:1/8 D3 E3 G3 C3:3/16 \
         C4:1/16 A3:3/16 G3:1/16 A3:1/8 E3 F#3 G3 D3:3/16 D3:1/16 C#3:1/4 D3:1/2 A3 D4:3/8 D3:1/8 G3:1/4 \
         F#3:1/2 E3:1/4 D3",
        "R:9 D3:1/2 F#3:1/4 A3 F#3 D3 F#3 F#3:1/8 D3 A2:1/4 G2:1/2",
    ];
    let score = Score::excerpt("G major", "3/4", &lines).unwrap();
    let found = recognize(&score).unwrap().outline;
    assert_eq!(found.subject.line().notes().len(), 10);
    let entries: Vec<(Role, usize)> = found.themes().map(|entry| (entry.role, entry.voice)).collect();
    assert_eq!(entries, [(Role::Subject, 2), (Role::Answer, 1), (Role::Subject, 0), (Role::Answer, 3)]);
}

/// Without a mode, the signature of A minor is read as C major; the excerpt ends with a half close.
#[test]
fn key_is_heard_though_an_excerpt_ends_on_the_dominant() {
    let lines = [
        format!("R:2 {ANSWER} G#5:1/4 A5 G#5:1/2 E5:1"),
        format!("{SUBJECT} G#4:1/4 A4 B4 C5 B4 A4 G#4:1/2 C5:1/4 A4 G#4:1/2 E4:1"),
    ];
    let score = Score::excerpt("C major", "4/4", &[&lines[0], &lines[1]]).unwrap();
    assert_eq!(recognize(&score).unwrap().outline.subject.key().to_string(), "A minor");
}

/// The subject begins on the fifth, and the file gives the relative key.
#[test]
fn subject_tells_the_mode() {
    let subject = "E5:1/4 A4 C5 B4 A4 G#4 A4:1/2";
    let lines = [
        format!("{subject} C5:1/4 D#5 E5 G5 F#5 E5 D#5 B4"),
        "R:2 A4:1/4 E4 G4 F#4 E4 D#4 E4:1/2".to_owned(),
    ];
    for given in ["C major", "A minor", "A major"] {
        assert_eq!(outline(given, &[&lines[0], &lines[1]]).unwrap().subject.key().to_string(), "A minor");
    }
}

/// A dorian signature: a flat less than the key has.
#[test]
fn signature_may_lack_the_flat_of_the_sixth_degree() {
    let lines = ["D5:1/4 A4 Bb4 A4 G4 F4 E4 D4 C#4 D4 E4 C#4 D4:1", "R:2 A4:1/4 D4 F4 E4 D4 C4 B3 A3"];
    let found = recognize(&Score::excerpt("C major", "4/4", &lines).unwrap());
    assert_eq!(found.unwrap().outline.subject.key().to_string(), "D minor");
}

/// The theme is short and a bass goes along from the beginning: two voices that follow make it sure.
#[test]
fn short_theme_over_a_bass_is_heard_if_two_voices_follow() {
    let bass = "C2:1/8 D2 E2 F2 G2 F2 E2 D2 C2 E2 D2 F2 E2 G2 F2 A2 ".repeat(3);
    let (subject, answer) = ("C4:1 E4:1/2 A4", "G4:1 B4:1/2 E5");
    let middle = format!("{subject} R:4");
    let found = outline("C major", &[&format!("R:2 {answer}"), &middle, &format!("R:4 {subject}"), &bass]);
    assert!(found.is_none(), "three notes are no theme");
    let (subject, answer) = (format!("{subject} F4:1"), format!("{answer} C5:1"));
    let lines = [format!("R:3 {answer}"), subject.clone(), format!("R:6 {subject}"), bass.repeat(2)];
    let found = outline("C major", &[&lines[0], &lines[1], &lines[2], &lines[3]]).unwrap();
    assert_eq!(found.themes().map(|entry| entry.voice).collect::<Vec<_>>(), [1, 0, 2]);
}

/// The entries of a fugue in two voices, by voice and onset.
fn entries_of(lines: &[&str]) -> Vec<(usize, String)> {
    let found = outline("A minor", lines);
    found.iter().flat_map(Outline::themes).map(|entry| (entry.voice, entry.onset.to_string())).collect()
}

const SONG: &str = "A4:1/4 C5:1/8 D5 E5:1/2 D5:1/4 B4 G#4 B4 A4:1/2";
const REPLY: &str = "E5:1/4 G5:1/8 A5 B5:1/2 A5:1/4 F#5 D#5 F#5 E5:1/2";

/// A trill may be written out in one statement, the leader's or another's.
#[test]
fn trill_hides_no_entry() {
    let both = [(1, "0".to_owned()), (0, "5/2".to_owned())];
    let trill = |line: &str, long: &str, trill: &str| line.replace(long, trill);
    let led = format!("{SONG} R:1/4 B4:1/4 C5 D5:1/2 B4 A4:1");
    let adorned = trill(REPLY, "B5:1/2", "B5:1/16 C6 B5 C6 B5 C6 B5 C6");
    assert_eq!(entries_of(&[&format!("R:5/2 {adorned}"), &led]), both);
    let adorned = trill(&led, "E5:1/2", "E5:1/8 F5 E5 F5");
    assert_eq!(entries_of(&[&format!("R:5/2 {REPLY}"), &adorned]), both);
}

/// Ties at a bar line are easily lost.
#[test]
fn note_struck_again_hides_no_entry() {
    let answer = REPLY.replace("B5:1/2", "B5:1/4 B5");
    let led = format!("{SONG} R:1/4 B4:1/4 C5 D5:1/2 B4 A4:1");
    let both = [(1, "0".to_owned()), (0, "5/2".to_owned())];
    assert_eq!(entries_of(&[&format!("R:5/2 {answer}"), &led]), both);
}

#[test]
fn entry_may_go_on_in_another_octave() {
    let low = "R:5 A3:1/4 C4:1/8 D4 E4:1/2 D3:1/4 B2 G#2 B2 A2:1/2";
    let led = format!("{SONG} R:1/4 B4:1/4 C5 D5:1/2 B4 A4:1");
    let found = entries_of(&[&format!("R:5/2 {REPLY}"), &led, low]);
    assert_eq!(found.last(), Some(&(2, "5".to_owned())));
}

/// The first statement may begin after a rest that takes most of the first note.
#[test]
fn first_note_may_be_four_times_as_long_in_later_entries() {
    let led = "R:3/16 A4:1/16 C5:1/8 D5 E5:1/2 D5:1/4 B4 G#4 B4 A4:1/2 R:1/4 B4:1/4 C5 D5:1/2 B4 A4:1";
    assert_eq!(
        entries_of(&[&format!("R:5/2 {REPLY}"), led]),
        [(1, "3/16".to_owned()), (0, "5/2".to_owned())]
    );
}

/// A short theme in long notes loses two of its four intervals by one wrong note; its rhythm remains.
#[test]
fn one_wrong_note_hides_no_entry_of_a_short_theme() {
    let runs = "D4:1/8 E4 F4 G4 A4 G4 F4 E4 ".repeat(8);
    let subject = format!("C4:1 A4 F4 B3 C4 {runs}");
    let entries = |answer: &str| {
        let lines = [format!("R:5 {answer}"), subject.clone(), "R:10 C3:1 A3 F3 B2 C3".to_owned()];
        let found = outline("C major", &[&lines[0], &lines[1], &lines[2]]);
        found.map(|found| found.themes().map(|entry| entry.voice).collect::<Vec<_>>())
    };
    for answer in [
        "G4:1 E5 C5 F#4 G4",
        "G4:1 E5 A4 F#4 G4",
        "G4:1 E5 C5 A4 G4",
        "G4:1 E5 C6 F#4 G4",
        "G4:1 E4 C5 F#4 G4",
    ] {
        assert_eq!(entries(answer), Some(vec![1, 0, 2]), "{answer}");
    }
}

const LONG: &str = "A4:1/4 C5:1/8 D5 E5:1/2 D5:1/4 B4 G#4 B4 A4:1/8 B4 C5 A4 B4:1/4 E4 A4:1/2";
const LONG_REPLY: &str = "E5:1/4 G5:1/8 A5 B5:1/2 A5:1/4 F#5 D#5 F#5 E5:1/8 F#5 G5 E5 F#5:1/4 B4 E5:1/2";

/// The entries of voices that accompany before they enter were once none, and the accompaniment was the subject.
#[test]
fn voice_that_accompanies_the_leader_enters_in_the_midst_of_its_line() {
    let upper = format!("R:1 C6:1/2 B5 A5 G#5 A5 {LONG_REPLY}");
    assert_eq!(entries_of(&[&upper, LONG]), [(1, "0".to_owned()), (0, "7/2".to_owned())]);
}

/// By itself such a copy a tone above is an answer on a wrong level; in the midst of a line it was once taken for one.
#[test]
fn copy_on_a_wrong_level_in_the_midst_of_a_line_is_no_answer() {
    let tone_above = "B4:1/4 D5:1/8 E5 F#5:1/2 E5:1/4 C#5 A#4 C#5 B4:1/8 C#5 D5 B4 C#5:1/4 F#4 B4:1/2";
    assert!(outline("A minor", &[&format!("R:7/2 {tone_above}"), LONG]).is_some());
    assert!(outline("A minor", &[&format!("R:1 C6:1/2 B5 A5 G#5 A5 {tone_above}"), LONG]).is_none());
}

/// J. Haydn, op. 50 no. 4, finale, bars 1-9, without the first answer: when the third voice enters another begins
/// with it, and by chance is like the theme. It once ended the subject after five notes.
#[test]
fn of_two_voices_that_begin_together_the_surer_has_the_theme() {
    let lines = [
        "R:37/8 A5:1/8 F#5 B#4:1/4 D#5:1/8 C#5 C#5:1/16 B#4 C#5:1/8 D#5 D#5:1/16 C#5 D#5:1/8 E5 E#5 F#5",
        "R:25/8 D5:1/8 C#5 E#4:1/4 G#4:1/8 F#4 F#4:1/16 E#4 F#4:1/8 G#4 G#4:1/16 F#4 G#4:1/8 A4:1/2 G#4:1/8 F#4 G#4:1/2",
        "R:25/8 E#4:1/8 F#4 B3 C#4 D4 C#4:1 D#4:1/16 E4 F#4:1/8 E4 D#4 E4:1/4 C#4 B#3:1/8 G#3 C#4 B3 A3",
        "R:1/8 D4:1/8 C#4 E#3:1/4 G#3:1/8 F#3 F#3:1/16 E#3 F#3:1/8 G#3 G#3:1/16 F#3 G#3:1/8 A3:1/2 G#3:1/8 F#3 E3:3/8 \
         C#4:1/8 B#3 G#3 C#4 B3 A3 G#3 A3 B3 A3:1/4 F#3 E#3:1/8 C#3 F#3:1/4",
    ];
    let found = recognize(&Score::excerpt("F# minor", "6/8", &lines).unwrap()).unwrap().outline;
    assert_eq!(found.subject.line().notes().len(), 13);
}

/// A short theme has one flaw to spend. A note that comes late has the interval it should have.
#[test]
fn note_early_or_late_hides_no_entry_of_a_short_theme() {
    let runs = "D4:1/8 E4 F4 G4 A4 G4 F4 E4 ".repeat(8);
    let subject = format!("C5:1 F4:1/2 Db5 E4:1 {runs}");
    let answer = "R:4 F5:1 C5:1/2 Ab5 B4:1";
    for late in ["F3:1 C3:3/4 Ab3:1/4 B2:1", "F3:1 C3:1/4 Ab3:3/4 B2:1", "F3:5/4 C3:1/4 Ab3:1/2 B2:1"] {
        let fourth = format!("R:12 {late}");
        let lines = [answer, &subject, "R:8 C4:1 F3:1/2 Db4 E3:1", &fourth];
        let found = outline("F minor", &lines).unwrap();
        assert_eq!(found.themes().map(|entry| entry.voice).collect::<Vec<_>>(), [1, 0, 2, 3], "{late}");
    }
}

/// Where a voice begins the theme is expected: after a wrong note its rhythm alone tells that it goes on.
#[test]
fn rhythm_tells_an_entry_with_a_wrong_note_where_a_voice_begins() {
    let runs = "D4:1/8 E4 F4 G4 A4 G4 F4 E4 ".repeat(8);
    let subject = format!("C5:1 F4:1/2 Db5 E4:1 {runs}");
    let lines =
        ["R:4 F5:1 C5:1/2 Ab5 B4:1", &subject, "R:8 C4:1 F3:1/2 Db4 E3:1", "R:12 F3:1 C3:1/2 E3 B2:1"];
    let found = outline("F minor", &lines).unwrap();
    assert_eq!(found.themes().map(|entry| entry.voice).collect::<Vec<_>>(), [1, 0, 2, 3]);
}

/// A codetta that both leader and answer have, each its own way, once belonged to the subject.
#[test]
fn subject_ends_where_a_voice_leaves_it_for_a_codetta_of_its_own() {
    let led = format!("{LONG} C5:1/8 D5 E5 C5 F5:1/4 B5 E5:1/8 D5 C5 B4 A4:1/2");
    let answer = format!("{LONG_REPLY} D5:1/8 B4 C5 E5 C5:1/4 F#5 B5:1/8 A5 G5 F#5 E5:1/2");
    let found = outline("A minor", &[&format!("R:5 {answer}"), &led]).unwrap();
    assert_eq!(found.subject.line().notes().len(), 15);
}

/// The last voice is silent, so that all others have the theme and its countersubject: the two were once one long subject.
#[test]
fn countersubject_that_all_voices_have_is_no_part_of_the_subject() {
    let against = "C5:1/8 B4 C5 D5 E5:1/4 D5:1/8 E5 F5 E5 D5 C5 B4:1/4 G#4";
    let answered = "G5:1/8 F#5 G5 A5 B5:1/4 A5:1/8 B5 C6 B5 A5 G5 F#5:1/4 D#5";
    let low = "A3:1/4 C4:1/8 D4 E4:1/2 D4:1/4 B3 G#3 B3 A3:1/2 \
               C4:1/8 B3 C4 D4 E4:1/4 D4:1/8 E4 F4 E4 D4 C4 B3:1/4 G#3";
    let lines = [
        "R:9".to_owned(),
        format!("{SONG} {against} E4:1/8 F#4 G4 E4 A4:1/4 C5 B4:1/2 E5"),
        format!("R:2 {REPLY} {answered} C6:1/4 E5"),
        format!("R:4 {low}"),
    ];
    let found = outline("A minor", &lines.each_ref().map(String::as_str)).unwrap();
    assert_eq!(found.subject.line().notes().len(), 9);
}

/// A voice that has other notes in its turn was once taken for one that has the first four of the theme.
#[test]
fn flawed_copy_of_few_notes_does_not_end_the_subject() {
    let lines = [
        "E4:1/8 A4:1/4 B4:1/8 C#5:1/4 A4:1/8 D5 C#5 B4 E5 D5 C#5 B4:1/4 D5:1/8 G#4:1/4 B4:1/8 A4:3/8 \
         B4:1/8 G#4 F#4 G#4 A4:1/4 B4:1/8 E5:1/4 C#5:1/8 B4:1/4 E5",
        "R:3 F#4:1/8 F#4 F#4 F#4 G#4 E4 A3 F#4 A3 A3 E4 G#4 A4 A3 G#4 E4 F#4 A4 G#4 E4 G#4 F#4",
        "R:6 E3:1/8 A3:1/4 B3:1/8 C#4:1/4 A3:1/8 D4 C#4 B3 E4 D4 C#4 B3:1/4 D4:1/8 G#3:1/4 B3:1/8 A3:3/8 \
         B3:1/8 G#3 F#3 G#3 A3:1/4 B3:1/8 E4:1/4 C#4:1/8 A3:1/2",
        "R:9 A2:1/8 E3:1/4 F#3:1/8 G#3:1/4 E3:1/8 A3 G#3 F#3 B3 A3 G#3 F#3:1/4 A3:1/8 D#3:1/4 F#3:1/8 E3:3/8",
    ];
    let found = outline("A major", &lines).unwrap();
    assert_eq!(found.subject.line().notes().len(), 16);
    assert_eq!(found.themes().map(|entry| entry.voice).collect::<Vec<_>>(), [0, 2, 3]);
}

/// In the place of an entry a voice has even notes, which by chance go a sixth below the theme: they were once taken for it,
/// since their rhythm is its own where notes are wrong.
#[test]
fn rhythm_tells_no_entry_where_the_theme_has_no_place() {
    let lines = [
        "R:8 F4:1/2 Bb4 D5:1/4 Bb4:1/8 C5 A4:1/4 G4 F4:1/2",
        "Bb3:1/2 F4 G4:1/4 Eb4:1/8 F4 D4:1/4 C4 Bb3:1/2 \
         D4:1/8 E4 F4 D4 G4:3/16 F4:1/16 G4:3/16 A4:1/16 Bb4:1/8 F4 G4:3/16 E4:1/16 F4:1/2",
        "R:5/2 F3:1/2 Bb3 D4:1/4 Bb3:1/8 C4 A3:1/4 G3 F3:1/2 \
         Eb3:1/8 F3 G3 A3 Bb3 G3 D4:3/16 C4:1/16 D4:3/16 E4:1/16 Eb4:1/8 Bb3 C4:1/2",
        "R:11/2 G3:1/4 D3 Eb3 D3 Bb2 Bb2 C3 F3 Eb3 F3 D3:1/8 E3 F3 D3 G3:3/16 F3:1/16",
    ];
    let found = outline("Bb major", &lines).unwrap();
    assert_eq!(found.themes().map(|entry| entry.voice).collect::<Vec<_>>(), [1, 2, 0]);
}

/// The leader strikes again what the others hold: two notes of one pitch that fill a long one are that note.
#[test]
fn long_notes_that_only_the_theme_strikes_again_hide_no_entry() {
    let lines = [
        "R:4 A4:1/2 D5 C5 A4 G#4 A4:1/4 B4 C5:1/2 D5:1/4 C5 B4 A4",
        "D4:1/4 D4 A4 A4 F4 F4 D4 D4 C#4 C#4 D4 E4 F4 F4 G4 F4 E4 D4 E4 F4 G4 A4 G4 F4 E4 D4 C4 D4 E4 F4 E4 D4 C4 B3",
        "R:8 D3:1/2 A3 F3 D3 C#3 D3:1/4 E3 F3:1/2 G3:1/4 F3 E3 D3",
    ];
    let found = outline("D minor", &lines).unwrap();
    assert_eq!(found.themes().map(|entry| entry.voice).collect::<Vec<_>>(), [1, 0, 2]);
}
