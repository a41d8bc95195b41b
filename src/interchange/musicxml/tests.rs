//! What was written is read back with an XML parser, and the facts of it are checked.

use super::{WriteError, write};
use crate::interchange::fixture;
use crate::interval::Interval;
use crate::line::Line;
use crate::pitch::Pitch;
use crate::score::strategy::any_score;
use crate::score::{Part, Score};
use crate::time::Time;
use crate::voice::{Clef, Voice};
use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// A note or rest as read back.
#[derive(Clone, Debug, Default, PartialEq)]
struct Read {
    part: usize,
    bar: String,
    pitch: String,
    alter: i32,
    duration: i64,
    ties: Vec<String>,
    accidental: String,
    whole_bar: bool,
}

impl Read {
    /// The written pitch in text notation.
    fn pitch(&self) -> Option<Pitch> {
        let (step, octave) = self.pitch.split_at_checked(1)?;
        let sign = if self.alter < 0 { "b" } else { "#" }.repeat(self.alter.unsigned_abs() as usize);
        format!("{step}{sign}{octave}").parse().ok()
    }
}

/// All notes and rests, and the divisions of each part.
fn read(text: &str) -> (Vec<Read>, Vec<i64>) {
    let mut reader = Reader::from_str(text);
    let (mut notes, mut divisions, mut path) = (Vec::new(), Vec::new(), Vec::new());
    let (mut note, mut part, mut bar) = (Read::default(), 0, String::new());
    loop {
        match reader.read_event().unwrap() {
            Event::Start(start) => {
                let name = name(&start);
                match name.as_str() {
                    "part" => part += 1,
                    "measure" => bar = attribute(&start, "number"),
                    "note" => note = Read { part, bar: bar.clone(), ..Read::default() },
                    _ => {}
                }
                path.push(name);
            }
            Event::Empty(empty) if name(&empty) == "tie" => note.ties.push(attribute(&empty, "type")),
            Event::Empty(empty) if name(&empty) == "rest" => {
                note.whole_bar = !attribute(&empty, "measure").is_empty();
            }
            Event::Text(text) => {
                let text = text.into_inner().trim().to_owned();
                match path.last().map_or("", String::as_str) {
                    "step" | "octave" => note.pitch += &text,
                    "alter" => note.alter = text.parse().unwrap(),
                    "duration" => note.duration = text.parse().unwrap(),
                    "accidental" => note.accidental = text,
                    "divisions" => divisions.push(text.parse().unwrap()),
                    _ => {}
                }
            }
            Event::End(_) => {
                let closed = path.pop();
                notes.extend((closed.as_deref() == Some("note")).then(|| note.clone()));
            }
            Event::Eof => break,
            _ => {}
        }
    }
    (notes, divisions)
}

fn name(start: &BytesStart<'_>) -> String {
    start.name().as_ref().to_owned()
}

fn attribute(start: &BytesStart<'_>, name: &str) -> String {
    let attribute = start.try_get_attribute(name).unwrap();
    attribute.map_or(String::new(), |attribute| attribute.value.into_owned())
}

/// The lines of the parts at written pitch, ties joined, rests at the end included.
fn lines(text: &str) -> Vec<Line> {
    let (notes, divisions) = read(text);
    let parts = divisions.iter().enumerate();
    parts
        .map(|(index, divisions)| {
            let mut events: Vec<(Option<Pitch>, Time)> = Vec::new();
            for note in notes.iter().filter(|note| note.part == index + 1) {
                let duration = Time::new(note.duration, 4 * divisions).unwrap();
                match events.last_mut() {
                    Some(last) if note.ties.iter().any(|tie| tie == "stop") => {
                        assert_eq!(last.0, note.pitch(), "a tie joins notes of one pitch");
                        last.1 = last.1.checked_add(duration).unwrap();
                    }
                    _ => events.push((note.pitch(), duration)),
                }
            }
            Line::from_events(events).unwrap()
        })
        .collect()
}

proptest! {
    #[test]
    fn prop_what_is_written_sounds_as_it_was_composed(score in any_score()) {
        let Ok(text) = write(&score) else { return Ok(()) };
        for (line, part) in lines(&text).iter().zip(score.parts()) {
            let times = |line: &Line| -> Vec<(Time, Time)> {
                line.notes().iter().map(|note| (note.onset(), note.duration())).collect()
            };
            prop_assert_eq!(times(line), times(&part.line));
            let mut shifts: Vec<i32> =
                line.notes().iter().zip(part.line.notes()).map(|(a, b)| a.pitch().height() - b.pitch().height()).collect();
            shifts.dedup();
            prop_assert!(shifts.iter().all(|&shift| shift == part.voice.transposition().semitones()));
        }
    }
}

#[test]
fn most_scores_can_be_written() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let scores = (0..200).map(|_| any_score().new_tree(&mut runner).unwrap().current());
    assert!(scores.filter(|score| write(score).is_ok()).count() > 100);
}

fn transposing(key: &str, shift: &str, line: &str) -> Score {
    let voice = Voice::new("Clarinet").with_transposition(shift.parse().unwrap());
    let part = Part { voice, line: line.parse().unwrap() };
    Score::new(key.parse().unwrap(), "4/4".parse().unwrap(), Time::ZERO, vec![part]).unwrap()
}

