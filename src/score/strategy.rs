//! Any score, for the properties of every module.

use super::{Part, Score};
use crate::line::Line;
use crate::line::strategy::any_line;
use crate::voice::Voice;
use crate::voice::tests::any_voice;
use proptest::prelude::*;

/// Any score of one to five parts, with up to two changes of meter.
pub(crate) fn any_score() -> impl Strategy<Value = Score> {
    let part = (any_voice(), any_line()).prop_map(|(voice, line)| Part { voice, line });
    let parts = proptest::collection::vec(part, 1..=5);
    let key = proptest::sample::select(vec!["C major", "A minor", "Eb major", "F# minor", "D dorian"]);
    let meter = proptest::sample::select(vec!["4/4", "3/4", "2/2", "6/8", "5/8", "2+2+3/8"]);
    let changes = proptest::collection::vec((1..4_i64, meter.clone()), 0..3);
    (key, meter, 0..5_i64, parts, changes).prop_map(|(key, meter, eighths, parts, changes)| {
        let pickup = crate::time::Time::new(eighths, 8).unwrap();
        let score = Score::new(key.parse().unwrap(), meter.parse().unwrap(), pickup, parts).unwrap();
        let (mut bar, mut meters) = (1, score.meters().clone());
        for (after, meter) in changes {
            bar += after;
            meters = meters.with_change(bar, meter.parse().unwrap()).unwrap();
        }
        Score::over(score.key(), meters, score.parts().to_vec()).unwrap()
    })
}

/// The score of lines in text, in voices without names.
pub(crate) fn score(key: &str, meter: &str, pickup: &str, lines: &[&str]) -> Score {
    let part = |line: &&str| Part { voice: Voice::new(""), line: line.parse::<Line>().unwrap() };
    let parts = lines.iter().map(part).collect();
    Score::new(key.parse().unwrap(), meter.parse().unwrap(), pickup.parse().unwrap(), parts).unwrap()
}
