//! What a line costs as a melody: the taste of the search, in a table.
//!
//! Costs are integers without unit; a note that costs [`FORBIDDEN`] is taken only when there is no
//! other, and the draft then knows that the line is not lawful.
//!
//! Source: rules G11 to G13 of the trade (augmented intervals, wide leaps, leading note, minor
//! mode): Grove, *Dictionary*, vol. 3, "Strict Counterpoint"; common practice.

use crate::interval::{Interval, Quality};
use crate::pitch::Pitch;

/// What must not be.
pub(super) const FORBIDDEN: i32 = 100_000;
/// What is nearly always wrong.
pub(super) const UNWANTED: i32 = 1_000;

const REPEATED: i32 = 260;
const CHROMATIC: i32 = 90;
const THIRD: i32 = 12;
const FOURTH: i32 = 24;
const FIFTH: i32 = 32;
const MINOR_SIXTH: i32 = 60;
const MAJOR_SIXTH: i32 = 100;
const OCTAVE: i32 = 60;
/// A large leap that does not turn back.
const UNRECOVERED: i32 = 110;
/// A leap of a fourth or fifth that goes on in the same direction.
const RUSHING: i32 = 24;
/// Two leaps in the same direction.
const TWO_LEAPS: i32 = 60;
/// Coming back to the note before.
const SWINGING: i32 = 14;
/// A leading note that does not rise.
const HANGING: i32 = 220;
/// A raised sixth or natural seventh of minor that goes the wrong way.
const WRONG_MINOR_FORM: i32 = 600;

/// What a pitch is in the key of its moment, as far as melody asks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "four answers about a pitch, independent of each other")]
pub(super) struct Melodic {
    /// In the scale of the key, or a raised sixth or seventh of minor.
    pub(super) in_key: bool,
    /// A semitone below the tonic.
    pub(super) leading: bool,
    /// The raised sixth of minor.
    pub(super) raised_sixth: bool,
    /// The natural seventh of minor.
    pub(super) natural_seventh: bool,
}

/// What it costs to go from a note to the next.
pub(super) fn leap_cost(from: Pitch, to: Pitch) -> i32 {
    let interval = to - from;
    match (interval.number(), interval.quality()) {
        (1, Quality::Perfect) => REPEATED,
        (1, _) => CHROMATIC,
        (2, Quality::Major | Quality::Minor) => 0,
        (3, Quality::Major | Quality::Minor) => THIRD,
        (4, Quality::Perfect) => FOURTH,
        (5, Quality::Perfect) => FIFTH,
        (5, Quality::Diminished(1)) => UNWANTED,
        (6, Quality::Minor) => MINOR_SIXTH,
        (6, Quality::Major) => MAJOR_SIXTH,
        (8, Quality::Perfect) => OCTAVE,
        _ => FORBIDDEN,
    }
}

/// What a note costs between its neighbours.
pub(super) fn melodic_cost(
    note: Melodic,
    before: Option<Pitch>,
    current: Pitch,
    after: Option<Pitch>,
) -> i32 {
    let Some(after) = after else { return 0 };
    let out = after - current;
    tendency_cost(note, out) + before.map_or(0, |before| contour_cost(current - before, out))
}

fn tendency_cost(note: Melodic, out: Interval) -> i32 {
    if note.leading && out != Interval::MINOR_SECOND && out != Interval::UNISON {
        return HANGING;
    }
    let wrong =
        (note.raised_sixth && !matches!(out.steps(), 0 | 1)) || (note.natural_seventh && out.steps() == 1);
    if wrong { WRONG_MINOR_FORM } else { 0 }
}

