//! What the name of a part tells of its compass.

use super::seat::{Seat, brass, choir, plain, strings, woodwind};
use super::{Compass, Voice, name};

/// Names of parts in use (common practice, in English and Italian, with Latin and German names of
/// choral parts), each row the names of one voice: singers first. A trumpet or horn of no known pitch is
/// not among them, since the natural ones were built in many.
static NAMES: [(&[&str], Seat); 20] = [
    (&["soprano", "soprano voice", "sopran", "treble", "cantus", "canto", "discant", "s"], plain::SOPRANO),
    (&["mezzo soprano", "mezzosoprano", "mezzo"], plain::MEZZO),
    (&["alto", "alto voice", "contralto", "alt", "altus", "a"], plain::ALTO),
    (&["tenor", "tenor voice", "tenore", "t"], plain::TENOR),
    (&["baritone", "baritono", "bariton"], choir::BARITONE),
    (&["bass", "bass voice", "basso", "bassus", "b"], plain::BASS),
    (&["violin", "violino"], strings::VIOLIN),
    (&["viola"], strings::VIOLA),
    (&["cello", "violoncello"], strings::CELLO),
    (&["flute", "flauto"], woodwind::FLUTE),
    (&["oboe"], woodwind::OBOE),
    (
        &["clarinet", "clarinet in b flat", "clarinet in bb", "b flat clarinet", "bb clarinet"],
        woodwind::CLARINET,
    ),
    (&["bassoon", "fagotto"], woodwind::BASSOON),
    (&["soprano recorder", "descant recorder"], woodwind::SOPRANO_RECORDER),
    (&["alto recorder", "treble recorder"], woodwind::ALTO_RECORDER),
    (&["tenor recorder"], woodwind::TENOR_RECORDER),
    (&["bass recorder"], woodwind::BASS_RECORDER),
    (&["trumpet in b flat", "trumpet in bb", "b flat trumpet", "bb trumpet"], brass::TRUMPET),
    (&["horn in f", "f horn", "french horn"], brass::HORN),
    (&["trombone", "tenor trombone"], brass::TROMBONE),
];

/// How many rows of the names are those of singers.
const SINGERS: usize = 6;

/// Further instruments of which the name alone tells no compass (common practice).
const INSTRUMENTS: [&str; 16] = [
    "continuo",
    "organ",
    "organo",
    "harpsichord",
    "cembalo",
    "timpani",
    "trumpet",
    "tromba",
    "horn",
    "corno",
    "cornet",
    "cornett",
    "cornetto",
    "double bass",
    "contrabass",
    "violone",
];

/// A name without case, signs and a number at the end.
fn plain_name(name: &str) -> String {
    let mut words = name::words(name);
    words.pop_if(|word| word.bytes().all(|byte| byte.is_ascii_digit()));
    words.join(" ")
}

/// The row of a plain name.
fn row(name: &str) -> Option<usize> {
    NAMES.iter().position(|(names, _)| names.contains(&name))
}

/// What a name tells, found once: a review asks for it again and again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Implied {
    pub(super) compass: Option<Compass>,
    is_sung: bool,
    is_played: bool,
}

impl Implied {
    /// What the name of a part tells.
    pub(super) fn by(name: &str) -> Self {
        let name = plain_name(name);
        let row = row(&name);
        let compass = row.and_then(|row| NAMES.get(row)).and_then(|(_, seat)| seat.compass());
        let part = name.strip_prefix("basso ").unwrap_or(&name);
        let is_instrument = self::row(part).is_some_and(|row| row >= SINGERS) || INSTRUMENTS.contains(&part);
        Self { compass, is_sung: row.is_some_and(|row| row < SINGERS), is_played: is_instrument }
    }
}

impl Voice {
    /// Whether its name is that of a singer, from soprano to bass: what is written for such a part is
    /// judged as singers have it, whoever plays it.
    ///
    /// ```
    /// use soggetto::voice::Voice;
    /// assert!(Voice::new("Soprano II").is_sung());
    /// assert!(!Voice::new("Violin II").is_sung() && !Voice::new("Voice 2").is_sung());
    /// ```
    pub const fn is_sung(&self) -> bool {
        self.implied.is_sung
    }

    /// Whether its name is that of an instrument: `Violin II`, `Basso continuo`, `Timpani`. Of other names,
    /// such as `Quinto` and `Part 2`, nobody knows.
    ///
    /// ```
    /// use soggetto::voice::Voice;
    /// assert!(Voice::new("Oboe 1").is_played() && Voice::new("Basso continuo").is_played());
    /// assert!(!Voice::new("Soprano II").is_played() && !Voice::new("Quinto").is_played());
    /// ```
    pub const fn is_played(&self) -> bool {
        self.implied.is_played
    }

    /// The compass that the name of a part implies, or `None` for a name that tells nothing sure.
    ///
    /// Case, signs and a number at the end do not count: `Violin I` and `violin-1` are violins.
    /// The compasses are those of [`crate::ensemble::Ensemble::named`]; parts with the name of a voice
    /// have those of `plain`, as wide as voices are at their widest: an unknown score is to be judged
    /// with mercy, and not every alto is sung. One unknown word and the name implies nothing: an alto
    /// saxophone is no alto.
    ///
    /// ```
    /// use soggetto::voice::Voice;
    /// assert_eq!(Voice::implied("Violin I").map(|compass| compass.to_string()).as_deref(), Some("G3-A6"));
    /// assert_eq!(Voice::implied("Alto Saxophone"), None);
    /// ```
    pub fn implied(name: &str) -> Option<Compass> {
        Implied::by(name).compass
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Practical compasses (common practice); voices at their widest, as the ensemble `plain` has them.
    #[test]
    fn names_of_parts_imply_their_compass() {
        let rows = [
            ("Soprano", "C4-E6"),
            ("SOPRANO 2", "C4-E6"),
            ("Mezzo-Soprano", "A3-C6"),
            ("Contralto", "F3-G5"),
            ("Tenore", "C3-D5"),
            ("Baritone", "A2-F4"),
            ("Bass", "E2-F4"),
            ("Violin I", "G3-A6"),
            ("violin-2", "G3-A6"),
            ("Viola", "C3-A5"),
            ("Violoncello", "C2-C5"),
            ("Flute", "C4-A6"),
            ("Oboe 1", "Bb3-D6"),
            ("Clarinet in B♭ 1", "D3-D6"),
            ("Bassoon", "Bb1-Bb4"),
            ("Treble Recorder", "F4-G6"),
            ("Trumpet in Bb", "E3-Bb5"),
            ("Horn in F", "F2-C5"),
            ("Trombone", "E2-Bb4"),
        ];
        for (name, compass) in rows {
            assert_eq!(Voice::implied(name), compass.parse().ok(), "{name}");
        }
    }

    #[test]
    fn doubtful_names_imply_nothing() {
        for name in [
            "",
            "1",
            "Voice 1",
            "Alto Saxophone",
            "Double Bass",
            "Bass Clarinet",
            "Trumpet in C",
            "Trumpet 1",
            "Horn",
        ] {
            assert_eq!(Voice::implied(name), None, "{name}");
        }
    }

    #[test]
    fn all_names_are_in_normal_form_and_unique() {
        let names: Vec<&str> = NAMES.iter().flat_map(|(names, _)| names.iter().copied()).collect();
        for (index, known) in names.iter().enumerate() {
            assert_eq!(name::words(known).join(" "), *known);
            assert!(!names[..index].contains(known), "{known}");
            assert!(Voice::implied(known).is_some(), "{known}");
        }
    }
}
