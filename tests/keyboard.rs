//! Keyboard scores of which no number tells the voices: drafts of every demo subject, laid out on two staves or played
//! on one channel, come back as the voices that they were.
//!
//! Engravers number the voices of a staff from the top, bar by bar, and give a voice to the hand in which it lies: so a
//! voice changes its number and its staff. Here this is done to drafts whose voices are known. A layout that keeps one
//! number for each voice must come back whole.
#![cfg(all(feature = "musicxml", feature = "midi"))]
#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test may panic, and prints what it measures"
)]

mod common;

use common::subjects;
use soggetto::compose::{DraftOptions, draft};
use soggetto::ensemble::Ensemble;
use soggetto::interchange::{ReadScore, midi, musicxml};
use soggetto::line::Note;
use soggetto::score::{Part, Score};
use soggetto::time::Time;
use std::collections::BTreeMap;
use std::fmt::Write;

/// Middle C, in semitones: what lies below it is for the left hand.
const MIDDLE: i32 = 60;

/// The drafts of every demo subject in three and in four voices.
fn drafts() -> Vec<Score> {
    let keyboard = Ensemble::named("keyboard").unwrap();
    let of = |count: usize| {
        let options = DraftOptions::new(keyboard.with_voices(count).unwrap());
        subjects().into_iter().map(move |(_, subject)| draft(&subject, &options).unwrap().score().clone())
    };
    of(3).chain(of(4)).collect()
}

/// How a layout names a voice in a bar: staff and number, of the voices that sound there.
type Naming = fn(&[(usize, i32)]) -> BTreeMap<usize, (u8, usize)>;

/// Each voice with one number, the upper half on the upper staff.
fn kept(sounding: &[(usize, i32)]) -> BTreeMap<usize, (u8, usize)> {
    sounding.iter().map(|&(voice, _)| (voice, (if voice < 2 { 1 } else { 2 }, voice + 1))).collect()
}

/// The voices of each hand numbered from the top, from 1 or from 5.
fn by_hand(sounding: &[(usize, i32)]) -> BTreeMap<usize, (u8, usize)> {
    let (mut named, mut counts, mut lowest) = (BTreeMap::new(), [0, 0], 1);
    for &(voice, height) in sounding {
        let staff = if height < MIDDLE { 2 } else { lowest };
        lowest = staff;
        let count = &mut counts[usize::from(staff) - 1];
        *count += 1;
        named.insert(voice, (staff, *count + if staff == 2 { 4 } else { 0 }));
    }
    named
}

/// A note or the part of it that lies in a bar: where it begins and ends, whether it comes from the bar before, goes on.
type Piece = (Time, Time, [bool; 2]);

fn piece(note: Note, from: Time, to: Time) -> Option<Piece> {
    let (begin, end) = (note.onset().max(from), note.end().min(to));
    (begin < end).then(|| (begin, end, [note.onset() < from, note.end() > to]))
}

/// The score as a part on two staves.
fn engraved(score: &Score, naming: Naming) -> String {
    let mut xml =
        "<score-partwise><part-list><score-part id='P1'><part-name>Keys</part-name></score-part></part-list>\
        <part id='P1'>"
            .to_owned();
    let bars: Vec<(i64, Time)> = score.bars().collect();
    let ends = bars.iter().skip(1).map(|bar| bar.1).chain([score.length()]);
    for (&(bar, from), to) in bars.iter().zip(ends) {
        let implicit = if bar == 0 { " implicit='yes'" } else { "" };
        write!(xml, "<measure number='{bar}'{implicit}>").unwrap();
        if from.is_zero() {
            let (meter, fifths) = (score.meter(), score.key().signature().unwrap().fifths());
            let mode = score.key().mode().name();
            let (beats, lower) =
                meter.to_string().split_once('/').map(|(a, b)| (a.to_owned(), b.to_owned())).unwrap();
            write!(
                xml,
                "<attributes><divisions>480</divisions><key><fifths>{fifths}</fifths><mode>{mode}</mode></key>\
                 <time><beats>{beats}</beats><beat-type>{lower}</beat-type></time><staves>2</staves></attributes>"
            )
            .unwrap();
        }
        bar_of(&mut xml, score.parts(), from, to, naming);
        xml.push_str("</measure>");
    }
    xml + "</part></score-partwise>"
}

