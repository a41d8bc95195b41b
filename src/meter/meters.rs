//! The meter of a piece and its changes.

use super::{Meter, MeterError, Strength};
use crate::time::{Time, TimeError};
use std::fmt;

/// So many changes are named in the text form.
const NAMED: usize = 4;

/// The meters of a piece, from the first to the last, and the pickup before its first bar.
///
/// Every value guarantees: a pickup that is not negative and shorter than a bar of the first meter,
/// and changes that stand on bar lines, in order, each to another meter. A change in the middle of a
/// bar cannot exist, nor one from 3/4 to 3/4; a bar that is longer or shorter than the others has a
/// meter of its own. The last meter goes on for ever, as the first goes back before the beginning.
///
/// ```
/// use soggetto::meter::Meters;
/// let meters = Meters::new("4/4".parse()?, "1/4".parse()?)?.with_change(3, "3/4".parse()?)?;
/// assert_eq!(meters.to_string(), "4/4, 3/4 from bar 3");
/// assert_eq!(meters.bar_start(4)?, "3".parse()?);
/// assert_eq!(meters.bar_and_beat("5/2".parse()?)?, (3, "2".parse()?));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Meters {
    pickup: Time,
    first: Meter,
    /// In order of bars.
    changes: Vec<Change>,
}

/// A meter from a bar on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Change {
    bar: i64,
    /// When that bar begins.
    start: Time,
    meter: Meter,
}

impl Meters {
    /// One meter throughout, after a pickup (zero for none).
    ///
    /// # Errors
    /// [`MeterError::Pickup`] if the pickup is negative or as long as a bar.
    pub fn new(meter: Meter, pickup: Time) -> Result<Self, MeterError> {
        if pickup.is_negative() || pickup >= meter.bar() {
            return Err(MeterError::Pickup { pickup, meter });
        }
        Ok(Self { pickup, first: meter, changes: Vec::new() })
    }

    /// With another meter from a bar on; the meter that stands there already makes no change.
    ///
    /// # Errors
    /// - [`MeterError::Change`] if the bar is not after bar 1 and the changes so far
    /// - [`MeterError::Time`] if it lies out of range
    pub fn with_change(mut self, bar: i64, meter: Meter) -> Result<Self, MeterError> {
        let last = self.last();
        if bar <= last.bar {
            return Err(MeterError::Change { bar, first: last.bar + 1 });
        }
        if meter != last.meter {
            let start = self.bar_start(bar)?;
            self.changes.push(Change { bar, start, meter });
        }
        Ok(self)
    }

    /// The meter of the first bar.
    pub const fn first(&self) -> Meter {
        self.first
    }

    /// The length of the incomplete first bar; zero if there is none.
    pub const fn pickup(&self) -> Time {
        self.pickup
    }

