//! Whether voice numbers are ranks on a staff rather than voices.
//!
//! Engravers number what sounds on a staff from the top, bar by bar: the only voice there is the first, though it was
//! the second before the upper one fell silent or went to the other hand (common practice of engraving). A number of
//! its own, kept while the upper one is silent or carried to the other staff, means a voice.

use super::voices::Tone;
use std::collections::{BTreeMap, BTreeSet};

/// Whether numbers stay on their staff and none sounds in a bar without those above it.
pub(super) fn are_ranks(voices: &BTreeMap<String, Vec<Tone>>) -> bool {
    let mut on_staff: BTreeMap<u8, BTreeSet<(u32, &str)>> = BTreeMap::new();
    let mut in_bar: BTreeMap<(u8, u32), BTreeSet<(u32, &str)>> = BTreeMap::new();
    for (name, tones) in voices {
        let number = (name.parse().unwrap_or(u32::MAX), name.as_str());
        for tone in tones {
            on_staff.entry(tone.staff).or_default().insert(number);
            in_bar.entry((tone.staff, tone.bar())).or_default().insert(number);
        }
    }
    let is_from_the_top = |((staff, _), numbers): (&(u8, u32), &BTreeSet<_>)| {
        on_staff.get(staff).is_some_and(|all| all.iter().zip(numbers).all(|(all, number)| all == number))
    };
    let together: usize = on_staff.values().map(BTreeSet::len).sum();
    together == voices.len() && in_bar.iter().all(is_from_the_top)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;

    /// Whether these lines, bars of 4/4 on one staff and numbered from 1, are ranks.
    fn ranks(lines: &[&str]) -> bool {
        let tones = |line: &str| line.parse::<Line>().unwrap().notes().iter().map(Tone::of).collect();
        are_ranks(
            &(1..).zip(lines).map(|(number, line): (u32, _)| (number.to_string(), tones(line))).collect(),
        )
    }

    #[test]
    fn number_that_sounds_without_the_one_above_it_is_a_voice() {
        assert!(ranks(&["C5:1 D5:1", "R:1 E4:1"]));
        assert!(ranks(&["C5:1 D5:1", "R:3/2 E4:1/2"]));
        assert!(!ranks(&["C5:1", "R:1 E4:1"]));
    }

    #[test]
    fn number_on_both_staves_is_a_voice() {
        let mut lines: Vec<Tone> =
            "C5:1 D5:1".parse::<Line>().unwrap().notes().iter().map(Tone::of).collect();
        lines[1].staff = 2;
        assert!(!are_ranks(&[("1".to_owned(), lines)].into()));
    }
}
