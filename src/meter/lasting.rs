//! Meters for single bars that are longer or shorter than the others.

use super::{MAX_LOWER, MAX_PULSES, Meter};
use crate::time::Time;

impl Meter {
    /// The meter of a single bar that lasts so long among bars of this meter: its pulses follow on each
    /// other as they do there, and the last is as long as what is left. `None` if no figures say that.
    ///
    /// ```
    /// use soggetto::meter::Meter;
    /// let meter: Meter = "4/4".parse()?;
    /// assert_eq!(meter.lasting("5/4".parse()?), Some("5/4".parse()?));
    /// assert_eq!(meter.lasting("9/8".parse()?), Some("2+2+2+2+1/8".parse()?));
    /// assert_eq!(meter.lasting("1/3".parse()?), None);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn lasting(&self, length: Time) -> Option<Self> {
        let finer = std::iter::successors(Some(self.lower()), |lower| lower.checked_mul(2));
        finer.take_while(|&lower| lower <= MAX_LOWER).find_map(|lower| {
            let units = length.scaled(lower.into(), 1).ok().filter(|units| units.denominator() == 1)?;
            let (units, by) = (u8::try_from(units.numerator()).ok()?, lower / self.lower());
            let pulses: Vec<u8> = self.groups().iter().map(|group| group.saturating_mul(by)).collect();
            let pulses = filled(units, &pulses)?;
            let groups = if pulses.len() > MAX_PULSES { filled(units, &[self.upper()])? } else { pulses };
            Self::grouped(&groups, lower).ok()
        })
    }
}

/// So many units in groups of these sizes, over and over, the last one cut short; `None` without any.
fn filled(units: u8, sizes: &[u8]) -> Option<Vec<u8>> {
    let (mut groups, mut left) = (Vec::new(), units);
    for &size in sizes.iter().cycle().take(units.into()) {
        let group = size.min(left);
        if group > 0 {
            groups.push(group);
        }
        left -= group;
    }
    (left == 0 && !groups.is_empty()).then_some(groups)
}

#[cfg(test)]
mod tests {
    use super::super::any_meter;
    use super::*;
    use proptest::prelude::*;

    fn lasting(meter: &str, length: &str) -> Option<String> {
        let meter: Meter = meter.parse().unwrap();
        meter.lasting(length.parse().unwrap()).map(|meter| meter.to_string())
    }

    #[test]
    fn bar_that_strays_keeps_the_pulses_of_the_others() {
        let rows = [
            ("4/4", "3/4", "3/4"),
            ("4/4", "3/2", "1+1+1+1+1+1/4"),
            ("4/4", "9/8", "2+2+2+2+1/8"),
            ("4/4", "1/8", "1/8"),
            ("3/4", "5/4", "5/4"),
            ("6/8", "9/8", "9/8"),
            ("6/8", "7/8", "3+3+1/8"),
            ("2/2", "3/4", "2+1/4"),
            ("4/4", "17/4", "4+4+4+4+1/4"),
        ];
        for (meter, length, strayed) in rows {
            assert_eq!(lasting(meter, length).as_deref(), Some(strayed), "{meter} {length}");
        }
    }

    #[test]
    fn no_figures_say_thirds_nothing_or_too_much() {
        for length in ["1/3", "0", "-1/4", "1/128", "33"] {
            assert_eq!(lasting("4/4", length), None, "{length}");
        }
    }

    proptest! {
        #[test]
        fn prop_the_bar_lasts_as_long_as_asked(meter in any_meter(), sixteenths in 1_i64..80) {
            let length = Time::new(sixteenths, 16).unwrap();
            if let Some(strayed) = meter.lasting(length) {
                prop_assert_eq!(strayed.bar(), length);
            }
        }
    }
}