    /// The changes: the bar from which each meter stands, when it begins, and the meter.
    pub fn changes(&self) -> impl Iterator<Item = (i64, Time, Meter)> + '_ {
        self.changes.iter().map(|change| (change.bar, change.start, change.meter))
    }

    /// All meters, each with the time from which it stands: the first from the first bar line.
    pub fn iter(&self) -> impl Iterator<Item = (Time, Meter)> + '_ {
        std::iter::once(self.beginning()).chain(self.changes.iter().copied()).map(|it| (it.start, it.meter))
    }

    /// The meter at a time.
    pub fn at(&self, time: Time) -> Meter {
        self.change_at(time).meter
    }

    /// The meter of a bar.
    pub fn of_bar(&self, bar: i64) -> Meter {
        self.change_before(bar).meter
    }

    /// The place in its bar of a time: the meter there, and the time since its bar line.
    ///
    /// # Errors
    /// If the result is out of range.
    pub fn place(&self, time: Time) -> Result<(Meter, Time), TimeError> {
        let Change { start, meter, .. } = self.change_at(time);
        Ok((meter, meter.place(time.checked_sub(start)?)?))
    }

    /// The bar of a time, and the time since its bar line.
    ///
    /// # Errors
    /// If the result is out of range.
    pub fn bar_and_place(&self, time: Time) -> Result<(i64, Time), TimeError> {
        let Change { bar, start, meter } = self.change_at(time);
        let (after, place) = time.checked_sub(start)?.divided(meter.bar())?;
        Ok((bar + after, place))
    }

    /// Bar and beat of an onset: bars count from 1, a pickup being bar 0; beats are in the lower
    /// figure of the meter there, the first being 1.
    ///
    /// # Errors
    /// If the result is out of range.
    pub fn bar_and_beat(&self, onset: Time) -> Result<(i64, Time), TimeError> {
        let Change { bar, start, meter } = self.change_at(onset);
        let (after, beat) = meter.bar_and_beat(onset, start)?;
        Ok((bar - 1 + after, beat))
    }

    /// The onset of a beat of a bar: the inverse of [`Meters::bar_and_beat`].
    ///
    /// # Errors
    /// - [`MeterError::Beat`] if the bar has no such beat
    /// - [`MeterError::Time`] if the onset is out of range
    pub fn onset(&self, bar: i64, beat: Time) -> Result<Time, MeterError> {
        let change = self.change_before(bar);
        change.meter.onset(bar.saturating_sub(change.bar).saturating_add(1), beat, change.start)
    }

    /// When the bar line before a bar stands. That of a pickup lies before the beginning.
    ///
    /// # Errors
    /// If the time is out of range.
    pub fn bar_start(&self, bar: i64) -> Result<Time, TimeError> {
        let change = self.change_before(bar);
        change.meter.bar().scaled(bar.saturating_sub(change.bar), 1)?.checked_add(change.start)
    }

    /// How heavy the place of an onset is.
    pub fn strength(&self, onset: Time) -> Strength {
        self.place(onset).map_or(Strength::Subdivision, |(meter, place)| meter.strength(place))
    }

    /// The meters of an excerpt that begins with a bar, which becomes bar 1 unless it is the pickup.
    ///
    /// # Errors
    /// If a time is out of range.
    pub fn from_bar(&self, bar: i64) -> Result<Self, TimeError> {
        if bar < 1 {
            return Ok(self.clone());
        }
        let start = self.bar_start(bar)?;
        let mut changes = Vec::new();
        for change in self.changes.iter().filter(|change| change.bar > bar) {
            let (bar, start) = (change.bar - bar + 1, change.start.checked_sub(start)?);
            changes.push(Change { bar, start, meter: change.meter });
        }
        Ok(Self { pickup: Time::ZERO, first: self.of_bar(bar), changes })
    }

    fn beginning(&self) -> Change {
        Change { bar: 1, start: self.pickup, meter: self.first }
    }

    fn last(&self) -> Change {
        self.changes.last().copied().unwrap_or_else(|| self.beginning())
    }

    fn change_at(&self, time: Time) -> Change {
        self.nth(self.changes.partition_point(|change| change.start <= time))
    }

    fn change_before(&self, bar: i64) -> Change {
        self.nth(self.changes.partition_point(|change| change.bar <= bar))
    }

    /// The meter that stands after so many changes.
    fn nth(&self, changes: usize) -> Change {
        let last = changes.checked_sub(1).and_then(|index| self.changes.get(index));
        last.copied().unwrap_or_else(|| self.beginning())
    }
}

