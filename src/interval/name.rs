//! The names of intervals in words.

use super::{Interval, Quality};

impl Interval {
    /// The name in words, without the direction: `perfect fifth`, `minor tenth`.
    ///
    /// ```
    /// use soggetto::interval::Interval;
    /// assert_eq!(Interval::MINOR_TENTH.name(), "minor tenth");
    /// assert_eq!("-AA4".parse::<Interval>()?.name(), "doubly augmented fourth");
    /// # Ok::<(), soggetto::interval::IntervalError>(())
    /// ```
    pub fn name(self) -> String {
        format!("{} {}", self.quality().name(), self.number_name())
    }

    /// The number in words: `unison`, `fifth`, `octave`, `fifteenth`.
    pub fn number_name(self) -> String {
        match self.number() {
            1 => "unison".to_owned(),
            8 => "octave".to_owned(),
            number => ordinal(number),
        }
    }
}

impl Quality {
    /// The quality in words: `perfect`, `minor`, `doubly augmented`.
    pub fn name(self) -> String {
        match self {
            Self::Perfect => "perfect".to_owned(),
            Self::Major => "major".to_owned(),
            Self::Minor => "minor".to_owned(),
            Self::Augmented(times) => times_over(times, "augmented"),
            Self::Diminished(times) => times_over(times, "diminished"),
        }
    }
}

fn times_over(times: u8, quality: &str) -> String {
    let adverb = match times {
        1 => return quality.to_owned(),
        2 => "doubly",
        3 => "triply",
        4 => "quadruply",
        5 => "quintuply",
        6 => "sextuply",
        7 => "septuply",
        _ => return format!("{times} times {quality}"),
    };
    format!("{adverb} {quality}")
}

/// The ordinal of a number below two hundred, more than any interval needs.
fn ordinal(number: u32) -> String {
    const BELOW_TWENTY: [&str; 20] = [
        "zeroth",
        "first",
        "second",
        "third",
        "fourth",
        "fifth",
        "sixth",
        "seventh",
        "eighth",
        "ninth",
        "tenth",
        "eleventh",
        "twelfth",
        "thirteenth",
        "fourteenth",
        "fifteenth",
        "sixteenth",
        "seventeenth",
        "eighteenth",
        "nineteenth",
    ];
    const TENS: [&str; 10] =
        ["", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];
    let at = |n: u32| n as usize;
    match number {
        0..20 => BELOW_TWENTY[at(number)].to_owned(),
        100 => "hundredth".to_owned(),
        101.. => format!("hundred-and-{}", ordinal(number - 100)),
        _ if number.is_multiple_of(10) => TENS[at(number / 10)].replace('y', "ieth"),
        _ => format!("{}-{}", TENS[at(number / 10)], BELOW_TWENTY[at(number % 10)]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_those_of_the_trade() {
        for (text, name) in [
            ("P1", "perfect unison"),
            ("-A1", "augmented unison"),
            ("d5", "diminished fifth"),
            ("P8", "perfect octave"),
            ("m10", "minor tenth"),
            ("P15", "perfect fifteenth"),
            ("M20", "major twentieth"),
            ("P22", "perfect twenty-second"),
            ("P99", "perfect ninety-ninth"),
            ("m100", "minor hundredth"),
            ("P141", "perfect hundred-and-forty-first"),
            ("ddd7", "triply diminished seventh"),
            ("AAAAAAA4", "septuply augmented fourth"),
        ] {
            assert_eq!(text.parse::<Interval>().unwrap().name(), name);
        }
    }

    #[test]
    fn all_number_names_differ() {
        let names: std::collections::BTreeSet<_> =
            (0..=140).map(|steps| Interval::between(steps, 0).number_name()).collect();
        assert_eq!(names.len(), 141);
    }
}