#[test]
fn exposition_reads_back_note_for_note() {
    let exposition = fixture::exposition();
    let text = write(&exposition).unwrap();
    let full = exposition.score().length();
    for (line, part) in lines(&text).iter().zip(exposition.score().parts()) {
        assert_eq!(*line, part.line.extended_to(full).unwrap(), "{}", part.voice.name());
    }
}

#[test]
fn every_bar_holds_what_the_meter_says() {
    let score =
        fixture::score("C major", "2+2+3/8", "1/4", &["C4:1/4 D4:5/4 E4:1/12 F4 G4 A4:1/2", "R:1/4 C3:1"]);
    let (notes, divisions) = read(&write(&score).unwrap());
    for (part, divisions) in divisions.iter().enumerate() {
        let bar = |number: &str| {
            let inside = notes.iter().filter(|note| note.part == part + 1 && note.bar == number);
            Time::new(inside.map(|note| note.duration).sum(), 4 * divisions).unwrap().to_string()
        };
        assert_eq!(["0", "1", "2", "3"].map(bar), ["1/4", "7/8", "7/8", "7/8"]);
    }
}

#[test]
fn ties_come_in_pairs() {
    let score = fixture::score("C major", "3/4", "0", &["C4:5/4 C4:1/4 D4:9/8 E4:1/8"]);
    let (notes, _) = read(&write(&score).unwrap());
    let ends: Vec<&str> = notes.iter().flat_map(|note| note.ties.iter().map(String::as_str)).collect();
    assert!(ends.chunks(2).all(|pair| pair == ["start", "stop"]), "{ends:?}");
    assert_eq!(ends.len(), 4);
}

