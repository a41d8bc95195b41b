//! The worked answers of the handbooks against ours.
#![expect(clippy::unwrap_used, clippy::print_stdout, reason = "a test may panic and print")]

use soggetto::answer::Answer;
use soggetto::line::Line;
use soggetto::subject::Subject;

const PAIRS: &str = include_str!("../shared/handbook/answers.json");

fn text<'a>(pair: &'a serde_json::Value, field: &str) -> &'a str {
    pair[field].as_str().unwrap_or_default()
}

fn subject(pair: &serde_json::Value) -> Subject {
    Subject::new(
        text(pair, "key").parse().unwrap(),
        text(pair, "meter").parse().unwrap(),
        text(pair, "offset").parse().unwrap(),
        text(pair, "subject").parse().unwrap(),
    )
    .unwrap()
}

/// Note by note the same interval from the subject as printed, octaves apart being the same.
fn same(subject: &Subject, answer: &Answer, printed: &Line) -> bool {
    let notes = subject.line().notes().iter().zip(answer.line().notes()).zip(printed.notes());
    let octaves = |interval: soggetto::interval::Interval| {
        interval.steps() % 7 == 0 && interval.semitones() * 7 == interval.steps() * 12
    };
    printed.notes().len() == answer.line().notes().len()
        && notes.clone().all(|((_, a), b)| octaves(b.pitch() - a.pitch()))
}

#[test]
fn handbook() {
    let pairs: Vec<serde_json::Value> = serde_json::from_str(PAIRS).unwrap();
    let (mut first, mut three, mut all) = (0, 0, 0);
    for pair in &pairs {
        let subject = subject(pair);
        let answers = subject.answers().unwrap();
        let printed: Line = text(pair, "answer").parse().unwrap();
        let rank = answers.iter().position(|answer| same(&subject, answer, &printed));
        let verbose = std::env::var("VERBOSE").is_ok_and(|v| v == "all" || text(pair, "id").contains(&v));
        if rank != Some(0) || verbose {
            println!("{} {} {:?} rank {rank:?}", text(pair, "id"), text(pair, "kind"), text(pair, "role"));
            println!("   want {}", text(pair, "degrees_map"));
            for answer in &answers {
                let map: Vec<&str> =
                    answer.readings().iter().map(|r| if *r as u8 == 0 { "5" } else { "4" }).collect();
                let costs: Vec<String> =
                    answer.costs().iter().map(|c| format!("{}:{:?}{}", c.note, c.charge, c.cost)).collect();
                println!("   {} {}  {}", answer.cost(), map.join(" "), costs.join(" "));
            }
        }
        if text(pair, "role") == "rejected" {
            assert!(rank != Some(0));
            continue;
        }
        all += 1;
        first += usize::from(rank == Some(0));
        three += usize::from(rank.is_some_and(|r| r < 3));
    }
    println!("first {first} three {three} of {all}");
}
