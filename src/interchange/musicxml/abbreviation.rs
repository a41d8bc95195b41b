//! The short names of parts, which stand before every system but the first.

use crate::voice::name;

/// Common practice in English scores.
const SHORT: [(&str, &str); 21] = [
    ("soprano", "S."),
    ("mezzo soprano", "Mez."),
    ("alto", "A."),
    ("tenor", "T."),
    ("baritone", "Bar."),
    ("bass", "B."),
    ("violin", "Vln."),
    ("viola", "Vla."),
    ("cello", "Vc."),
    ("flute", "Fl."),
    ("oboe", "Ob."),
    ("clarinet", "Cl."),
    ("bassoon", "Bsn."),
    ("soprano recorder", "S. Rec."),
    ("alto recorder", "A. Rec."),
    ("tenor recorder", "T. Rec."),
    ("bass recorder", "B. Rec."),
    ("trumpet", "Tpt."),
    ("horn", "Hn."),
    ("trombone", "Tbn."),
    ("pedal", "Ped."),
];

/// The short form of the name of a part, with its number if it has one; `None` where none is usual.
pub(super) fn of(part: &str) -> Option<String> {
    let mut words = name::words(part);
    let number = words.pop_if(|word| word.chars().all(|c| c.is_ascii_digit()));
    let words = words.join(" ");
    let (_, short) = SHORT.iter().find(|(long, _)| *long == words)?;
    Some(number.map_or_else(|| (*short).to_owned(), |number| format!("{short} {number}")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ensemble::Ensemble;

    #[test]
    fn names_are_shortened_with_their_numbers() {
        let short =
            ["soprano", "Violin II", "Mezzo-Soprano", "alto recorder 2"].map(|name| of(name).unwrap());
        assert_eq!(short, ["S.", "Vln. 2", "Mez.", "A. Rec. 2"]);
        assert_eq!(of("Upper manual"), None);
        assert_eq!(of("3"), None);
    }

    #[test]
    fn all_players_of_our_ensembles_have_short_names() {
        for name in Ensemble::NAMES {
            for voice in Ensemble::named(name).unwrap().voices() {
                assert!(of(voice.name()).is_some(), "{name}: {}", voice.name());
            }
        }
    }
}
