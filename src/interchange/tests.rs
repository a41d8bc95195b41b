//! Laws of every writer and reader at once.

use super::fixture;
use crate::exposition::Exposition;
use crate::score::strategy::any_score;
use proptest::prelude::*;

/// An exposition whose entries need not fit its score: nothing a caller could build by honest
/// means, and no writer may fall over it.
fn any_exposition() -> impl Strategy<Value = Exposition> {
    any_score().prop_map(|score| {
        let mut exposition = fixture::exposition();
        exposition.score = score;
        exposition
    })
}

proptest! {
    #[test]
    fn prop_no_exposition_panics_a_writer(exposition in any_exposition()) {
        let findings = [fixture::finding()];
        let report = super::markdown::write(&exposition, &findings);
        prop_assert!(report.starts_with("# Fughetta in D minor"));
        #[cfg(feature = "svg")]
        prop_assert!(super::svg::write(&exposition, &findings).is_ok());
        #[cfg(feature = "midi")]
        prop_assert_eq!(super::midi::write(&exposition), super::midi::write(&exposition));
        #[cfg(feature = "musicxml")]
        prop_assert_eq!(super::musicxml::write(&exposition), super::musicxml::write(&exposition));
    }
}

#[cfg(feature = "serde")]
proptest! {
    #[test]
    fn prop_no_text_panics_a_reader(text in any::<String>()) {
        prop_assert!(super::json::read_subject(&text).is_err());
        prop_assert!(super::json::read_exposition(&text).is_err());
    }

    #[test]
    fn prop_damaged_exposition_is_refused_or_read(place in 0..4000_usize, with in any::<char>()) {
        let whole: Vec<char> = super::json::write_exposition(&fixture::exposition()).chars().collect();
        let damaged: String =
            whole.iter().enumerate().map(|(at, c)| if at == place { with } else { *c }).collect();
        if let Ok(exposition) = super::json::read_exposition(&damaged) {
            let again = super::json::write_exposition(&exposition);
            prop_assert_eq!(super::json::read_exposition(&again), Ok(exposition));
        }
    }
}