fn bar_of(xml: &mut String, parts: &[Part], from: Time, to: Time, naming: Naming) {
    let ticks = |time: Time| time.scaled(1920, 1).unwrap().numerator();
    let within = |part: &Part| -> Vec<(Note, Piece)> {
        part.line.notes().iter().filter_map(|&note| Some((note, piece(note, from, to)?))).collect()
    };
    let voices: Vec<_> = parts.iter().map(within).collect();
    let mean = |notes: &Vec<(Note, _)>| {
        let sum: i32 = notes.iter().map(|(note, _)| note.pitch().height()).sum();
        Some(sum / i32::try_from(notes.len()).ok().filter(|&count| count > 0)?)
    };
    let sounding: Vec<(usize, i32)> =
        voices.iter().enumerate().filter_map(|(voice, notes)| Some((voice, mean(notes)?))).collect();
    for (voice, (staff, number)) in naming(&sounding) {
        let mut now = from;
        for &(note, (begin, end, tied)) in &voices[voice] {
            let gap = begin.checked_sub(now).unwrap();
            write!(xml, "<forward><duration>{}</duration></forward>", ticks(gap)).unwrap();
            let (letter, pitch) = (note.pitch().class().letter(), note.pitch());
            let (alter, octave) = (pitch.class().alteration(), pitch.octave());
            let long = ticks(end.checked_sub(begin).unwrap());
            let ties = ["<tie type='stop'/>", "<tie type='start'/>"];
            let ties: String = ties.iter().zip(tied).filter(|(_, tied)| *tied).map(|(tie, _)| *tie).collect();
            write!(
                xml,
                "<note><pitch><step>{letter}</step><alter>{alter}</alter><octave>{octave}</octave></pitch>\
                 <duration>{long}</duration>{ties}<voice>{number}</voice><staff>{staff}</staff></note>"
            )
            .unwrap();
            now = end;
        }
        write!(xml, "<backup><duration>{}</duration></backup>", ticks(now.checked_sub(from).unwrap()))
            .unwrap();
    }
    write!(xml, "<forward><duration>{}</duration></forward>", ticks(to.checked_sub(from).unwrap())).unwrap();
}

/// The score as a file that gives all notes to one channel of one track: that of the first track, the others appended.
fn on_one_channel(score: &Score) -> Vec<u8> {
    let bytes = midi::write(score).unwrap();
    let mut smf = midly::Smf::parse(&bytes).unwrap();
    let mut timed = Vec::new();
    for track in &smf.tracks {
        let mut now = 0;
        for event in track {
            now += event.delta.as_int();
            let kind = match event.kind {
                midly::TrackEventKind::Midi { message, .. } => {
                    midly::TrackEventKind::Midi { channel: 0.into(), message }
                }
                midly::TrackEventKind::Meta(
                    midly::MetaMessage::EndOfTrack | midly::MetaMessage::TrackName(_),
                ) => continue,
                kind => kind,
            };
            let starts = matches!(kind, midly::TrackEventKind::Midi { message: midly::MidiMessage::NoteOn { vel, .. }, .. } if vel > 0);
            timed.push((now, starts, kind));
        }
    }
    timed.sort_by_key(|&(at, starts, _)| (at, starts));
    let mut now = 0;
    let mut track: Vec<_> = timed
        .into_iter()
        .map(|(at, _, kind)| {
            let delta = (at - now).into();
            now = at;
            midly::TrackEvent { delta, kind }
        })
        .collect();
    let end = midly::TrackEventKind::Meta(midly::MetaMessage::EndOfTrack);
    track.push(midly::TrackEvent { delta: 0.into(), kind: end });
    smf.tracks = vec![track];
    smf.header.format = midly::Format::SingleTrack;
    let mut single = Vec::new();
    smf.write(&mut single).unwrap();
    single
}

/// How many notes come back in the voice that they were in, and how many there are.
fn returned(original: &Score, back: &ReadScore) -> (usize, usize) {
    let sounding = |note: &Note| (note.onset(), note.end(), note.pitch().height());
    let (mut same, mut all) = (0, 0);
    for (voice, part) in original.parts().iter().enumerate() {
        let found: Vec<_> = back
            .score
            .parts()
            .get(voice)
            .map(|part| part.line.notes().iter().map(sounding).collect())
            .unwrap_or_default();
        all += part.line.notes().len();
        same += part.line.notes().iter().filter(|note| found.contains(&sounding(note))).count();
    }
    (same, all)
}

/// The share of notes that come back in their voice, in thousandths, printed.
fn share(name: &str, drafts: &[Score], back: impl Fn(&Score) -> ReadScore) -> usize {
    let counts: Vec<_> = drafts.iter().map(|score| returned(score, &back(score))).collect();
    let (same, all) = counts.iter().fold((0, 0), |sum, count| (sum.0 + count.0, sum.1 + count.1));
    println!("{name}: {same} of {all} notes come back in their voice");
    same * 1000 / all
}

#[test]
fn voices_on_two_staves_come_back_whatever_their_numbers() {
    let drafts = drafts();
    let read = |naming: Naming| move |score: &Score| musicxml::read(&engraved(score, naming)).unwrap();
    assert_eq!(share("numbers kept", &drafts, read(kept)), 1000);
    assert!(share("numbers by hand and bar", &drafts, read(by_hand)) >= 950);
}

#[test]
fn voices_on_one_channel_come_back() {
    let drafts = drafts();
    assert!(share("one channel", &drafts, |score| midi::read(&on_one_channel(score)).unwrap()) >= 950);
}
