//! How the rhythms of the voices complement each other.

use super::{Pair, Share, Sonority, Texture};
use crate::ensemble::MAX_VOICES;

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

/// Voices that keep one rhythm with none beside it, and from when to when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CommonRhythm {
    /// From the first note that they begin together to the end of the last.
    pub stretch: Stretch,
    /// Two or more, the top part first.
    pub voices: Vec<usize>,
}

/// A common rhythm as it is found.
struct Run {
    stretch: Stretch,
    /// A bit for each voice.
    voices: u32,
    /// How often some of them, two or more, began a note without the others.
    loose: usize,
}

impl Run {
    /// Whether notes that some voices begin, a bit for each, go on with it: all of its voices, or in one of four
    /// moments at most some of them, since a voice may hold a note or rest for once.
    fn goes_on_with(&self, attacked: u32) -> bool {
        let loose = self.loose + usize::from(attacked != self.voices);
        attacked & !self.voices == 0 && attacked.count_ones() > 1 && 4 * loose <= self.stretch.attacks
    }

    /// The same with the notes that begin with a sonority.
    fn with(self, notes: Stretch, attacked: u32) -> Self {
        let attacks = self.stretch.attacks + notes.attacks;
        let stretch = Stretch { end: notes.end, attacks, ..self.stretch };
        Self { stretch, loose: self.loose + usize::from(attacked != self.voices), ..self }
    }

    fn ended(self) -> Option<CommonRhythm> {
        let voices = || (0..MAX_VOICES).filter(|voice| self.voices >> voice & 1 == 1).collect();
        (self.stretch.attacks > 1).then(|| CommonRhythm { stretch: self.stretch, voices: voices() })
    }
}

impl Texture<'_> {
    /// The stretches in which the same voices, two or more, begin their notes together and no other voice
    /// begins one, until that changes or all of them rest for a pulse. A chord that is only struck again counts
    /// as the attack before. Cost: the sonorities times the voices.
    ///
    /// ```
    /// use soggetto::score::Score;
    /// use soggetto::texture::Texture;
    /// let score = Score::excerpt("C major", "4/4", &["C5:1/4 D5 E5:1/2", "A4:1/4 B4 C5:1/2", "F4:1"])?;
    /// let found = Texture::of(&score).common_rhythms();
    /// assert_eq!((found[0].voices.as_slice(), found[0].stretch.attacks), (&[0, 1][..], 2));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn common_rhythms(&self) -> Vec<CommonRhythm> {
        let (mut found, mut run): (Vec<CommonRhythm>, Option<Run>) = (Vec::new(), None);
        let mut before = None;
        for sonority in self.sonorities() {
            let attacked = self.attacked(&sonority);
            if attacked == 0 && !self.is_pause(&sonority) {
                continue;
            }
            if let Some(ended) = run.take_if(|run| !run.goes_on_with(attacked)) {
                found.extend(ended.ended());
                before = None;
            }
            let notes = self.begun(&sonority, before.as_ref());
            run = match run {
                Some(run) => Some(run.with(notes, attacked)),
                None => {
                    (attacked.count_ones() > 1).then_some(Run { stretch: notes, voices: attacked, loose: 0 })
                }
            };
            before = Some(sonority);
        }
        found.extend(run.and_then(Run::ended));
        found
    }

    /// Whether all voices rest for a pulse or longer: less is a breath.
    fn is_pause(&self, sonority: &Sonority<'_>) -> bool {
        let length = sonority.end() - sonority.onset();
        sonority.sounding().next().is_none() && length >= self.accents().pulse_at(sonority.onset()).1
    }

    /// The voices that begin a note with a sonority, a bit for each.
    fn attacked(&self, sonority: &Sonority<'_>) -> u32 {
        let voices = (0..self.voices()).filter(|&voice| sonority.is_attacked(voice));
        voices.fold(0, |all, voice| all | 1 << voice)
    }

    /// The notes that begin with a sonority, until the first of them ends: no attack if they were all struck
    /// before.
    fn begun(&self, sonority: &Sonority<'_>, before: Option<&Sonority<'_>>) -> Stretch {
        let voices = || (0..self.voices()).filter(|&voice| sonority.is_attacked(voice));
        let ends = voices().filter_map(|voice| Some(self.tones(voice).get(sonority.note(voice)?)?.end));
        let is_new = |before: &Sonority<'_>| voices().any(|it| before.pitch(it) != sonority.pitch(it));
        let attacks = usize::from(before.is_none_or(is_new));
        Stretch { onset: sonority.onset(), end: ends.min().unwrap_or(sonority.end()), attacks }
    }
}

impl Texture<'_> {
    /// The ticks on which at least one voice begins a note, in order.
    #[expect(clippy::stable_sort_primitive, reason = "it makes use of the order in each voice")]
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

    fn common(lines: &[&str]) -> Vec<(usize, Vec<usize>)> {
        let score = score("4/4", lines);
        Texture::of(&score).common_rhythms().into_iter().map(|it| (it.stretch.attacks, it.voices)).collect()
    }

    #[test]
    fn common_rhythm_has_no_other_beside_it() {
        assert_eq!(common(&["C5:1/4 D5 E5 F5", "A4:1/4 B4 C5 D5"]), [(4, vec![0, 1])]);
        assert!(common(&["C5:1/4 D5 E5 F5", "A4:1/4 B4 C5 D5", "F4:1/8 E4 D4 E4 F4 E4 D4 E4"]).is_empty());
    }

    #[test]
    fn common_rhythm_ends_where_a_voice_joins_it_or_all_rest() {
        let lines = ["C5:1/4 D5 E5 F5 E5 D5", "A4:1/4 B4 C5 D5 C5 B4", "R:1/2 C4:1/4 B3 C4 B3"];
        assert_eq!(common(&lines), [(2, vec![0, 1]), (4, vec![0, 1, 2])]);
        assert_eq!(common(&["C5:1/4 D5 R E5 F5", "A4:1/4 B4 R C5 D5"]), [(2, vec![0, 1]), (2, vec![0, 1])]);
    }

    #[test]
    fn common_rhythm_goes_on_after_a_breath_of_all() {
        let lines = ["C5:1/4 D5:1/8 R E5:1/4 F5", "A4:1/4 B4:1/8 R C5:1/4 D5"];
        assert_eq!(common(&lines), [(4, vec![0, 1])]);
    }

    #[test]
    fn common_rhythm_goes_on_while_a_voice_holds_a_note_for_once() {
        let lines = ["C5:1/4 D5 E5 F5 E5 D5", "A4:1/4 B4 C5 D5 C5 B4", "F4:1/4 G4 A4 B4:1/2 G4:1/4"];
        assert_eq!(common(&lines), [(6, vec![0, 1, 2])]);
    }

    #[test]
    fn chord_struck_again_is_one_attack_of_a_common_rhythm() {
        assert_eq!(common(&["C5:1/4 C5 C5 D5", "A4:1/4 A4 A4 B4"]), [(2, vec![0, 1])]);
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
