//! How the rhythms of the voices complement each other.

use super::{Pair, Share, Texture};

/// A stretch of time in ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Stretch {
    /// The tick on which it begins.
    pub onset: i64,
    /// The tick on which it ends.
    pub end: i64,
    /// How many attacks it holds.
    pub attacks: usize,
}

impl Stretch {
    /// How long it lasts, in ticks.
    pub const fn duration(self) -> i64 {
        self.end - self.onset
    }
}

impl Pair<'_> {
    /// The share of each part's attacks that coincide with an attack of the other part: upper part,
    /// lower part.
    pub fn shared_attacks(self) -> [Share; 2] {
        let (mut both, mut each) = (0, [0_u64; 2]);
        for moment in self.moments() {
            let attacked = moment.attacked();
            both += u64::from(attacked == [true; 2]);
            each[0] += u64::from(attacked[0]);
            each[1] += u64::from(attacked[1]);
        }
        each.map(|whole| Share::new(both, whole))
    }

    /// The stretches in which both voices begin all their notes together, from the first of two or
    /// more such attacks until the rhythms part or a voice falls silent. A chord that is only
    /// struck again, neither voice moving, counts as the attack before.
    pub fn rhythmic_unisons(self) -> Vec<Stretch> {
        let (mut found, mut run): (Vec<Stretch>, Option<Stretch>) = (Vec::new(), None);
        let mut pitches = None;
        for moment in self.moments() {
            if moment.attacked() == [true; 2] {
                let moved = pitches != moment.pitches() || run.is_none();
                let begun = run.unwrap_or(Stretch { onset: moment.onset(), end: 0, attacks: 0 });
                run =
                    Some(Stretch { end: moment.end(), attacks: begun.attacks + usize::from(moved), ..begun });
            } else {
                found.extend(run.take().filter(|run| run.attacks > 1));
            }
            pitches = moment.pitches();
        }
        found.extend(run.filter(|run| run.attacks > 1));
        found
    }
}

impl Texture<'_> {
    /// The ticks on which at least one voice begins a note, in order.
    pub fn attacks(&self) -> Vec<i64> {
        let onsets = (0..self.voices()).flat_map(|voice| self.tones(voice)).map(|tone| tone.onset);
        let mut attacks: Vec<i64> = onsets.collect();
        attacks.sort();
        attacks.dedup();
        attacks
    }

    /// The stretches of whole pulses, between the first attack and the last, in which no voice
    /// begins a note; pulses in a row are one stretch.
    pub fn empty_beats(&self) -> Vec<Stretch> {
        let attacks = self.attacks();
        let gaps = attacks.iter().zip(attacks.iter().skip(1));
        gaps.filter_map(|(&attack, &next)| self.empty_between(attack, next)).collect()
    }

    /// The whole pulses between an attack and the next.
    fn empty_between(&self, attack: i64, next: i64) -> Option<Stretch> {
        let (filled, length) = self.accents().pulse_at(attack);
        let (onset, end) = (filled + length, self.accents().pulse_at(next).0);
        (onset < end).then_some(Stretch { onset, end, attacks: 0 })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Score;

    fn score(meter: &str, lines: &[&str]) -> Score {
        Score::excerpt("C major", meter, lines).unwrap()
    }

    #[test]
    fn shared_attacks_are_counted_from_both_sides() {
        let score = score("4/4", &["C5:1/8 D5 E5 F5 G5:1/2", "C4:1/4 B3 C4:1/2"]);
        let texture = Texture::of(&score);
        let [upper, lower] = texture.pair(0, 1).unwrap().shared_attacks();
        assert_eq!((upper.to_string(), lower.to_string()), ("3/5".to_owned(), "1".to_owned()));
    }

    #[test]
    fn rhythmic_unison_lasts_until_the_rhythms_part() {
        let score = score("4/4", &["C5:1/8 D5 E5 F5 G5:1/2", "C4:1/8 B3 C4:1/4 B3:1/4 C4"]);
        let texture = Texture::of(&score);
        let found = texture.pair(0, 1).unwrap().rhythmic_unisons();
        assert_eq!(found, [Stretch { onset: 0, end: 3, attacks: 3 }]);
    }

    #[test]
    fn empty_beats_lie_between_first_and_last_attack() {
        let score = score("4/4", &["R:1/4 C5:3/4 B4:1/4 C5:3/4", "R:1/2 E4:1/2 D4:1/4 E4:3/4"]);
        let texture = Texture::of(&score);
        let beat = texture.grid().ticks(crate::time::Time::new(1, 4).unwrap());
        assert_eq!(texture.empty_beats(), [Stretch { onset: 3 * beat, end: 4 * beat, attacks: 0 }]);
    }

    #[test]
    fn empty_beats_of_a_compound_meter_have_three_units() {
        let score = score("6/8", &["C5:3/4 D5:3/8", "C4:3/4 B3:3/8"]);
        let texture = Texture::of(&score);
        let unit = texture.grid().ticks(crate::time::Time::new(1, 8).unwrap());
        assert_eq!(texture.empty_beats(), [Stretch { onset: 3 * unit, end: 6 * unit, attacks: 0 }]);
    }

    #[test]
    fn silence_has_no_empty_beats() {
        assert!(Texture::of(&score("4/4", &["R:1", "R:1"])).empty_beats().is_empty());
    }
}
