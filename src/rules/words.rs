//! Intervals and voices in words.

use crate::interval::{Interval, Quality};
use crate::texture::Texture;
use crate::time::Time;
use std::cmp::Ordering;
use std::fmt;

const NUMBERS: [&str; 15] = [
    "unison",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "octave",
    "ninth",
    "tenth",
    "eleventh",
    "twelfth",
    "thirteenth",
    "fourteenth",
    "fifteenth",
];

/// An interval with its article, whatever its direction: `a major second`, `an augmented fourth`,
/// `an octave`.
pub(super) struct Words(pub(super) Interval);

impl fmt::Display for Words {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (number, quality) = (self.0.number(), self.0.quality());
        let quality = match quality {
            Quality::Perfect if matches!(number, 1 | 8 | 15) => "",
            Quality::Perfect => "perfect ",
            Quality::Major => "major ",
            Quality::Minor => "minor ",
            Quality::Augmented(1) => "augmented ",
            Quality::Diminished(1) => "diminished ",
            Quality::Augmented(_) => "multiply augmented ",
            Quality::Diminished(_) => "multiply diminished ",
        };
        One(&format!("{quality}{}", numbered(number))).fmt(f)
    }
}

/// The name of an interval by its number: `octave`, `17th`.
pub(super) fn numbered(number: u32) -> String {
    let place = usize::try_from(number).unwrap_or(usize::MAX).saturating_sub(1);
    NUMBERS.get(place).map_or_else(|| format!("{number}th"), |&name| name.to_owned())
}

/// A name with its article: `an octave`, `a unison`.
pub(super) struct One<'n>(pub(super) &'n str);

impl fmt::Display for One<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let article = if self.0.starts_with(['a', 'e', 'o']) { "an" } else { "a" };
        write!(f, "{article} {}", self.0)
    }
}

/// A length in whole notes: `3/8 of a whole note`, `a whole note`, `5/2 whole notes`.
pub(super) struct Length(pub(super) Time);

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.cmp(&Time::WHOLE) {
            Ordering::Less => write!(f, "{} of a whole note", self.0),
            Ordering::Equal => f.write_str("a whole note"),
            Ordering::Greater => write!(f, "{} whole notes", self.0),
        }
    }
}

/// A length in beats of the meter, as places are counted: `3 beats`, `a beat`, `5/2 beats`.
pub(super) struct Beats(Time);

impl Beats {
    /// The length of so many ticks from a tick.
    pub(super) fn of(texture: &Texture<'_>, onset: i64, ticks: i64) -> Self {
        let unit = texture.score().meters().at(texture.time(onset)).unit();
        Self(Time::new(ticks, texture.grid().ticks(unit).max(1)).unwrap_or(Time::ZERO))
    }
}

impl fmt::Display for Beats {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.cmp(&Time::WHOLE) {
            Ordering::Less => write!(f, "{} of a beat", self.0),
            Ordering::Equal => f.write_str("a beat"),
            Ordering::Greater => write!(f, "{} beats", self.0),
        }
    }
}

/// What a voice does in going an interval: `rises a major second`, `stays`.
pub(super) struct Going(pub(super) Interval);

impl fmt::Display for Going {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = Words(self.0);
        match self.0 {
            Interval::UNISON => f.write_str("stays"),
            interval if interval.is_descending() => write!(f, "falls {words}"),
            _ => write!(f, "rises {words}"),
        }
    }
}

/// The names of voices: `soprano, alto and bass`.
pub(super) fn listed(texture: &Texture<'_>, voices: &[usize]) -> String {
    let names: Vec<&str> = voices.iter().map(|&voice| texture.name(voice)).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => names.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Score;

    fn interval(text: &str) -> Interval {
        text.parse().unwrap()
    }

    #[test]
    fn intervals_have_articles_and_names() {
        let rows = [
            ("P1", "a unison"),
            ("m2", "a minor second"),
            ("A4", "an augmented fourth"),
            ("P8", "an octave"),
            ("M10", "a major tenth"),
            ("P11", "a perfect eleventh"),
            ("dd5", "a multiply diminished fifth"),
            ("M17", "a major 17th"),
        ];
        for (text, words) in rows {
            assert_eq!(Words(interval(text)).to_string(), words);
        }
    }

    #[test]
    fn lengths_are_told_in_whole_notes() {
        let told = ["3/8", "1", "5/2", "2"].map(|text| Length(text.parse().unwrap()).to_string());
        assert_eq!(told, ["3/8 of a whole note", "a whole note", "5/2 whole notes", "2 whole notes"]);
    }

    #[test]
    fn lengths_are_told_in_beats_of_the_meter() {
        let score = Score::excerpt("C major", "6/8", &["C5:1/8 C5:1/16 C5:5/16 C5:1/4"]).unwrap();
        let texture = Texture::of(&score);
        let told: Vec<String> = texture
            .tones(0)
            .iter()
            .map(|it| Beats::of(&texture, it.onset, it.duration()).to_string())
            .collect();
        assert_eq!(told, ["a beat", "1/2 of a beat", "5/2 beats", "2 beats"]);
    }

    #[test]
    fn going_names_the_direction() {
        assert_eq!(Going(interval("-M2")).to_string(), "falls a major second");
        assert_eq!(Going(interval("P4")).to_string(), "rises a perfect fourth");
        assert_eq!(Going(interval("P1")).to_string(), "stays");
    }
}
