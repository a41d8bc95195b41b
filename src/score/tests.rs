use super::strategy::{any_score, score};
use super::*;
use crate::meter::Strength;
use proptest::prelude::*;

fn refused(meter: &str, pickup: &str, lines: &[&str]) -> ScoreError {
    let part = |line: &&str| Part { voice: Voice::new("voice"), line: line.parse().unwrap() };
    let parts = lines.iter().map(part).collect();
    let score =
        Score::new("C major".parse().unwrap(), meter.parse().unwrap(), pickup.parse().unwrap(), parts);
    score.unwrap_err()
}

proptest! {
    #[test]
    fn prop_all_times_fall_on_the_grid(score in any_score()) {
        let grid = score.grid().unwrap();
        let lines = score.parts().iter().map(|part| &part.line);
        let notes = lines.flat_map(|line| line.notes().iter().flat_map(|note| [note.onset(), note.end()]));
        let bars = score.bars().map(|(_, start)| start);
        for time in notes.chain(bars).chain([score.length(), score.pickup()]) {
            prop_assert_eq!(grid.time(grid.ticks(time)), Ok(time));
        }
    }
}

#[test]
fn parts_may_differ_in_length() {
    let score = score("C major", "4/4", "0", &["C4:1", "C3:1 D3:1/2", ""]);
    assert_eq!(score.length(), Time::new(3, 2).unwrap());
    assert_eq!(score.parts()[2].line.length(), Time::ZERO);
}

#[test]
fn strength_counts_from_the_bar_line_after_the_pickup() {
    let score = score("C major", "3/4", "1/4", &["G4:1/4 C5:3/4"]);
    let strength = |text: &str| score.strength(text.parse().unwrap());
    assert_eq!(strength("0"), Strength::Pulse);
    assert_eq!(strength("1/4"), Strength::Downbeat);
    assert_eq!(strength("3/8"), Strength::Division);
}

#[test]
fn errors_tell_what_a_score_must_have() {
    assert_eq!(refused("4/4", "0", &[]).to_string(), "a score has 1 to 16 parts, not 0");
    assert_eq!(refused("4/4", "0", &["C4:1"; 17]).to_string(), "a score has 1 to 16 parts, not 17");
    for pickup in ["1", "-1/4"] {
        assert_eq!(
            refused("4/4", pickup, &["C4:1"]).to_string(),
            format!(
                "a pickup of {pickup} is impossible in 4/4: it must be shorter than a bar, and not negative"
            )
        );
    }
    assert_eq!(
        refused("4/4", "0", &["C4:1/999983", "C4:1/3"]).to_string(),
        "the parts have no common division of time: 1/7999864 is out of range: denominators go to 1000000, times to \
         1000000 whole notes"
    );
}

#[test]
fn codes_tell_the_kind_of_error() {
    let score = score("C major", "4/4", "1/4", &["C4:1"]);
    assert_eq!(refused("4/4", "0", &[]).code(), "score-parts");
    assert_eq!(refused("4/4", "1", &["C4:1"]).code(), "score-pickup");
    assert_eq!(refused("4/4", "0", &["C4:1/999983", "C4:1/3"]).code(), "score-grid");
    assert_eq!(score.onset_of(1, Time::ZERO).unwrap_err().code(), "score-beat");
    assert_eq!(score.onset_of(0, Time::WHOLE).unwrap_err().code(), "score-before");
    assert_eq!(score.onset_of(i64::MAX, Time::WHOLE).unwrap_err().code(), "score-time");
}
