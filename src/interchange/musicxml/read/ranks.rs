//! Whether voice numbers are ranks on a staff rather than voices.
//!
//! Engravers number what sounds on a staff from the top, bar by bar: the only voice there is the first, though it was
//! the second before the upper one fell silent or went to the other hand (common practice of engraving). Some programs do
//! so from moment to moment, so that no lower number ever sounds alone. A number of its own, kept while the upper one is
//! silent or carried to the other staff, means a voice; so does one with a rest of its own in a bar in which others sound
//! on its staff: what is numbered from the top alone has none there.

use super::super::super::reading::Sounding;
use super::bar::Bar;
use super::voices::Tone;
use crate::time::Time;
use std::collections::{BTreeMap, BTreeSet};

/// What the numbers of a part stand for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Numbering {
    /// A voice each.
    Voices,
    /// A voice each within a bar, counted from the top of the staff.
    Bars,
    /// What sounds there at the moment, counted from the top of the staff.
    Moments,
}

impl Numbering {
    /// What the numbers of these voices stand for.
    pub(super) fn of(voices: &BTreeMap<String, Vec<Tone>>, bars: &[Bar]) -> Self {
        let mut on_staff: BTreeMap<u8, BTreeSet<Numbered>> = BTreeMap::new();
        for (name, tones) in voices {
            let number = (name.parse().unwrap_or(u32::MAX), name.as_str());
            for tone in tones {
                on_staff.entry(tone.staff).or_default().insert(number);
            }
        }
        let together: usize = on_staff.values().map(BTreeSet::len).sum();
        if together != voices.len() || !are_ranks(voices, &on_staff, bars) {
            return Self::Voices;
        }
        if on_staff.values().any(|all| sounds_alone(voices, all)) { Self::Bars } else { Self::Moments }
    }
}

/// Whether a lower number of a staff ever sounds without one above it.
fn sounds_alone(voices: &BTreeMap<String, Vec<Tone>>, on_staff: &BTreeSet<Numbered>) -> bool {
    let mut each = on_staff.iter().filter_map(|(_, name)| voices.get(*name));
    let mut above = each.next().cloned().unwrap_or_default();
    each.any(|tones| {
        let alone = !always_sounds_with(tones, &above);
        above.extend(tones);
        above.sort_by_key(Sounding::onset);
        alone
    })
}

/// Whether each note of a voice sounds together with one of others, which are in order of onset.
fn always_sounds_with(voice: &[Tone], others: &[Tone]) -> bool {
    let mut latest = Time::ZERO;
    let ends: Vec<Time> = others
        .iter()
        .map(|tone| {
            latest = latest.max(tone.end());
            latest
        })
        .collect();
    voice.iter().all(|tone| {
        let begun = others.partition_point(|other| other.onset() < tone.end());
        begun.checked_sub(1).is_some_and(|last| ends[last] > tone.onset())
    })
}

/// Whether no number sounds in a bar without those above it, nor rests there in so many words.
fn are_ranks(
    voices: &BTreeMap<String, Vec<Tone>>,
    on_staff: &BTreeMap<u8, BTreeSet<Numbered>>,
    bars: &[Bar],
) -> bool {
    let mut in_bar: BTreeMap<(u8, u32), BTreeSet<&str>> = BTreeMap::new();
    for (name, tones) in voices {
        for tone in tones {
            in_bar.entry((tone.staff, tone.bar())).or_default().insert(name);
        }
    }
    in_bar.iter().all(|((staff, bar), sounding)| {
        let all = on_staff.get(staff).into_iter().flatten();
        let mut silent = all.skip_while(|(_, name)| sounding.contains(name));
        silent.all(|(_, name)| !sounding.contains(name) && !rests(bars, *bar, name))
    })
}

/// A number and the name of its voice.
type Numbered<'a> = (u32, &'a str);

/// Whether a voice has a rest in a bar.
fn rests(bars: &[Bar], bar: u32, voice: &str) -> bool {
    usize::try_from(bar).ok().and_then(|bar| bars.get(bar)).is_some_and(|bar| bar.resting.contains(voice))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::Line;

    fn tones(line: &str) -> Vec<Tone> {
        line.parse::<Line>().unwrap().notes().iter().map(Tone::of).collect()
    }

    /// What the numbers of these lines, bars of 4/4 on one staff and numbered from 1, stand for.
    fn numbering(lines: &[&str]) -> Numbering {
        let numbered = (1..).zip(lines).map(|(number, line): (u32, _)| (number.to_string(), tones(line)));
        Numbering::of(&numbered.collect(), &[])
    }

    #[test]
    fn number_that_sounds_without_the_one_above_it_is_a_voice() {
        assert_eq!(numbering(&["C5:1 D5:1", "R:1 E4:1"]), Numbering::Moments);
        assert_eq!(numbering(&["C5:1", "R:1 E4:1"]), Numbering::Voices);
        assert_eq!(numbering(&["C5:1/2", "R:1/2 E4:1/2"]), Numbering::Bars);
        assert_eq!(numbering(&["C5:1/2 R:1/4 C5:1/4 C5:1", "R:1/2 E4:1/2 E4:1"]), Numbering::Moments);
        assert_eq!(numbering(&["C5:1/2 R:1/2 C5:1", "R:1/2 E4:1/2 E4:1"]), Numbering::Bars);
    }

    #[test]
    fn number_with_a_rest_of_its_own_is_a_voice() {
        let voices = [("1".to_owned(), tones("C5:1 D5:1")), ("2".to_owned(), tones("R:1 E4:1"))].into();
        let mut bars = [Bar::default(), Bar::default()];
        bars[1].resting.insert("2".into());
        assert_eq!(Numbering::of(&voices, &bars), Numbering::Moments, "beside its note");
        bars[0].resting.insert("2".into());
        assert_eq!(Numbering::of(&voices, &bars), Numbering::Voices);
    }

    #[test]
    fn number_on_both_staves_is_a_voice() {
        let mut lines = tones("C5:1 D5:1");
        lines[1].staff = 2;
        assert_eq!(Numbering::of(&[("1".to_owned(), lines)].into(), &[]), Numbering::Voices);
    }
}
