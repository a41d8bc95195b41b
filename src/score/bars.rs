//! The bars of a score.

use super::Score;
use crate::time::{Time, TimeError};

impl Score {
    /// The number of the first bar: 0 with a pickup, else 1.
    pub fn first_bar(&self) -> i64 {
        i64::from(self.pickup() == Time::ZERO)
    }

    /// How many bars it has, an unfinished last one included, the pickup not.
    pub fn bar_count(&self) -> i64 {
        let Ok((bar, place)) = self.meters().bar_and_place(self.length()) else { return 0 };
        (bar - i64::from(place.is_zero())).max(0)
    }

    /// When a bar begins; bar 0 is the pickup. Bars go on after the last note.
    ///
    /// # Errors
    /// If the time is out of range. Bars before the first have negative times.
    pub fn bar_start(&self, bar: i64) -> Result<Time, TimeError> {
        if bar == 0 && self.first_bar() == 0 {
            return Ok(Time::ZERO);
        }
        self.meters().bar_start(bar)
    }

    /// The bars from the first to the last, each with its number and when it begins.
    pub fn bars(&self) -> impl Iterator<Item = (i64, Time)> + '_ {
        (self.first_bar()..=self.bar_count()).map_while(|bar| Some((bar, self.bar_start(bar).ok()?)))
    }
}

#[cfg(test)]
mod tests {
    use crate::score::strategy::{any_score, score};
    use crate::time::Time;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn prop_every_bar_begins_on_its_first_beat(score in any_score()) {
            for (bar, start) in score.bars() {
                let place = score.place(start).unwrap();
                prop_assert_eq!(place.bar, bar);
                prop_assert!(bar == 0 || place.beat == Time::WHOLE);
            }
        }

        #[test]
        fn prop_every_note_begins_in_a_bar_of_the_score(score in any_score()) {
            let bars: Vec<i64> = score.bars().map(|(bar, _)| bar).collect();
            for note in score.parts().iter().flat_map(|part| part.line.notes()) {
                prop_assert!(bars.contains(&score.place(note.onset()).unwrap().bar));
            }
        }
    }

    #[test]
    fn bars_begin_after_the_pickup() {
        let starts = |score: &crate::score::Score| -> Vec<String> {
            score.bars().map(|(bar, start)| format!("{bar}: {start}")).collect()
        };
        let waltz = score("C major", "3/4", "1/4", &["G4:1/4 C5:3/4 D5:3/4 E5:1/4"]);
        assert_eq!(waltz.bar_count(), 3);
        assert_eq!(starts(&waltz), ["0: 0", "1: 1/4", "2: 1", "3: 7/4"]);
        let march = score("C major", "4/4", "0", &["C4:1 D4:1", "R:1"]);
        assert_eq!(march.bar_count(), 2);
        assert_eq!(starts(&march), ["1: 0", "2: 1"]);
        assert_eq!(starts(&score("C major", "4/4", "0", &[""])), [] as [&str; 0]);
        assert_eq!(starts(&score("C major", "4/4", "1/2", &["C4:1/4"])), ["0: 0"]);
    }
}