fn contour_cost(into: Interval, out: Interval) -> i32 {
    let (into, out) = (into.steps(), out.steps());
    let onward = into.signum() == out.signum() && out != 0;
    let mut cost = 0;
    if into.abs() >= 5 && (onward || out == 0) {
        cost += UNRECOVERED;
    } else if into.abs() >= 3 && onward {
        cost += RUSHING;
    }
    if into.abs() >= 2 && out.abs() >= 2 && onward {
        cost += TWO_LEAPS;
    }
    if into + out == 0 && into != 0 {
        cost += SWINGING;
    }
    cost
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compose::fixtures::{frame, pitch, track};

    fn leap(from: &str, to: &str) -> i32 {
        leap_cost(pitch(from), pitch(to))
    }

    /// What the middle one of three notes costs in a key.
    fn middle(key: &str, notes: [&str; 3]) -> i32 {
        let [before, note, after] = notes.map(pitch);
        let melodic = track(&frame("4/4"), key).melodic(0, note);
        melodic_cost(melodic, Some(before), note, Some(after))
    }

    #[test]
    fn a_step_costs_less_than_a_third_and_a_third_less_than_a_fifth() {
        assert!(leap("C4", "D4") < leap("C4", "E4"));
        assert!(leap("C4", "E4") < leap("C4", "F4"));
        assert!(leap("C4", "F4") < leap("C4", "G4"));
        assert!(leap("C4", "G4") < leap("C4", "A4"));
    }

    #[test]
    fn a_leap_costs_the_same_up_and_down() {
        for (low, high) in [("C4", "D4"), ("C4", "G4"), ("E4", "C5"), ("C4", "C5"), ("F4", "B4")] {
            assert_eq!(leap(low, high), leap(high, low), "{low} {high}");
        }
    }

    #[test]
    fn augmented_intervals_and_sevenths_are_forbidden() {
        for (from, to) in [("F4", "G#4"), ("F4", "B4"), ("C4", "B4"), ("C4", "Bb4"), ("C4", "D5")] {
            assert_eq!(leap(from, to), FORBIDDEN, "{from} {to}");
        }
    }

    #[test]
    fn a_diminished_fifth_is_unwanted_but_not_forbidden() {
        assert!(leap("B3", "F4") > leap("B3", "G4"));
        assert!(leap("B3", "F4") < leap("F4", "B4"));
    }

    #[test]
    fn a_repeated_note_costs_more_than_a_leap_of_an_octave() {
        assert!(leap("C4", "C4") > leap("C4", "C5"));
    }

    #[test]
    fn a_leading_note_that_falls_costs_more_than_one_that_rises() {
        assert!(middle("C major", ["C5", "B4", "A4"]) > middle("C major", ["A4", "B4", "C5"]));
        assert!(middle("A minor", ["A4", "G#4", "E4"]) > middle("A minor", ["F4", "G#4", "A4"]));
    }

    #[test]
    fn a_raised_sixth_that_falls_costs_more_than_one_that_rises() {
        // Rule G13: raised sixth rising, natural seventh falling.
        assert!(middle("A minor", ["G#4", "F#4", "E4"]) > middle("A minor", ["E4", "F#4", "G#4"]));
        assert!(middle("A minor", ["F4", "G4", "A4"]) > middle("A minor", ["A4", "G4", "F4"]));
    }

    #[test]
    fn natural_notes_of_major_are_free_to_move() {
        assert_eq!(middle("C major", ["G4", "A4", "B4"]), middle("C major", ["B4", "A4", "G4"]));
    }

    #[test]
    fn a_large_leap_that_turns_back_costs_less_than_one_that_goes_on() {
        assert!(middle("C major", ["E4", "C5", "B4"]) < middle("C major", ["E4", "C5", "D5"]));
        assert!(middle("C major", ["C4", "F4", "E4"]) < middle("C major", ["C4", "F4", "G4"]));
    }

    #[test]
    fn two_leaps_in_one_direction_cost_more_than_a_leap_and_a_step() {
        assert!(middle("C major", ["C4", "E4", "G4"]) > middle("C major", ["C4", "E4", "F4"]));
    }

    #[test]
    fn coming_back_costs_more_than_going_on() {
        assert!(middle("C major", ["D4", "E4", "D4"]) > middle("C major", ["D4", "E4", "F4"]));
    }

    #[test]
    fn a_note_without_a_successor_costs_nothing() {
        assert_eq!(melodic_cost(Melodic::default(), Some(pitch("C4")), pitch("B4"), None), 0);
    }
}