#[test]
fn pickup_bar_is_marked_and_empty_bars_are_whole_rests() {
    let score = fixture::score("C major", "3/4", "1/4", &["C4:1/4 D4:3/4 E4", "R:1/4 R:3/4 C3"]);
    let text = write(&score).unwrap();
    assert_eq!(text.matches(r#"<measure number="0" implicit="yes">"#).count(), 2);
    let whole: Vec<String> =
        read(&text).0.into_iter().filter(|note| note.whole_bar).map(|note| note.bar).collect();
    assert_eq!(whole, ["0", "1"]);
    assert_eq!(text.matches("light-heavy").count(), 2);
}

#[test]
fn written_pitch_less_transposition_is_the_sounding_pitch() {
    for (key, shift, line) in [
        ("C major", "M2", "C4:1/4 F#4 Bb4 C5"),
        ("B major", "M2", "B3:1/4 D#4 A#4 F##4"),
        ("D minor", "M9", "D2:1/4 C#3 Bb2 A2"),
        ("Eb major", "-m3", "Eb4:1/4 Ab4 D4 F4"),
    ] {
        let score = transposing(key, shift, line);
        let text = write(&score).unwrap();
        let number = |name: &str| -> i32 {
            let after = text.split_once(&format!("<{name}>")).map_or("0", |(_, after)| after);
            after.split('<').next().unwrap().parse().unwrap()
        };
        let octaves = number("octave-change");
        let steps = number("diatonic") + 7 * octaves;
        let back = Interval::from_steps(steps, number("chromatic") + 12 * octaves).unwrap();
        assert_eq!(
            lines(&text)[0].moved(back).unwrap().to_string(),
            score.parts()[0].line.to_string(),
            "{key}"
        );
    }
}

#[test]
fn part_in_seven_sharps_is_respelled_in_flats() {
    let text = write(&transposing("B major", "M2", "B3:1/4 D#4 F#4 A#4")).unwrap();
    assert!(text.contains("<fifths>-5</fifths>"));
    assert_eq!(lines(&text)[0].to_string(), "Db4:1/4 F4:1/4 Ab4:1/4 C5:1/4");
    assert!(!text.contains("<accidental>"));
}

#[test]
fn accidentals_follow_the_rule_of_the_bar() {
    let score = fixture::score("A minor", "2/4", "0", &["G#4:1/4 G#4:3/8 G#4:1/8 G4:1/4 G#4:1/4 G4"]);
    let (notes, _) = read(&write(&score).unwrap());
    let accidentals: Vec<&str> = notes.iter().map(|note| note.accidental.as_str()).collect();
    assert_eq!(accidentals, ["sharp", "", "", "sharp", "natural", "sharp", "natural"]);
}

#[test]
fn entries_and_codettas_are_labelled() {
    let text = write(&fixture::exposition()).unwrap();
    let words: Vec<&str> =
        text.split("<words>").skip(1).filter_map(|after| after.split('<').next()).collect();
    assert_eq!(words, ["Answer", "Codetta", "Countersubject", "Subject", "Countersubject", "Subject"]);
    assert!(text.contains("<work-title>Fughetta in D minor</work-title>"));
}

#[test]
fn octave_clefs_and_meters_are_spelled_out() {
    let voice = Voice::new("Tenor").with_clef(Clef::TrebleOctaveDown).with_sound(53);
    let part = Part { voice, line: "C3:7/8".parse().unwrap() };
    let score = Score::new("E phrygian".parse().unwrap(), "3+2+2/8".parse().unwrap(), Time::ZERO, vec![part]);
    let text = write(&score.unwrap()).unwrap();
    for part in [
        "<beats>3+2+2</beats>",
        "<beat-type>8</beat-type>",
        "<clef-octave-change>-1</clef-octave-change>",
        "<fifths>0</fifths>",
        "<mode>phrygian</mode>",
        "<midi-program>53</midi-program>",
        "<sound tempo=\"72\"/>",
    ] {
        assert!(text.contains(part), "{part}");
    }
}

#[test]
fn same_music_gives_the_same_bytes() {
    assert_eq!(write(&fixture::exposition()).unwrap(), write(&fixture::exposition()).unwrap());
}

#[test]
fn refusals_name_part_place_and_mend() {
    let message = |error: WriteError| (error.code(), error.to_string());
    let score = fixture::score("C major", "2/4", "0", &["C4:1/2 D4:1/5000"]);
    assert_eq!(
        message(write(&score).unwrap_err()),
        (
            "musicxml-duration",
            "part 1, bar 2: a note or rest of 1/5000 has no note value (use halves, thirds, fifths and the like \
             of the beat, none shorter than 1/1024)"
                .to_owned()
        )
    );
    assert_eq!(
        message(write(&fixture::score("C major", "1/64", "0", &["C4:100000"])).unwrap_err()),
        ("musicxml-bars", "6400000 bars are too many to write: at most 100000 (split the piece)".to_owned())
    );
    assert_eq!(
        message(write(&transposing("C major", "M2", "E###4:1")).unwrap_err()),
        (
            "musicxml-pitch",
            "Clarinet, note 1: E###4 moved by M2 needs 4 sharps: notation has at most 3 (respell the music \
             in a nearer key)"
                .to_owned()
        )
    );
    assert_eq!(
        message(write(&fixture::score("C major", "4/4", "0", &["C4:1/2 B-1"])).unwrap_err()),
        (
            "musicxml-octave",
            "part 1, note 2: B-1 is too low for this format, whose octaves begin with 0 (move it up)"
                .to_owned()
        )
    );
}

/// The order of the elements is that of the document type definition of MusicXML 4.0.
#[test]
fn beams_stand_after_the_value_and_before_the_notations() {
    let score = fixture::score("C major", "2/4", "0", &["C4:3/16 D4:1/16 E4:1/12 F4 G4"]);
    let text = write(&score).unwrap();
    let notes: Vec<String> = text
        .split("<note>")
        .skip(1)
        .map(|note| {
            let names = note.split('<').filter_map(|element| element.split(['>', ' ', '/']).next());
            names
                .filter(|name| ["type", "dot", "time-modification", "beam", "notations"].contains(name))
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect();
    let triplet = "type time-modification beam";
    let ends = format!("{triplet} notations");
    assert_eq!(notes, ["type dot beam", "type beam beam", &ends, triplet, &ends]);
    assert!(text.contains("<beam number=\"1\">end</beam>\n        <beam number=\"2\">backward hook</beam>"));
    assert!(text.contains(r#"<supports element="beam" type="yes"/>"#));
}

/// Every beam that begins goes on until it ends, at each depth.
fn unpaired(text: &str) -> Vec<String> {
    let mut open = [false; 9];
    let mut wrong = Vec::new();
    for beam in text.split("<beam number=\"").skip(1) {
        let (number, rest) = beam.split_once("\">").unwrap();
        let (what, _) = rest.split_once('<').unwrap();
        let is_open = &mut open[number.parse::<usize>().unwrap()];
        if *is_open != matches!(what, "continue" | "end") {
            wrong.push(format!("{number} {what}"));
        }
        *is_open = matches!(what, "begin" | "continue");
    }
    wrong.extend((1..9).filter(|&number| open[number]).map(|number| format!("{number} is open")));
    wrong
}

proptest! {
    #[test]
    fn prop_beams_that_begin_end(score in any_score()) {
        let Ok(text) = write(&score) else { return Ok(()) };
        prop_assert_eq!(unpaired(&text), Vec::<String>::new());
    }
}

#[test]
fn several_parts_stand_in_a_bracket_and_bar_lines_run_through_what_is_played() {
    let group = |sound: u8, count: usize| {
        let voice = Voice::new("Part").with_sound(sound);
        let parts = vec![Part { voice, line: "C4:1".parse().unwrap() }; count];
        let score =
            Score::new("C major".parse().unwrap(), "4/4".parse().unwrap(), Time::ZERO, parts).unwrap();
        let text = write(&score).unwrap();
        let bar_line = text.split_once("<group-barline>").map(|(_, after)| after[..2].to_owned());
        (text.matches("<part-group").count(), bar_line)
    };
    assert_eq!(group(53, 2), (2, Some("no".to_owned())));
    assert_eq!(group(41, 2), (2, Some("ye".to_owned())));
    assert_eq!(group(41, 1), (0, None));
}
