//! What we write is read back the same, and damage is refused with a message, never a panic.

use super::*;
use crate::interchange::fixture;
use crate::interchange::musicxml::write;
use crate::line::Note;
use crate::score::Part;
use crate::score::strategy::any_score;
use crate::voice::Voice;
use proptest::prelude::*;
use std::io::Write as _;

/// What the format keeps of a part: name, clef, sound and notes.
fn kept(part: &Part) -> (String, crate::voice::Clef, u8, Vec<Note>) {
    let name = part.voice.name().split_whitespace().collect::<Vec<_>>().join(" ");
    (name, part.voice.clef(), part.voice.sound(), part.line.notes().to_vec())
}

/// The meter of every bar; of a score without any that of the bar of rest as which it is written.
fn meters(score: &Score) -> Vec<String> {
    let last = score.bars().last().map_or(1, |(bar, _)| bar.max(1));
    (1..=last).map(|bar| score.meters().of_bar(bar).to_string()).collect()
}

proptest! {
    #[test]
    fn prop_what_is_written_is_read_back(score in any_score()) {
        let Ok(text) = write(&score) else { return Ok(()) };
        let back = read(&text).unwrap().score;
        prop_assert_eq!((back.key(), back.pickup()), (score.key(), score.pickup()));
        prop_assert_eq!(meters(&back), meters(&score));
        for (index, (part, original)) in back.parts().iter().zip(score.parts()).enumerate() {
            let mut original = kept(original);
            if original.0.is_empty() {
                original.0 = format!("part {}", index + 1);
            }
            prop_assert_eq!(kept(part), original);
            let shifts = [part, &score.parts()[index]].map(|part| part.voice.transposition().semitones());
            prop_assert_eq!(shifts[0], shifts[1]);
        }
        prop_assert_eq!(back.parts().len(), score.parts().len());
    }

    #[test]
    fn prop_damaged_file_is_read_or_refused(at in 0..100_000_usize, byte in any::<u8>(), cut in any::<bool>()) {
        let mut bytes = write(&fixture::exposition()).unwrap().into_bytes();
        let at = at % bytes.len();
        if cut { bytes.truncate(at) } else { bytes[at] = byte }
        if let Err(error) = read_bytes(&bytes) {
            prop_assert!(!error.to_string().is_empty());
        }
    }
}

#[test]
fn exposition_is_read_back_without_remarks() {
    let exposition = fixture::exposition();
    let read = read(&write(&exposition).unwrap()).unwrap();
    assert_eq!(read.remarks, []);
    for (part, original) in read.score.parts().iter().zip(exposition.score().parts()) {
        assert_eq!(part.line.notes(), original.line.notes());
        assert_eq!(part.voice.reach(), Voice::implied(original.voice.name()));
    }
}

/// An archive with these files.
fn packed(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in files {
        archive.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        archive.write_all(bytes).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

const CONTAINER: &str =
    r#"<container><rootfiles><rootfile full-path="music/a.musicxml"/></rootfiles></container>"#;

#[test]
fn packed_file_is_read_with_and_without_its_note() {
    let text = write(&fixture::exposition()).unwrap();
    let plain = read(&text);
    let noted = [("META-INF/container.xml", CONTAINER.as_bytes()), ("music/a.musicxml", text.as_bytes())];
    assert_eq!(read_bytes(&packed(&noted)), plain);
    assert_eq!(read_bytes(&packed(&[("b.xml", text.as_bytes())])), plain);
    let error = read_bytes(&packed(&[("b.txt", b"C")])).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the packed file cannot be opened: it holds no score (export it again, or unpack it and give the \
         .musicxml in it)"
    );
    let bytes = packed(&noted);
    for length in (0..bytes.len()).step_by(7) {
        assert!(read_bytes(&bytes[..length]).is_err(), "{length}");
    }
}

#[test]
fn bomb_in_an_archive_is_refused() {
    let bomb = packed(&[("a.xml", &vec![b' '; 70 << 20])]);
    assert!(bomb.len() < 1 << 20, "{}", bomb.len());
    let error = read_bytes(&bomb).unwrap_err();
    assert_eq!(
        (error.code(), error.to_string().as_str()),
        (
            "musicxml-too-large",
            "the file has more than 67108864 bytes when unpacked (give a file with one piece of music)"
        )
    );
}

#[test]
fn entities_and_deep_trees_are_refused_or_read() {
    let entities = "<!DOCTYPE score-partwise [<!ENTITY a \"b\">]><score-partwise/>";
    assert_eq!(
        read(entities).unwrap_err().to_string(),
        "the file declares entities of its own, which are not read (export it again without them)"
    );
    let deep =
        format!("<score-partwise>{}{}</score-partwise>", "<a>".repeat(200_000), "</a>".repeat(200_000));
    assert_eq!(
        read(&deep).unwrap_err().to_string(),
        "the score has no part with bars (export a score with music)"
    );
}

/// Two parts, bar by bar; the second has nothing in the second bar.
const TIMEWISE: &str = r#"<score-timewise><part-list><score-part id="a"><part-name>Alto</part-name></score-part>
<score-part id="b"><part-name>Bass</part-name></score-part></part-list>
<measure number="1"><part id="a"><attributes><time><beats>1</beats><beat-type>4</beat-type></time></attributes>
<note><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration></note></part>
<part id="b"><note><pitch><step>C</step><octave>3</octave></pitch><duration>1</duration></note></part></measure>
<measure number="2"><part id="a"><note><pitch><step>D</step><octave>5</octave></pitch><duration>1</duration></note>
</part></measure>
<measure number="3"><part id="b"><note><pitch><step>E</step><octave>3</octave></pitch><duration>1</duration></note>
</part><part id="b"><note><rest/><duration>1</duration></note></part></measure></score-timewise>"#;

#[test]
fn part_that_a_bar_leaves_out_is_silent_in_it() {
    let score = read(TIMEWISE).unwrap().score;
    let lines: Vec<String> = score.parts().iter().map(|part| part.line.to_string()).collect();
    assert_eq!(lines, ["C5:1/4 D5:1/4 R:1/4", "C3:1/4 R:1/4 E3:1/4"]);
}

/// The first bar has one note and steps on to the bar line.
const FORWARD: &str = r#"<score-partwise><part-list><score-part id="a"/></part-list><part id="a">
<measure number="1"><attributes><time><beats>4</beats><beat-type>4</beat-type></time></attributes>
<note><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration></note>
<forward><duration>3</duration></forward></measure>
<measure number="2"><note><pitch><step>D</step><octave>5</octave></pitch><duration>4</duration></note></measure>
<measure number="3"><note><pitch><step>E</step><octave>5</octave></pitch><duration>1</duration></note>
<forward><duration>3</duration></forward></measure>
<measure number="4"><note><pitch><step>F</step><octave>5</octave></pitch><duration>4</duration></note></measure>
</part></score-partwise>"#;

/// Such bars were once taken for short ones.
#[test]
fn bar_that_is_silent_to_its_end_is_full() {
    let read = read(FORWARD).unwrap();
    assert_eq!(read.score.parts()[0].line.to_string(), "C5:1/4 R:3/4 D5:1 E5:1/4 R:3/4 F5:1");
    assert_eq!(meters(&read.score), ["4/4"; 4]);
}
