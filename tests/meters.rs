//! Music whose meter changes: places, remedies and entries after a change, and every format there and back.
#![expect(clippy::unwrap_used, reason = "a test may panic: that is how it fails")]

use soggetto::compose::{DraftOptions, draft};
use soggetto::ensemble::Ensemble;
use soggetto::exposition::{Exposition, Outline};
use soggetto::interchange::{Review, json, markdown, midi, musicxml, read_bytes, summary};
use soggetto::meter::Meters;
use soggetto::recognize::recognize;
use soggetto::remedy::remedies;
use soggetto::rules::RuleBook;
use soggetto::score::{Part, Score};
use soggetto::subject::Subject;
use soggetto::texture::Texture;
use soggetto::voice::Voice;

/// The same music in other meters.
fn over(score: &Score, meters: Meters) -> Score {
    Score::over(score.key(), meters, score.parts().to_vec()).unwrap()
}

fn meters(first: &str, pickup: &str, changes: &[(i64, &str)]) -> Meters {
    let first = Meters::new(first.parse().unwrap(), pickup.parse().unwrap()).unwrap();
    let change = |meters: Meters, &(bar, meter): &(i64, &str)| {
        meters.with_change(bar, meter.parse().unwrap()).unwrap()
    };
    changes.iter().fold(first, change)
}

fn score(meters: Meters, voices: &[(&str, &str)]) -> Score {
    let part = |(name, line): &(&str, &str)| Part { voice: Voice::new(*name), line: line.parse().unwrap() };
    Score::over("C major".parse().unwrap(), meters, voices.iter().map(part).collect()).unwrap()
}

/// Bar 1 in 4/4, bars 2 and 3 in 3/4, from bar 4 on in 6/8.
fn changing() -> Score {
    let soprano = "G4:1/4 C5:1 | D5:1/2 C5:1/4 | B4:1/4 C5 D5 | E5:3/8 D5 | C5:3/4";
    let bass = "R:1/4 E3:1 | B3:3/4 | G3:1/4 A3 B3 | C4:3/8 G3 | C3:3/4";
    let meters = meters("4/4", "1/4", &[(2, "3/4"), (4, "6/8")]);
    score(meters, &[("soprano", &soprano.replace(" |", "")), ("bass", &bass.replace(" |", ""))])
}

#[test]
fn every_format_gives_the_meters_back() {
    let score = changing();
    let notation = musicxml::read(&musicxml::write(&score).unwrap()).unwrap();
    assert_eq!(notation.remarks, []);
    let sound = midi::read(&midi::write(&score).unwrap()).unwrap();
    let data: Score = serde_json::from_str(&serde_json::to_string(&score).unwrap()).unwrap();
    for back in [notation.score, sound.score, data] {
        assert_eq!(back.meters(), score.meters());
        for (part, original) in back.parts().iter().zip(score.parts()) {
            assert_eq!(part.line.notes(), original.line.notes());
        }
    }
}

#[test]
fn findings_and_remedies_stand_in_the_bars_after_a_change() {
    let lines = [
        ("soprano", "C5:1 E5:3/4 D5:1/4 G4:1/4 A4:1/4 B4:3/4"),
        ("alto", "E4:1 C4:3/4 B3:1/4 C4:1/4 D4:1/4 G3:3/4"),
    ];
    let score = score(meters("4/4", "0", &[(2, "3/4")]), &lines);
    let book = RuleBook::free_baroque();
    let texture = Texture::of(&score);
    let mut findings = book.review(&texture);
    findings.retain(|finding| finding.rule.as_str() == "parallel-perfects");
    let places: Vec<String> = findings.iter().map(|finding| finding.place.to_string()).collect();
    assert_eq!(places, ["bar 3, beat 3"]);
    remedies(&score, None, &book, &mut findings);
    let remedy = findings[0].remedy.as_ref().unwrap();
    assert!(
        remedy.message().ends_with("at bar 3, beat 3") || remedy.message().ends_with("at bar 3, beat 2"),
        "{remedy}"
    );
    let mended = remedy.apply(&score).unwrap();
    assert_eq!(mended.meters(), score.meters());
    let left = book.review(&Texture::of(&mended));
    assert!(!left.iter().any(|finding| finding.rule.as_str() == "parallel-perfects"));
}

fn exposition() -> Exposition {
    let theme = "C5:1/4 G4 A4:1/8 B4 C5 D5 | E5:1/4 D5:1/8 C5 D5:1/4 B4 | C5:1/4";
    let subject = Subject::from_text("C major", "4/4", "0", theme).unwrap();
    draft(&subject, &DraftOptions::new(Ensemble::named("choir").unwrap())).unwrap()
}

#[test]
fn entries_are_recognized_across_a_change_and_placed_after_it() {
    let plain = exposition().score().clone();
    let changed = over(&plain, meters("4/4", "0", &[(3, "2/4"), (4, "4/4")]));
    let [before, after] = [&plain, &changed].map(|score| recognize(score).unwrap().outline);
    let entries = |outline: &Outline| -> Vec<(usize, String)> {
        outline.themes().map(|entry| (entry.voice, entry.onset.to_string())).collect()
    };
    assert_eq!(entries(&before), entries(&after));
    let last = after.themes().last().unwrap().onset;
    let [old, new] = [&plain, &changed].map(|score| score.place(last).unwrap());
    let half = new.beat.checked_sub(old.beat).unwrap();
    assert!(new.bar > old.bar || half.is_positive(), "{old} becomes {new}");
    assert_eq!(changed.onset_of(new.bar, new.beat).unwrap(), last);
}

/// A file whose entries somebody has marked, over a change of meter.
#[test]
fn annotated_exposition_is_read_across_a_change() {
    let text = json::write_exposition(&exposition());
    let marked = text.replacen(
        "\"pickup\": \"0\",",
        "\"pickup\": \"0\", \"meters\": [{\"bar\": 9, \"meter\": \"3/4\"}],",
        1,
    );
    assert_ne!(marked, text);
    let read = read_bytes("exposition.json", marked.as_bytes()).unwrap();
    assert_eq!(read.score.meters().to_string(), "4/4, 3/4 from bar 9");
    assert_eq!(read.outline, Some(exposition().outline()));
    let back = json::read_exposition(&marked).unwrap();
    assert_eq!(json::read_exposition(&json::write_exposition(&back)).unwrap(), back);
}

#[test]
fn reports_name_the_meters() {
    let score = changing();
    let review = Review::of(&score, &[]);
    let heading = "4/4, 3/4 from bar 2, 6/8 from bar 4";
    assert!(summary::write_review(&review).contains(heading));
    assert!(markdown::write_review(&review).contains(heading));
    let value: serde_json::Value = serde_json::from_str(&json::write_review(&review)).unwrap();
    assert_eq!(value["meter"], "4/4");
    let changes = serde_json::json!([{"bar": 2, "meter": "3/4"}, {"bar": 4, "meter": "6/8"}]);
    assert_eq!(value["meters"], changes);
}
