//! How often written voices take over from one another.

use super::super::super::reading::Sounding;
use super::voices::Tone;
use crate::time::Time;
use std::collections::BTreeMap;

/// In semitones: a voice goes on within a fourth.
const NEAR: i32 = 5;

/// So often that may be chance.
const CHANCE: usize = 1;

/// Whether written voices take over from one another more often than by chance.
pub(super) fn are_handed_over(voices: &BTreeMap<String, Vec<Tone>>) -> bool {
    handed_over(voices) > CHANCE
}

/// How often a voice breaks its silence just as another falls silent, on a note no further than a fourth from the
/// last one there: nearly always that is one voice, which the file calls by two numbers.
///
/// In a file whose numbers are true it is chance, as where a voice enters upon the cadence of another.
/// Cost: the notes times the logarithm of their number.
fn handed_over(voices: &BTreeMap<String, Vec<Tone>>) -> usize {
    let edges: Vec<Edges> = voices.values().map(|tones| Edges::of(tones)).collect();
    let ends = |time| {
        let others = edges.iter().filter_map(move |edges| edges.ends.get(&time));
        others.copied()
    };
    let begins = edges.iter().flat_map(|edges| &edges.begins);
    begins.filter(|(time, height)| ends(**time).any(|end| (end - **height).abs() <= NEAR)).count()
}

/// Where a voice begins after silence, and where it falls silent: when, and at which height.
#[derive(Default)]
struct Edges {
    begins: BTreeMap<Time, i32>,
    ends: BTreeMap<Time, i32>,
}

impl Edges {
    /// Of notes in order of onset.
    fn of(tones: &[Tone]) -> Self {
        let (mut edges, mut last): (Self, Option<(Time, i32)>) = (Self::default(), None);
        for tone in tones {
            if last.is_none_or(|(end, _)| end < tone.onset()) {
                edges.ends.extend(last);
                edges.begins.insert(tone.onset(), tone.height());
            }
            last = last.max(Some((tone.end(), tone.height())));
        }
        edges.ends.extend(last);
        edges
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;

    /// How often voices that are written so take over from one another.
    fn count(voices: &[&str]) -> usize {
        let tones = |line: &str| line.parse::<Line>().unwrap().notes().iter().map(Tone::of).collect();
        handed_over(&voices.iter().map(|line| ((*line).to_owned(), tones(line))).collect())
    }

    #[test]
    fn line_that_goes_on_under_another_number_is_handed_over() {
        assert_eq!(count(&["C5:1/4 D5", "R:1/2 E5:1/4 F5"]), 1);
        assert_eq!(count(&["C5:1/4 D5 R:1/2 E5:1/4", "R:1/2 E5:1/4 F5"]), 2);
    }

    /// A voice may enter on the cadence of another, which then rests.
    #[test]
    fn voice_that_enters_far_away_or_later_or_beside_another_takes_over_from_none() {
        assert_eq!(count(&["C5:1/4 D5", "R:1/2 E4:1/4 F4"]), 0);
        assert_eq!(count(&["C5:1/4 D5", "R:5/8 E5:1/4 F5"]), 0);
        assert_eq!(count(&["C5:1/4 D5 C5", "R:1/2 E5:1/4 F5"]), 0);
    }
}