/// The meters in words: the first changes are named, the others counted.
impl fmt::Display for Meters {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.first)?;
        for change in self.changes.iter().take(NAMED) {
            write!(f, ", {} from bar {}", change.meter, change.bar)?;
        }
        match self.changes.len().saturating_sub(NAMED) {
            0 => Ok(()),
            1 => f.write_str(", and 1 more change"),
            more => write!(f, ", and {more} more changes"),
        }
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::any_meter;
    use super::*;
    use proptest::prelude::*;

    fn time(text: &str) -> Time {
        text.parse().unwrap()
    }

    fn meters(first: &str, pickup: &str, changes: &[(i64, &str)]) -> Meters {
        let meters = Meters::new(first.parse().unwrap(), time(pickup)).unwrap();
        let add = |meters: Meters, (bar, meter): &(i64, &str)| {
            meters.with_change(*bar, meter.parse().unwrap()).unwrap()
        };
        changes.iter().fold(meters, add)
    }

    /// Any meters with up to four changes.
    pub(crate) fn any_meters() -> impl Strategy<Value = Meters> {
        let changes = prop::collection::vec((1..5_i64, any_meter()), 0..5);
        (any_meter(), 0..8_i64, changes).prop_map(|(first, eighths, changes)| {
            let mut meters = Meters::new(first, first.bar().scaled(eighths, 8).unwrap()).unwrap();
            for (after, meter) in changes {
                let bar = meters.last().bar + after;
                meters = meters.with_change(bar, meter).unwrap();
            }
            meters
        })
    }

    proptest! {
        #[test]
        fn prop_bar_and_beat_invert_the_onset_across_changes(meters in any_meters(), n in -100..2000_i64) {
            let onset = Time::new(n, 48).unwrap();
            let (bar, beat) = meters.bar_and_beat(onset).unwrap();
            prop_assert_eq!(meters.onset(bar, beat), Ok(onset));
            prop_assert!(beat >= Time::WHOLE);
        }

        /// The reference walks from bar to bar.
        #[test]
        fn prop_bars_follow_on_each_other(meters in any_meters()) {
            let mut start = meters.pickup();
            for bar in 1..20 {
                prop_assert_eq!(meters.bar_start(bar), Ok(start));
                prop_assert_eq!(meters.at(start), meters.of_bar(bar));
                prop_assert_eq!(meters.bar_and_beat(start), Ok((bar, Time::WHOLE)));
                prop_assert_eq!(meters.strength(start), Strength::Downbeat);
                start = start.checked_add(meters.of_bar(bar).bar()).unwrap();
            }
        }

        #[test]
        fn prop_excerpt_has_the_bars_from_its_beginning_on(meters in any_meters(), first in 1..12_i64) {
            let excerpt = meters.from_bar(first).unwrap();
            let start = meters.bar_start(first).unwrap();
            for bar in 1..12 {
                prop_assert_eq!(excerpt.of_bar(bar), meters.of_bar(first + bar - 1));
                let here = meters.bar_start(first + bar - 1).unwrap().checked_sub(start);
                prop_assert_eq!(excerpt.bar_start(bar), here);
            }
        }
    }

    /// Counted by hand.
    #[test]
    fn bars_and_beats_are_those_of_the_meter_that_stands() {
        let meters = meters("4/4", "1/4", &[(3, "3/4"), (4, "6/8")]);
        let rows = [
            ("0", 0, "4"),
            ("1/4", 1, "1"),
            ("2", 2, "4"),
            ("9/4", 3, "1"),
            ("11/4", 3, "3"),
            ("3", 4, "1"),
            ("25/8", 4, "2"),
            ("15/4", 5, "1"),
        ];
        for (onset, bar, beat) in rows {
            assert_eq!(meters.bar_and_beat(time(onset)), Ok((bar, time(beat))), "{onset}");
        }
        assert_eq!(meters.strength(time("27/8")), Strength::Pulse);
    }

    #[test]
    fn change_to_the_same_meter_is_none() {
        assert_eq!(meters("4/4", "0", &[(3, "4/4")]), meters("4/4", "0", &[]));
        assert_eq!(meters("4/4", "0", &[(3, "2/2"), (5, "2/2")]).changes().count(), 1);
    }

    #[test]
    fn many_changes_are_counted() {
        let changes: Vec<(i64, &str)> =
            (2..8).map(|bar| (bar, if bar % 2 == 0 { "3/4" } else { "4/4" })).collect();
        let text = "4/4, 3/4 from bar 2, 4/4 from bar 3, 3/4 from bar 4, 4/4 from bar 5";
        assert_eq!(meters("4/4", "0", &changes[..4]).to_string(), text);
        assert_eq!(meters("4/4", "0", &changes[..5]).to_string(), format!("{text}, and 1 more change"));
        assert_eq!(meters("4/4", "0", &changes).to_string(), format!("{text}, and 2 more changes"));
    }

    #[test]
    fn errors_tell_where_a_meter_may_change() {
        let refused = |bar| {
            let meters = meters("4/4", "0", &[(5, "3/4")]);
            meters.with_change(bar, "2/4".parse().unwrap()).unwrap_err()
        };
        for bar in [i64::MIN, 1, 5] {
            assert_eq!(
                refused(bar).to_string(),
                format!("the meter cannot change in bar {bar}: changes stand in order, here from bar 6 on")
            );
            assert_eq!(refused(bar).code(), "meter-change");
        }
        assert!(matches!(refused(i64::MAX), MeterError::Time(_)));
        let error = Meters::new("3/4".parse().unwrap(), time("3/4")).unwrap_err();
        assert_eq!(
            error.to_string(),
            "a pickup of 3/4 is impossible in 3/4: it must be shorter than a bar, and not negative"
        );
        assert_eq!(error.code(), "meter-pickup");
    }
}
